/** Random numbers that are the same everywhere: sfc32 (C. Doty-Humphrey, PractRand), and normals from it. */

const block = 8192;

/** Layers of the ziggurat of G. Marsaglia and W. W. Tsang, *J. Statistical Software* 5(8), 2000; 128 of them. */
const layers = 128;
const tail = 3.442619855899;
const area = 9.91256303526217e-3;
/** Bits that place a number within its layer: not those that choose the layer, which would tie the two together. */
const scale = 2 ** 24;

const within = new Int32Array(layers);
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

/** Gives numbers by the block, which takes half the time of giving them one by one. */
export class Random {
  private readonly state: Int32Array;
  private readonly bits = new Int32Array(block);
  private at = block;

  constructor(seed: number) {
    this.state = Int32Array.of(0x9e3779b9, 0x243f6a88, seed, 1);
    for (let i = 0; i < 2; i++) this.refill();
    this.at = block;
  }

  private refill(): void {
    const { bits, state } = this;
    let [a, b, c, count] = [state[0], state[1], state[2], state[3]];
    for (let i = 0; i < block; i++) {
      const sum = (((a + b) | 0) + count) | 0;
      count = (count + 1) | 0;
      a = b ^ (b >>> 9);
      b = (c + (c << 3)) | 0;
      c = (((c << 21) | (c >>> 11)) + sum) | 0;
      bits[i] = sum;
    }
    state[0] = a;
    state[1] = b;
    state[2] = c;
    state[3] = count;
    this.at = 0;
  }

  private next(): number {
    if (this.at === block) this.refill();
    return this.bits[this.at++];
  }

  private uniform(): number {
    return (this.next() >>> 0) * 2 ** -32;
  }

  /** Fills, evenly, with 0 < u < 1 in steps of 1/65,536: two of each draw, and far finer than any printed gap. */
  uniforms(into: Float64Array): void {
    const { bits } = this;
    for (let i = 0; i < into.length; ) {
      if (this.at === block) this.refill();
      const many = Math.min((into.length - i + 1) >> 1, block - this.at);
      const from = this.at;
      for (let k = 0; k < many; k++, i += 2) {
        const drawn = bits[from + k];
        into[i] = ((drawn >>> 16) + 0.5) * 2 ** -16;
        if (i + 1 < into.length) into[i + 1] = ((drawn & 0xffff) + 0.5) * 2 ** -16;
      }
      this.at += many;
    }
  }

  /** Fills with numbers of mean 0 and standard deviation 1. */
  normals(into: Float64Array): void {
    const { bits } = this;
    for (let i = 0; i < into.length; ) {
      if (this.at === block) this.refill();
      let from = this.at;
      for (; i < into.length && from < block; i++) {
        const drawn = bits[from++];
        const layer = drawn & (layers - 1);
        const along = drawn >> 7;
        if (Math.abs(along) < within[layer]) {
          into[i] = along * width[layer];
          continue;
        }
        this.at = from;
        into[i] = this.beyond(layer, along);
        from = this.at;
      }
      this.at = from;
    }
  }

  /** What falls beyond the sure part of its layer. */
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
      const drawn = this.next();
      layer = drawn & (layers - 1);
      along = drawn >> 7;
      if (Math.abs(along) < within[layer]) return along * width[layer];
    }
  }
}
