/** Signs beside what they tell: apart, within their frame, none lost. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding, Point } from '../../../../language/mechanism.ts';
import {
  meet,
  type Patch,
  patchOf,
  placeMarks,
  placeSigns,
  type Spot,
  signPatch,
  signReach,
  tagOf,
} from '../../../../server/outputs/chart/placing.ts';
import { viewOf } from '../../../../server/outputs/chart/view.ts';
import { berthSign, reckonedExample } from './designs.ts';

const told = (code: string, ...about: string[]): Finding => ({
  code,
  severity: 'error',
  message: about.join(),
  place: { file: '', top: 0, from: 0, to: 0 },
  about,
  figures: {},
  related: [],
  fixes: [],
});

const spotsAt = (points: readonly Point[]): Spot[] =>
  points.map((to, i) => ({ found: { tag: `E${i + 1}`, finding: told('post-clash') }, to }));

const frame: Patch = { left: 0, right: 188, top: 0, bottom: 230 };

const covered = (sign: ReturnType<typeof placeSigns>[number]): Patch => {
  const { left, right } = signReach(tagOf(sign));
  const { x, y } = sign.from;
  return { left: x - left, right: x + right, top: y - 12, bottom: y + 10 };
};

describe('signs beside their places', () => {
  const points = fc.array(fc.record({ x: fc.integer({ min: 0, max: 188 }), y: fc.integer({ min: 0, max: 230 }) }), {
    minLength: 1,
    maxLength: 40,
  });

  it('stand apart and within their frame, and point at every place', () => {
    fc.assert(
      fc.property(points, (all) => {
        const name = patchOf({ text: 'upper', x: 94, y: 115, size: 11, middle: true });
        const placed = placeSigns(spotsAt(all), frame, [name]);
        expect(placed.flatMap(({ spots }) => spots.map(({ found }) => found.tag)).sort()).toEqual(
          spotsAt(all)
            .map(({ found }) => found.tag)
            .sort(),
        );
        const alone = placed.filter(({ spots }) => spots.length === 1);
        for (const [i, one] of alone.entries()) {
          const patch = covered(one);
          expect(patch.left >= 0 && patch.right <= 188 && patch.top >= 0 && patch.bottom <= 230).toBe(true);
          expect(meet(patch, name)).toBe(false);
          for (const other of alone.slice(i + 1)) expect(meet(patch, covered(other))).toBe(false);
        }
      }),
    );
  });

  it('are gathered with the nearest where there is no room, and say how many they speak for', () => {
    const tight: Patch = { left: 0, right: 60, top: 0, bottom: 60 };
    const placed = placeSigns(spotsAt(Array.from({ length: 5 }, (_, i) => ({ x: 30, y: 20 + 5 * i }))), tight);
    expect(placed.length).toBeLessThan(5);
    expect(placed.flatMap(({ spots }) => spots)).toHaveLength(5);
    expect(placed.map(tagOf).some((tag) => /^E\d \+\d$/.test(tag))).toBe(true);
  });
});

describe('signs on the rows', () => {
  const reckoned = reckonedExample('berth-sign');
  const findings = [
    { ...told('thin-cam', 'camA', 'camD', 'dee'), angles: [1] },
    told('post-clash', 'g', 'camC', 'camE'),
    told('slack-return', 'b', 'c'),
    told('key-ambiguous', 'dee'),
  ];
  const view = viewOf({ ...reckoned, findings });
  const tags = (cam: string) => view.rows.find((row) => row.cam.name === cam)!.marks.map(({ tag }) => tag);

  it('stand on every row that a finding is about; of what a strip tells, on the chief one', () => {
    expect(tags('camA')).toEqual(['E1']);
    expect(tags('camD')).toEqual(['E1']);
    for (const cam of ['camG', 'camC', 'camE']) expect(tags(cam)).toContain('E2');
    expect(tags('camB')).toEqual(['E3']);
    expect(tags('camC')).not.toContain('E3');
    expect(view.general.map(({ tag }) => tag)).toEqual(['E4']);
  });

  it('point at the angles of the chief cam on its row alone', () => {
    const mark = (cam: string) => view.rows.find((row) => row.cam.name === cam)!.marks.find(({ tag }) => tag === 'E1')!;
    expect(mark('camA')).toMatchObject({ angles: [1] });
    expect(mark('camA').at.length).toBeGreaterThan(0);
    expect(mark('camD')).toMatchObject({ angles: [], at: [] });
  });

  it('stand side by side where they point nowhere, and never on each other', () => {
    const many = Array.from({ length: 7 }, () => told('post-clash', 'g'));
    const { marks } = viewOf({ ...reckoned, findings: many }).rows.find((row) => row.cam.name === 'camG')!;
    const { marks: placed, lanes } = placeMarks(marks, { left: 174, step: 30 }, 0);
    expect(lanes).toBe(2);
    for (const [i, one] of placed.entries())
      for (const other of placed.slice(i + 1).filter(({ y }) => y === one.y))
        expect(meet(signPatch(one), signPatch(other)), one.mark.tag).toBe(false);
  });

  it('are there for every part of whatever is really found', () => {
    const bad = berthSign(['centres = 70 mm', 'centres = 50 mm'], ['nose 1.5 mm', 'nose 3.4 mm']);
    const drawn = viewOf(bad);
    expect(drawn.findings.length).toBeGreaterThan(3);
    for (const { finding, tag } of drawn.findings) {
      for (const row of drawn.rows) {
        const own = [row.cam.name, ...row.segments.map(({ name }) => name)];
        const isAbout = finding.about.some((name) => own.includes(name));
        expect(
          row.marks.some((mark) => mark.tag === tag),
          `${tag} on ${row.cam.name}`,
        ).toBe(isAbout);
      }
    }
  });
});
