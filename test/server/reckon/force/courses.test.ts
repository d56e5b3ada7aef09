/** What steps share, against every moment looked at by itself. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { driveTorque } from '../../../../server/reckon/force/contact.ts';
import { coursesOf, momentAt, torquesAt } from '../../../../server/reckon/force/courses.ts';
import { forceModel, turningOf } from '../../../../server/reckon/force/model.ts';
import { mechanismsIn } from '../../../designs.ts';

const read = (name: string) => readFileSync(`examples/${name}.lobe`, 'utf8');
const band = (text: string) =>
  text
    .replace(
      / {2}spring coils.*\n/,
      '  post heel { at 0 mm, -20 mm   radius 3 mm }\n  band loop { around heel, b, a, f   section 1 mm by 1 mm   loop 150 mm   shear 0.4 MPa }\n',
    )
    .replace('segment a {', 'segment a { hook at 0 mm, 60 mm ')
    .replace('segment b {', 'segment b { hook at 28 mm, 35 mm ')
    .replace('segment f {', 'segment f { hook at -28 mm, 35 mm ');

const designs: [string, string][] = [
  ['all alike', read('berth-sign')],
  ['driven through an idler', read('lock-countdown')],
  ['counted twice a turn, shown lowered, one with stated symbols', read('score-tally')],
  ['with flanks that come late and early', read('berth-sign').replace('travel 25 deg', 'rise 22 deg late 2 deg   fall 24 deg late -1.5 deg')],
  ['with travels longer than the step, whose lobes run into each other', read('signal-box').replace('travel 19 deg', 'travel 40 deg')],
  ['undercut', read('berth-sign').replace('base 22 mm', 'base 9 mm')],
  ['with a lobe stated by its angles', read('berth-sign').replace('drives a\n', 'drives a { lobe from 10 deg to 80 deg flank 25 deg }\n')],
  ['on a shaft that turns three times while the other turns twice', read('berth-sign').replace('gear lowerGear on lower { module 1 mm   teeth 70', 'gear lowerGear on lower { module 1 mm   teeth 105')],
  ['tied by a band', band(read('berth-sign'))],
]; // biome-ignore format: a table

describe('the courses of a step', () => {
  it.each(designs)('are those of its moments: %s', (_, text) => {
    const [m] = mechanismsIn(text) as [Mechanism];
    const figures = reckon(m);
    const model = forceModel(m, figures, { defaults: [], missing: [] })!;
    expect(model).toBeDefined();
    const each = 12;
    const steps = figures.positions.length;
    for (const [step, courses] of coursesOf(model, steps, each).entries()) {
      for (let i = 0; i <= each; i++) {
        const moment = momentAt(model, step + i / each);
        const shares = torquesAt(model, moment, 'dry', 'reverse');
        courses.forEach(({ even, piece }, p) => {
          const { stand, load } = even[i]!;
          const torque = piece.ratio * driveTorque(stand, load, piece.friction.dry, turningOf(piece, 'reverse'));
          // Just where a flank begins or ends, rounding may put it on either side.
          const isEnd = Math.abs(stand.slope) < 1e-9 || Math.abs(moment.stands[p]!.slope) < 1e-9;
          expect(stand.lift).toBeCloseTo(moment.stands[p]!.lift, 9);
          if (!isEnd || stand.slope === moment.stands[p]!.slope) expect(torque).toBeCloseTo(shares[p]!, 6);
        });
      }
    }
  });

  it('are few: a bar does four things in a step, however long the count', () => {
    const [m] = mechanismsIn(read('signal-box')) as [Mechanism];
    const figures = reckon(m);
    const model = forceModel(m, figures, { defaults: [], missing: [] })!;
    const courses = coursesOf(model, figures.positions.length, 12);
    for (const p of model.pieces.keys()) expect(new Set(courses.map((here) => here[p])).size).toBeLessThanOrEqual(4);
  });
});
