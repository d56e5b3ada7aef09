/** Half-written and mangled designs, made of the examples. */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';

const designs = readdirSync('examples')
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => readFileSync(`examples/${name}`, 'utf8'));

/** A design with some of its lines left out, some of its words changed for others, or cut off. */
export const rubble = fc
  .record({
    design: fc.constantFrom(...designs),
    without: fc.array(fc.nat(), { maxLength: 6 }),
    swaps: fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 4 }),
    end: fc.oneof(
      { weight: 3, arbitrary: fc.constant(1) },
      { weight: 1, arbitrary: fc.double({ min: 0, max: 1, noNaN: true }) },
    ),
  })
  .map(({ design, without, swaps, end }) => {
    const lines = design.split('\n');
    for (const at of without) lines.splice(at % lines.length, 1);
    const words = lines.join('\n').split(/(\s+)/);
    for (const [one, other] of swaps) {
      // Words lie at even places, what is between them at odd ones.
      const [i, j] = [one, other].map((n) => 2 * (n % Math.ceil(words.length / 2)));
      [words[i], words[j]] = [words[j], words[i]];
    }
    const text = words.join('');
    return text.slice(0, Math.ceil(text.length * end));
  });
