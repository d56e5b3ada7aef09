/** How large a return spring is: as its coil says; where the text gives a rate and a preload alone, one that would do. */
import type { Mechanism, Spring } from '../../../language/mechanism.ts';
import type { Unreckoned } from '../shape/keys.ts';
import { allowedShare, bucklingLength, coilStress, solidLength, usualShearModulus, wireStrength } from './coils.ts';
import { isCoil, isWholeCoil, leastFree, leastReserve, longestStroke, springsOf } from './springs.ts';

export interface CoilSize {
  readonly kind: 'extension' | 'compression';
  /** mm: of the wire, and of the middle of the coil. */
  readonly wire: number;
  readonly mean: number;
  readonly turns: number;
  /** Lengths, mm: free, when the bar is lowered, when it is raised. Those of an extension spring lie between its hooks. */
  readonly free: number;
  readonly lowered: number;
  readonly raised: number;
  /** What of it the text leaves open and is chosen here. */
  readonly chosen: 'all' | 'free' | 'nothing';
}

/** Wires of springs as they are sold, mm (common practice). */
const wires = [0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.2, 1.4, 1.6, 1.8, 2];
/** Mean diameters that are tried, mm. */
const means = Array.from({ length: 37 }, (_, i) => 2 + i / 2);
/** Mean diameters in wires, and turns, as they are easily wound (common practice). */
const index = { least: 6, most: 16 };
const turnsWound = { least: 3, most: 60 };
/** Of the length at which it would buckle between flat plates. */
const stays = 0.95;
/** Free lengths are whole ones of these, mm. */
const grid = 0.5;

const up = (value: number): number => Math.ceil(value / grid - 1e-9) * grid;

/** Undefined where it does not say its rate and preload, or its bars their stroke: that is told elsewhere. */
export function coilSizeOf(m: Mechanism, spring: Spring): CoilSize | Unreckoned | undefined {
  const { name } = spring;
  const figure = springsOf(m).find((one) => one.name === name);
  const stroke = longestStroke(m, spring);
  if (!figure || figure.lowered === undefined || stroke === undefined || !(figure.rate > 0) || figure.lowered < 0)
    return undefined;
  const { rate, lowered: preload } = figure;
  if (figure.coil && isWholeCoil(spring)) {
    const { kind } = figure.coil;
    const { wire, mean, turns } = spring;
    const least = leastFree(m, spring) ?? figure.coil.solid;
    const hooks = kind === 'extension' ? 2 * (mean!.value - wire!.value) : 0;
    const free = spring.free?.value ?? up(least + hooks);
    const sized = { kind, wire: wire!.value, mean: mean!.value, turns: turns!.value };
    return withLengths({ ...sized, free, chosen: spring.free ? 'nothing' : 'free' }, preload, rate, stroke);
  }
  if (isCoil(spring)) return { because: `${name} says its coil only in part` };
  return likely(name, rate, preload, stroke);
}

/** The narrowest compression spring that is easily wound, does not buckle and is not worked too hard; then the shortest. */
function likely(name: string, rate: number, preload: number, stroke: number): CoilSize | Unreckoned {
  const force = preload + rate * stroke;
  for (const mean of means) {
    const fits = wires.flatMap((wire) => {
      if (mean / wire < index.least || mean / wire > index.most) return [];
      const turns = Math.round((10 * usualShearModulus * wire ** 4) / (8 * mean ** 3 * rate)) / 10;
      if (turns < turnsWound.least || turns > turnsWound.most) return [];
      const free = up(solidLength(wire, turns) + (1 + leastReserve) * (force / rate));
      const bears = coilStress(force, wire, mean) <= allowedShare.compression * wireStrength(wire);
      return bears && free <= stays * bucklingLength(mean) ? [{ wire, mean, turns, free }] : [];
    });
    const [shortest] = fits.sort((a, b) => a.free - b.free);
    if (shortest) return withLengths({ kind: 'compression', ...shortest, chosen: 'all' }, preload, rate, stroke);
  }
  return { because: `no usual coil has the rate and preload of ${name}` };
}

function withLengths(
  size: Omit<CoilSize, 'lowered' | 'raised'>,
  preload: number,
  rate: number,
  stroke: number,
): CoilSize | Unreckoned {
  const longer = size.kind === 'extension' ? 1 : -1;
  const [lowered, raised] = [preload, preload + rate * stroke].map((force) => size.free + (longer * force) / rate);
  const solid = size.kind === 'compression' ? solidLength(size.wire, size.turns) : 0;
  if (!(raised > solid)) return { because: 'its coil is solid before the bar is raised' };
  return { ...size, lowered, raised };
}
