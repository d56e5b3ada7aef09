/** An older version behind the chart: its curve, what changed on each row, and what changed besides. */
import { renderToString } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { Chart } from '../../../../server/outputs/chart/chart.tsx';
import { chartHtml, chartSvg } from '../../../../server/outputs/chart/files.tsx';
import { layoutOf } from '../../../../server/outputs/chart/layout.ts';
import { meet, patchOf } from '../../../../server/outputs/chart/placing.ts';
import { viewOf } from '../../../../server/outputs/chart/view.ts';
import { chartJson, chartText } from '../../../../server/outputs/chart/written.ts';
import { type Ghost, ghostOf } from '../../../../server/outputs/compare/ghost.ts';
import { berthSign, reckonedExample } from './designs.ts';

const old = reckonedExample('berth-sign');
const higher = berthSign(
  ['segment e {', 'segment e { stroke 7 mm  '],
  ['level 4 drives g { travel 26 deg }', 'level 4 drives g { travel 26 deg   thickness 3.2 mm }'],
  ['push 20 N', 'push 25 N'],
);
const ghost = ghostOf(old, higher, 'v1');
const row = (of: Ghost, cam: string) => of.rows.find((each) => each.cam === cam)!;

describe('the ghost of a mechanism', () => {
  it('has the motion of each row that moves otherwise, and what changed on it', () => {
    expect(row(ghost, 'camE').was?.lift.stroke).toBe(3.5);
    expect(row(ghost, 'camE').changes[0]).toBe('stroke 3.5 → 7 mm');
    expect(row(ghost, 'camE').changes).toContainEqual(expect.stringMatching(/^pressure angle 26\.6 → \d+/));
    expect(row(ghost, 'camG')).toEqual({ cam: 'camG', changes: ['thickness 3 → 3.2 mm'] });
    expect(row(ghost, 'camA')).toEqual({ cam: 'camA', changes: [] });
    expect(ghost.beside).toContain('limit of push 20 → 25 N');
    expect(ghost.beside.join()).not.toContain('stroke');
  });

  it('follows names, says what is new, and what is gone besides', () => {
    const renamed = ghostOf(old, berthSign(['cam camE on', 'cam east on']), 'v1');
    expect(row(renamed, 'east')).toEqual({ cam: 'east', changes: ['was camE'] });
    const fresh = ghostOf(berthSign(['  cam camE on lower level 3 drives e\n', '']), old, 'v1');
    expect(row(fresh, 'camE')).toEqual({ cam: 'camE', changes: ['new'] });
    expect(ghostOf(old, berthSign(['  cam camE on lower level 3 drives e\n', '']), 'v1').beside).toContain(
      'camE taken out',
    );
    const all = ghostOf(undefined, old, 'v1');
    expect(all.rows.map(({ changes }) => changes)).toEqual(Array(7).fill(['new']));
    expect(all.beside).toEqual(['all of BerthSign is new']);
  });

  it('is nothing where nothing changed', () => {
    const same = ghostOf(old, reckonedExample('berth-sign'), 'v1');
    expect(same.beside).toEqual([]);
    expect(same.rows.flatMap(({ was, changes }) => [was, ...changes])).toEqual(Array(7).fill(undefined));
  });
});

describe('behind the chart', () => {
  const view = viewOf(higher, ghost);
  const dashed = (svg: string) => [...svg.matchAll(/<path class="lw-ghost" d="([^"]+)"/g)].map(([, d]) => d!);

  it('is drawn to the same scale as the curve before it', () => {
    const layout = layoutOf(view, 960);
    const rows = layout.groups.flatMap((group) => group.rows);
    const [camA, camE] = ['camA', 'camE'].map((name) => rows.find(({ row }) => row.cam.name === name)!);
    expect(camE!.floor - camE!.ceiling).toBeCloseTo(30, 9);
    expect(camE!.floor - camE!.ghostCeiling).toBeCloseTo(15, 9);
    expect(camA!.floor - camA!.ceiling).toBe(30);
    const lower = viewOf(old, ghostOf(higher, old, 'v2'));
    const shrunk = layoutOf(lower, 960).groups.flatMap((group) => group.rows);
    const was = shrunk.find(({ row }) => row.cam.name === 'camE')!;
    expect([was.floor - was.ceiling, was.floor - was.ghostCeiling]).toEqual([15, 30]);
  });

  it('is dashed, on the rows that move otherwise alone, between the ground and the line', () => {
    const svg = chartSvg(higher, { ghost });
    // The curve of camE, and a key before the words of camE and camG.
    expect(dashed(svg)).toHaveLength(3);
    expect(svg).toMatch(/\.lw-ghost \{[^}]*stroke-dasharray:/);
    const part = svg.slice(svg.indexOf('aria-label="camE '));
    const [ground, behind, line] = ['class="lw-lift', 'class="lw-ghost" d="M1', 'class="lw-curve'].map((look) =>
      part.lastIndexOf(look, part.indexOf('</g>', part.indexOf('class="lw-curve'))),
    );
    expect(ground).toBeGreaterThan(0);
    expect(behind).toBeGreaterThan(ground!);
    expect(line).toBeGreaterThan(behind!);
    expect(dashed(chartSvg(higher))).toEqual([]);
  });

  it('runs once round where the count was longer or shorter', () => {
    const short = berthSign(
      ['9 C "-"', '9'],
      ['ratchet stepper on upper { teeth 12', 'ratchet stepper on upper { teeth 10'],
    );
    const layout = layoutOf(viewOf(short, ghostOf(old, short, 'v1')), 960);
    const curve = dashed(chartSvg(short, { width: 800, ghost: ghostOf(old, short, 'v1') })).find(
      (d) => d.length > 400,
    )!;
    const xs = curve
      .slice(1)
      .split('L')
      .map((point) => Number(point.split(' ')[0]));
    const wide = layoutOf(viewOf(short), 800 - 28);
    expect(layout.step).toBeGreaterThan(0);
    expect(xs[0]).toBeCloseTo(wide.left, 1);
    expect(xs.at(-1)).toBeCloseTo(wide.right, 1);
  });

  it.each([320, 500, 700, 960, 1400])('names what changed where no other text stands, %i px wide', (width) => {
    for (const only of width <= 560 ? ['camE', 'camG'] : [undefined]) {
      const layout = layoutOf(view, width, only);
      const rows = layout.groups.flatMap((group) => group.rows);
      for (const { changed, floor, bottom, marks, angles, row } of rows) {
        if (!changed) continue;
        const patch = patchOf(changed);
        expect(patch.right, row.cam.name).toBeLessThanOrEqual(width + 3);
        expect(patch.top).toBeGreaterThanOrEqual(floor - 1);
        expect(patch.bottom).toBeLessThanOrEqual(bottom + 1);
        for (const other of angles) expect(meet(patch, patchOf(other))).toBe(false);
        for (const { y } of marks) expect(y + 12).toBeLessThanOrEqual(patch.top);
      }
      expect(rows.some(({ changed }) => changed)).toBe(true);
    }
  });

  it('is told to those who hear it, and in the list of what is found', () => {
    const svg = chartSvg(higher, { ghost });
    expect(svg).toMatch(/aria-label="camE [^"]*; changed since v1: stroke 3\.5 → 7 mm, /);
    expect(svg).toContain('against v1');
    expect(svg).toContain('Changed besides since v1: ');
  });

  it('is told as JSON and as text', () => {
    const [one] = chartJson([higher], [ghost]).mechanisms;
    expect(one!.against).toMatchObject({ of: 'v1' });
    const camE = one!.rows.find(({ cam }) => cam === 'camE')!;
    expect(camE.against).toMatchObject({ stroke: 3.5, changes: expect.arrayContaining(['stroke 3.5 → 7 mm']) });
    expect(camE.against!.curve![0]).toEqual([0, 3.5]);
    expect(chartJson([higher]).mechanisms[0]).not.toHaveProperty('against');
    const text = chartText([higher], [ghost]);
    expect(text).toMatch(/^ {2}camE e .*\n {4}before .*\n {4}changed +stroke 3\.5 → 7 mm · /m);
    expect(text).toContain('  changed: limit of push 20 → 25 N\n');
  });

  it('keeps names that carry markup from being markup', () => {
    const wild = ghostOf(old, higher, '</script><b>&"');
    const page = chartHtml([higher], { script: 'go()', ghosts: [wild] });
    expect(page.match(/<\/script>/g)).toHaveLength(2);
    expect(page).not.toContain('<b>');
  });
});

describe('the chart that may be held against another', () => {
  const against = { label: 'the committed version', on: true, onToggle: () => {}, ghosts: [ghost] };
  const html = (more: object) => renderToString(<Chart mechanisms={[higher]} against={{ ...against, ...more }} />);

  it('offers it, draws it while it is on, and says why where it cannot', () => {
    expect(html({})).toMatch(/<input type="checkbox" checked[^>]*\/> Against the committed version/);
    expect(html({})).toContain('class="lw-ghost"');
    expect(html({})).toContain('Changed besides: ');
    expect(html({ on: false })).not.toContain('class="lw-ghost"');
    expect(html({ on: false })).not.toContain('checked');
    expect(html({ ghosts: [], because: 'this file is in no git repository' })).toMatch(
      /role="status"[^>]*>this file is in no git repository/,
    );
    expect(renderToString(<Chart mechanisms={[higher]} />)).not.toContain('Against');
  });
});
