/** Random numbers that are the same everywhere: sfc32 (C. Doty-Humphrey, PractRand), and normals from it. */

const block = 8192;

/** Layers of the ziggurat of G. Marsaglia and W. W. Tsang, *J. Statistical Software* 5(8), 2000; 128 of them. */
const layers = 128;
const tail = 3.442619855899;
const area = 9.91256303526217e-3;
/** Bits that place a number within its layer: not those that choose the layer, which would tie the two together. */
const scale = 2 ** 24;

const within = new Uint32Array(layers);
const width = new Float64Array(layers);
const height = new Float64Array(layers);
{
  let [edge, before] = [tail, tail];
  const bottom = area / Math.exp(-0.5 * edge * edge);
  within[0] = (edge / bottom) * scale;
  width[0] = bottom / scale;
  width[layers - 1] = edge / scale;
  height[0] = 1;
  height[layers - 1] = Math.exp(-0.5 * edge * edge);
  for (let i = layers - 2; i >= 1; i--) {
    edge = Math.sqrt(-2 * Math.log(area / edge + Math.exp(-0.5 * edge * edge)));
    within[i + 1] = (edge / before) * scale;
    before = edge;
    height[i] = Math.exp(-0.5 * edge * edge);
    width[i] = edge / scale;
  }
}

export class Random {
  private readonly state: Uint32Array;
  private readonly bits = new Uint32Array(block);
  private at = block;

  constructor(seed: number) {
    this.state = Uint32Array.of(0x9e3779b9, 0x243f6a88, seed >>> 0, 1);
    for (let i = 0; i < 2; i++) this.refill();
    this.at = block;
  }

  private refill(): void {
    let [a, b, c, count] = this.state;
    const { bits } = this;
    for (let i = 0; i < block; i++) {
      const sum = (((a + b) | 0) + count) | 0;
      count = (count + 1) | 0;
      a = b ^ (b >>> 9);
      b = (c + (c << 3)) | 0;
      c = (((c << 21) | (c >>> 11)) + sum) | 0;
      bits[i] = sum;
    }
    this.state[0] = a;
    this.state[1] = b;
    this.state[2] = c;
    this.state[3] = count;
    this.at = 0;
  }

  private next(): number {
    if (this.at === block) this.refill();
    return this.bits[this.at++];
  }

  /** 0 ≤ u < 1, evenly. */
  uniform(): number {
    return this.next() * 2 ** -32;
  }

  /** Mean 0, standard deviation 1. */
  normal(): number {
    const bits = this.next();
    const layer = bits & (layers - 1);
    const along = (bits | 0) >> 7;
    return Math.abs(along) < within[layer] ? along * width[layer] : this.beyond(layer, along);
  }

  private beyond(first: number, start: number): number {
    let [layer, along] = [first, start];
    for (;;) {
      const x = along * width[layer];
      if (layer === 0) {
        for (;;) {
          const far = -Math.log(1 - this.uniform()) / tail;
          const high = -Math.log(1 - this.uniform());
          if (high + high >= far * far) return along > 0 ? tail + far : -tail - far;
        }
      }
      if (height[layer] + this.uniform() * (height[layer - 1] - height[layer]) < Math.exp(-0.5 * x * x)) return x;
      const bits = this.next();
      layer = bits & (layers - 1);
      along = (bits | 0) >> 7;
      if (Math.abs(along) < within[layer]) return along * width[layer];
    }
  }
}
