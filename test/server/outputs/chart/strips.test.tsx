import { renderToString } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { Chart } from '../../../../server/outputs/chart/chart.tsx';
import { FiguresTable } from '../../../../server/outputs/chart/figures-table.tsx';
import { chartSvg } from '../../../../server/outputs/chart/files.tsx';
import { layoutOf } from '../../../../server/outputs/chart/layout.ts';
import { meet, type Patch, patchOf, signPatch, xOf } from '../../../../server/outputs/chart/placing.ts';
import {
  forcesSentences,
  hardest,
  pushAcross,
  slackest,
  stripFigures,
} from '../../../../server/outputs/chart/strip-figures.ts';
import { tellingOf } from '../../../../server/outputs/chart/telling.ts';
import { acrossOfRest, viewOf } from '../../../../server/outputs/chart/view.ts';
import type { Reckoned } from '../../../../server/protocol.ts';
import { marginsAtRests } from '../../../../server/reckon/tolerance/margins.ts';
import { berthSign, examples, reckonedExample } from './designs.ts';

const spring = '  spring coils { returns a b c d e f g   rate 0.08 N/mm   preload 0.9 N }\n';
const push = '  push button turns upper { arm 14 mm   start -17 deg   stroke 8.2 mm }\n';
const dry = ['assembled greased', 'assembled dry'] as const;

const locked = berthSign(dry, ['segment g { ', 'segment g { guide 2 mm   ']);
const failing = berthSign(
  ['push 20 N', 'push 5 N'],
  ['hold 60 Nmm', 'hold 10 Nmm'],
  ['segment e { ', 'segment e { drag 0.7 N   '],
  ['play 0.5 deg', 'play 8 deg'],
);
const reversed = berthSign(['count 0', 'runs reverse\n  count 0']);

const designs: (readonly [string, Reckoned])[] = [
  ...examples.map((name) => [name, reckonedExample(name)] as const),
  ['a locking bar', locked],
  ['what is past all limits', failing],
  ['a count in reverse', reversed],
  ['no spring', berthSign([spring, ''])],
];

const wide = (reckoned: Reckoned, width = 960) => {
  const view = viewOf(reckoned);
  const layout = layoutOf(view, width);
  const strip = (kind: string) => layout.strips.strips.find((one) => one.kind === kind)!;
  return { view, layout, strip };
};

describe('what the strips show', () => {
  it('peaks as the steps are reckoned, at the push in N', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    const { push } = stripFigures(view);
    const { steps } = view.figures.forces.cases.find(({ usedByFindings }) => usedByFindings)!;
    expect(push!.unit).toBe('N');
    for (const { across, peak, drives } of push!.steps) {
      expect(Math.abs(peak / steps[across]!.peakPush! - 1)).toBeLessThan(0.01);
      expect(drives).toBeCloseTo(Math.max(0, -steps[across]!.leastTorque!), 6);
    }
    for (const { total, parts } of push!.points) {
      expect(parts.reduce((sum, part) => sum + part, 0)).toBeCloseTo(total, 9);
    }
    expect(hardest(push!)!.across).toBe(11);
  });

  it('is torque at the leading shaft where there is no push', () => {
    const { push: figure } = stripFigures(viewOf(berthSign([push, ''])));
    expect(figure!.unit).toBe('N·mm');
    expect(hardest(figure!)!.peak).toBeCloseTo(133.4, 0);
  });

  it('names the hardest step back of a design that runs either way, wide and narrow', () => {
    const reckoned = reckonedExample('score-tally');
    const view = viewOf(reckoned);
    const { push } = stripFigures(view);
    const back = reckoned.figures.forces.cases.find((one) => one.usedByFindings && one.direction === 'reverse')!;
    const peaks = back.steps.map(({ peakPush, peakTorque }) => (push!.unit === 'N' ? peakPush! : peakTorque!));
    const worst = peaks.indexOf(Math.max(...peaks));
    const { positions } = reckoned.figures;
    const [to, from] = [positions[worst]!.symbol, positions[(worst + 1) % positions.length]!.symbol];
    expect(push!.back).toEqual({ from, to, peak: peaks[worst] });
    const text = ` · ${from}→${to}`;
    expect(chartSvg(reckoned)).toContain(text);
    expect(layoutOf(view, 520).list!.columns[0]!.lines[1]!.text).toContain(text);
    expect(stripFigures(viewOf(reckonedExample('berth-sign'))).push).not.toHaveProperty('back');
  });

  it('follows the count as it runs: in reverse from the step to the last rest', () => {
    const view = viewOf(reversed);
    const { push, returns } = stripFigures(view);
    const { steps } = view.figures.forces.cases.find(({ usedByFindings }) => usedByFindings)!;
    for (const { across, peak } of push!.steps) {
      const { peakPush } = steps[view.rests - 1 - across]!;
      expect(Math.abs(peak / peakPush! - 1)).toBeLessThan(0.01);
    }
    for (const { across, ratio } of returns!.steps) {
      expect(ratio === undefined).toBe(steps[view.rests - 1 - across]!.returnMargin === undefined);
    }
  });

  it('is reckoned once for its figures, and then only read', () => {
    const reckoned = reckonedExample('berth-sign');
    expect(stripFigures(viewOf(reckoned))).toBe(stripFigures(viewOf(reckoned)));
    const { push } = stripFigures(viewOf(reckoned));
    const [one, other] = push!.points.slice(40, 42);
    expect(pushAcross(push!, one!.across).total).toBeCloseTo(one!.total, 9);
    const middle = pushAcross(push!, (one!.across + other!.across) / 2).total;
    expect(middle).toBeCloseTo((one!.total + other!.total) / 2, 9);
  });

  it.each(examples)('has the least margin of each cam of %s at one of its rests', (name) => {
    const { mechanism, figures } = reckonedExample(name);
    for (const cam of figures.cams) {
      const shaft = figures.shafts.find((each) => each.name === cam.shaft);
      if (!cam.restMargins || (shaft?.ratio?.den ?? 1) > 1) continue;
      const all = marginsAtRests(
        mechanism,
        cam,
        mechanism.segments.filter((segment) => cam.segments.includes(segment.name)),
      );
      expect(Math.min(...all.map(({ forward }) => forward))).toBeCloseTo(cam.restMargins.forward, 6);
      expect(Math.min(...all.map(({ backward }) => backward))).toBeCloseTo(cam.restMargins.backward, 6);
    }
  });
});

describe('where they stand', () => {
  it.each(designs)('nothing lies on anything else with %s', (_, reckoned) => {
    const view = viewOf(reckoned);
    for (const width of [320, 472, 772, 960, 1900]) {
      const { strips, list, axisLine, height } = layoutOf(view, width);
      const patches: Patch[] = strips.strips.flatMap(({ labels, words, marks }) => [
        ...[...labels, ...words].map(patchOf),
        ...marks.map(signPatch),
      ]);
      for (const { heading, lines, marks } of list.columns) {
        patches.push(...[heading, ...lines].map(patchOf), ...marks.map(signPatch));
      }
      // Lines of a list may stand as close as lines do.
      const meeting = patches.flatMap((one, i) =>
        patches.slice(i + 1).filter((other) => meet({ ...one, bottom: one.bottom - 2, right: one.right - 3 }, other)),
      );
      expect(meeting, `${width} px`).toEqual([]);
      for (const { left, right, top, bottom } of patches) {
        expect(left).toBeGreaterThanOrEqual(-3);
        expect(right).toBeLessThanOrEqual(width + 3);
        expect(top).toBeGreaterThan(0);
        expect(bottom).toBeLessThan(height + 6);
      }
      if (strips.strips.length > 0) expect(strips.bottom).toBeLessThan(axisLine);
    }
  });

  it('the curve stands on the rests of the rows', () => {
    const { view, layout, strip } = wide(reckonedExample('berth-sign'));
    const { push } = stripFigures(view);
    const label = strip('push').labels.find(({ text }) => text.startsWith('4→5') || text === '3.6')!;
    expect(label.x).toBeCloseTo(xOf(layout, push!.steps[4]!.peakAt), 6);
  });

  it('where it is narrow, the ranked list takes their place', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    const layout = layoutOf(view, 472, 'camA');
    expect(layout.strips.strips).toEqual([]);
    expect(layout.list.columns.map(({ heading }) => heading.text)).toEqual([
      'Hardest steps',
      'Slackest returns',
      'Tightest rests',
    ]);
    const [steps] = layout.list.columns;
    expect(steps!.lines[0]).toMatchObject({ text: '-→0 · 9.5 N · decabf', bold: true });
    expect(steps!.lines[1]!.text).toMatch(/^7→8 · 7\.2 N · /);
    expect(steps!.lines[1]!.bold).toBeUndefined();
    expect(renderToString(<Chart mechanisms={[reckonedExample('berth-sign')]} width={480} />)).toMatch(
      /role="list" aria-label="Hardest steps".*role="listitem"/s,
    );
  });
});

describe('what they say', () => {
  it('names the hardest and the slackest step in bold, and nothing in red within the limits', () => {
    const { strip } = wide(berthSign(['segment e { ', 'segment e { drag 0.4 N   ']));
    expect(strip('push').labels.find(({ bold }) => bold)!.text).toBe('hardest -→0 · 9.6 N');
    expect(
      strip('return')
        .labels.filter(({ bold }) => bold)
        .map(({ text }) => text),
    ).toEqual(['slackest 0→1 · 2.3 · e']);
    const svg = chartSvg(reckonedExample('berth-sign'));
    expect(svg).not.toMatch(/class="lw-(past-curve|past-column|over|jam)"/);
    expect(svg.match(/class="lw-no-fall"/g)).toHaveLength(2);
    expect(svg).toContain('>limit 20 N<');
  });

  it('signs in place what is past a limit', () => {
    const { view, layout, strip } = wide(failing);
    const placed = (kind: string, code: string) => {
      const mark = strip(kind).marks.find(({ mark }) => mark.finding.code === code);
      expect(mark, code).toBeDefined();
      return mark!.points[0]!;
    };
    const { push, returns } = stripFigures(view);
    expect(placed('push', 'heavy-push')).toBeCloseTo(xOf(layout, hardest(push!)!.peakAt), 6);
    expect(placed('push', 'cam-overruns')).toBeCloseTo(xOf(layout, push!.steps[0]!.leastAt), 6);
    expect(placed('return', 'slack-return')).toBeCloseTo(xOf(layout, slackest(returns!)!.across + 0.5), 6);
    expect(strip('play').marks.map(({ mark }) => mark.finding.code)).toContain('short-rest');
    expect(chartSvg(failing)).toMatch(/lw-past-curve.*lw-past-column/s);
    const list = layoutOf(view, 472).list.columns;
    expect(list.flatMap(({ marks }) => marks.map(({ mark }) => mark.finding.code)).sort()).toEqual([
      'cam-overruns',
      'heavy-push',
      'short-rest',
      'slack-return',
    ]);
  });

  it('stands at the worst moment of a finding that is chosen from the list', () => {
    const view = viewOf(failing);
    const { push, returns } = stripFigures(view);
    const shown = (code: string) =>
      tellingOf(view, view.findings.find(({ finding }) => finding.code === code)!).moment?.across;
    expect(shown('heavy-push')).toBe(hardest(push!)!.peakAt);
    expect(shown('cam-overruns')).toBe(push!.steps[0]!.leastAt);
    expect(shown('slack-return')).toBe(slackest(returns!)!.across + 0.5);
  });

  it('marks a slack return once on its row, at the worst', () => {
    const view = viewOf(failing);
    const marks = view.rows.flatMap((row) => row.marks.filter(({ finding }) => finding.code === 'slack-return'));
    expect(marks).toHaveLength(1);
    const [{ at, finding }] = marks as [(typeof marks)[0]];
    expect(at).toEqual(acrossOfRest(view, finding.positions![0]!));
  });

  it('hatches what locks, and says so', () => {
    const { view, strip } = wide(locked);
    expect(strip('push').marks.map(({ mark }) => mark.finding.code)).toContain('guide-jam');
    expect(strip('push').labels.filter(({ text }) => text === 'locks').length).toBeGreaterThan(0);
    const svg = chartSvg(locked);
    expect(svg).toMatch(/class="lw-jam"[^>]*fill="url\(#lw-hatch\)"/);
    expect(svg).not.toMatch(/NaN|Infinity/);
    expect(svg).toMatch(/aria-label="step 1→2: g locks"/);
    expect(layoutOf(view, 472).list.columns[0]!.lines[0]).toMatchObject({ text: '1→2 locks · g', over: true });
  });

  it('says quietly what is missing where forces are not reckoned', () => {
    const bare = berthSign([spring, '']);
    const { layout } = wide(bare);
    expect(layout.strips.strips.map(({ kind }) => kind)).toEqual(['play']);
    expect(layout.strips.quiet!.text).toBe('push and return are not reckoned: give spring');
    expect(layoutOf(viewOf(bare), 472).list.quiet!.text).toBe('push and return are not reckoned: give spring');
  });

  it('tells every step and the pointer’s moment to those who hear it', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    const svg = chartSvg(reckonedExample('berth-sign'));
    expect(svg.match(/role="img" aria-label="step /g)).toHaveLength(24);
    expect(svg).toMatch(/aria-label="step 1→2: at most 6\.5 N; of which e 1\.7, a 1\.7, d 1\.7, g 1\.6, [^"]*c −0\.5"/);
    expect(svg).toContain('aria-label="step 5→6: no bar falls"');
    expect(forcesSentences(view, 3)).toEqual(['push 1.4 N', 'play camD ±2.3°']);
    expect(forcesSentences(view, 5.5)).toEqual([
      expect.stringMatching(/^push 2\.\d N$/),
      'return no bar falls',
      'play camD ±2.3°',
    ]);
    const html = renderToString(<FiguresTable view={view} />);
    expect(html).toContain('<th scope="row">from 1 to 2</th><td>6.48 N</td><td>90.7 N·mm</td>');
    expect(html).toContain('±2.34°');
  });
});
