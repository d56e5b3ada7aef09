import { describe, expect, it } from 'vitest';
import { chartSvg } from '../../../../server/outputs/chart/files.tsx';
import { freeStretches, layoutOf } from '../../../../server/outputs/chart/layout.ts';
import { type Patch, xOf } from '../../../../server/outputs/chart/placing.ts';
import { tellingView } from '../../../../server/outputs/chart/telling.ts';
import { viewOf } from '../../../../server/outputs/chart/view.ts';
import { berthSign, example, examples, reckonedAll, reckonedExample } from './designs.ts';

const designs = [
  ...examples.map((name) => [name, reckonedExample(name)] as const),
  ['wrong tally', reckonedAll(example('score-tally').replace('raised at 1 3 4 5', 'raised at 1 3 4'))[0]!] as const,
  // The one steep flank is where its finding points.
  ['steep', berthSign(['level 2 drives b\n', 'level 2 drives b { base 10 mm }\n'])] as const,
];

/** Texts and signs of the rows as they stand in a drawing, but for what stands beside its curves. */
function standing(svg: string, right: number): { words: string; patch: Patch }[] {
  const rows = svg.slice(svg.indexOf('aria-label="Shaft'), svg.indexOf('lw-pointer-group'));
  const texts = [...rows.matchAll(/<text([^>]*?) x="([\d.-]+)" y="([\d.-]+)">([^<]+)</g)].flatMap(
    ([, look, x, y, words]) => {
      // Narrower than any letter of the fonts, so that nothing is held against the line that does not stand there.
      const width = words!.length * 4;
      const left = Number(x) - (look!.includes('lw-end') ? width : look!.includes('lw-middle') ? width / 2 : 0);
      return [{ words: words!, patch: { left, right: left + width, top: Number(y) - 8, bottom: Number(y) } }];
    },
  );
  const signs = [...rows.matchAll(/translate\(([\d.]+) ([\d.]+)\)"><path class="lw-mark/g)].map(([, x, y]) => ({
    words: 'sign',
    patch: { left: Number(x) - 7, right: Number(x) + 7, top: Number(y) - 7, bottom: Number(y) + 7 },
  }));
  return [...texts, ...signs].filter(({ patch }) => patch.left < right);
}

const meets = ({ left, right, top, bottom }: Patch, x: number, [from, to]: readonly [number, number]): boolean =>
  left < x && x < right && from < bottom && top < to;

describe('the turn pointer', () => {
  it.each(designs)('covers no text and no sign of %s, wherever it stands', (_, reckoned) => {
    const view = viewOf(reckoned);
    for (const width of [500, 1400]) {
      const layout = layoutOf(view, width >= 1000 ? width - 440 : width - 28);
      const there = standing(chartSvg(reckoned, { width }), layout.right);
      expect(there.length).toBeGreaterThan(0);
      for (let across = 0; across <= view.rests; across += 0.05) {
        const x = xOf(layout, across);
        for (const stretch of freeStretches(layout, x, layout.rowsTop - 4, layout.pointerFaceTop - 4)) {
          const met = there.filter(({ patch }) => meets(patch, x, stretch));
          expect(met, `at ${across} of ${width} px`).toEqual([]);
        }
      }
    }
  });

  it('is drawn in those stretches', () => {
    const reckoned = reckonedExample('wrong-on-purpose');
    const layout = layoutOf(viewOf(reckoned), 472);
    const stretches = freeStretches(
      layout,
      xOf(layout, tellingView(viewOf(reckoned)).moment.across),
      layout.rowsTop - 4,
      layout.pointerFaceTop - 4,
    );
    const [, d] = /class="lw-pointer" d="([^"]*)"/.exec(chartSvg(reckoned, { width: 500 }))!;
    expect(stretches.length).toBeGreaterThan(3);
    expect(d!.match(/M/g)).toHaveLength(stretches.length);
  });

  it('starts where no finding points, if there is as steep a place elsewhere', () => {
    const view = viewOf(reckonedExample('wrong-on-purpose'));
    const at = tellingView(view).moment.across;
    const points = view.rows.flatMap(({ marks }) => marks.flatMap((mark) => mark.at));
    expect(points.filter((point) => Math.abs(point - at) < 0.3)).toEqual([]);
  });
});

it('the heading of a shaft has a ground before the lines of the rests', () => {
  const svg = chartSvg(reckonedExample('wrong-on-purpose'));
  const heading =
    /<rect class="lw-ground" x="([\d.]+)" [^>]*width="([\d.]+)"[^>]*\/?>(?:<\/rect>)?<text class="lw-small lw-dim" x="([\d.]+)"[^>]*>↻ clockwise, 36° a step, leads</.exec(
      svg,
    );
  expect(heading).not.toBeNull();
  const [left, width, x] = heading!.slice(1).map(Number);
  expect(left).toBeLessThan(x!);
  expect(left! + width!).toBeGreaterThan(xOf(layoutOf(viewOf(reckonedExample('wrong-on-purpose')), 960), 0));
  expect(svg.indexOf('lw-rest')).toBeLessThan(heading!.index);
});
