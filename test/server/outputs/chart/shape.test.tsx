/** What the chart draws of the shapes: profiles and followers, levels, gaps, stacks, and what touches where. */
import { renderToString } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../../language/mechanism.ts';
import { Face, gapNote } from '../../../../server/outputs/chart/face.tsx';
import { FiguresTable } from '../../../../server/outputs/chart/figures-table.tsx';
import { chartSvg } from '../../../../server/outputs/chart/files.tsx';
import { layerOf, Plan, planOf } from '../../../../server/outputs/chart/plan.tsx';
import { Section } from '../../../../server/outputs/chart/section.tsx';
import { Stack, stackNote, stackSentence } from '../../../../server/outputs/chart/stack.tsx';
import { tellingOf, tellingView } from '../../../../server/outputs/chart/telling.ts';
import { acrossOfAngle, barsAt, momentAt, type Row, type View, viewOf } from '../../../../server/outputs/chart/view.ts';
import type { Reckoned } from '../../../../server/protocol.ts';
import { refined } from '../../../../server/reckon/figures.ts';
import { degrees } from '../../../../server/reckon/motion/angles.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { profileOf } from '../../../../server/reckon/shape/bodies.ts';
import { berthSign, example, reckonedAll, reckonedExample } from './designs.ts';

const rowOf = (view: View, cam: string): Row => view.rows.find((row) => row.cam.name === cam)!;

/** A finding made by hand: what a check would tell of these parts. */
const finding = ({ mechanism }: Reckoned, code: string, ...about: string[]): Finding => ({
  code,
  severity: 'error',
  message: `${about.join(' and ')} touch`,
  place: mechanism.place,
  about,
  figures: {},
  related: [],
  fixes: [],
});

const fine = (reckoned: Reckoned): Reckoned => ({
  ...reckoned,
  figures: finished(refined(reckoned.mechanism, reckoned.figures)),
});

const told = (reckoned: Reckoned, code: string, ...about: string[]): Reckoned => ({
  ...reckoned,
  findings: [finding(reckoned, code, ...about)],
});

const flat = () =>
  berthSign(['segment a {', 'segment a { follower flat  stem 8 mm '], ['drives a', 'drives a { base 100 mm }']);
const pivoted = () => berthSign(['segment a {', 'segment a { follower pivoted at 30 mm, 60 mm arm 30 mm ']);
const undercut = () =>
  berthSign(['base 22 mm', 'base 9 mm'], ['nose 1.5 mm', 'nose 5 mm'], ['outer 18 mm', 'outer 8 mm']);
/** The cams of level 1 reach past the middle between the shafts. */
const neighbours = () => berthSign(['centres = 70 mm', 'centres = 50 mm']);
/** The top bar reaches over the upper ones where all are down. */
const crowded = () =>
  berthSign(
    ['44 mm by 6 mm at 0 mm, 66 mm', '57 mm by 6 mm at 0 mm, 57.5 mm'],
    ['6 mm by 44 mm at 31 mm, 35 mm', '6 mm by 44 mm at 31 mm, 34.2 mm'],
  );

const stack = (view: View, row: Row, t: number) =>
  renderToString(<Stack view={view} row={row} t={t} width={392} height={300} />);

describe('the stack', () => {
  it.each([
    ['a round nose', () => reckonedExample('berth-sign'), 'lw-nose'],
    ['a flat face', flat, 'lw-flat'],
    ['a pivoted arm', pivoted, 'arm of a, 30 mm on its pivot'],
  ])('draws %s on its true profile, with the pressure angle that was reckoned', (_, made, sign) => {
    const reckoned = made();
    const view = viewOf(reckoned);
    const row = rowOf(view, 'camA');
    const { value, at } = row.figure!.pressureAngle!;
    const t = acrossOfAngle(view, row.figure!, at)[0]!;
    const svg = stack(view, row, t);
    expect(svg).toContain(sign);
    expect(svg).toContain('class="lw-cam"');
    expect(svg).not.toMatch(/NaN|no profile/);
    const said = /pressure angle ([\d.]+)°/.exec(stackSentence(view, row, t))!;
    expect(Number(said[1])).toBeCloseTo(degrees(Math.abs(value)), 1);
  });

  it('says that an angle is past its limit in words, not by colour alone', () => {
    const view = viewOf(berthSign(['base 22 mm', 'base 15 mm']));
    const row = rowOf(view, 'camA');
    const { at } = row.figure!.pressureAngle!;
    const svg = stack(view, row, acrossOfAngle(view, row.figure!, at)[0]!);
    expect(svg).toMatch(/>3\d(\.\d)?° &gt; 30°|>3\d(\.\d)?° > 30°/);
    expect(svg).toContain('lw-over');
  });

  it('marks every corner that undercut has left, and what it takes', () => {
    const view = viewOf(undercut());
    const row = rowOf(view, 'camA');
    const corners = row.figure!.lift.cut!.corners.length;
    expect(corners).toBeGreaterThan(2);
    expect(stack(view, row, 0).match(/class="lw-corner"/g)).toHaveLength(corners);
    expect(stackSentence(view, row, 0)).toContain(`undercut, ${corners} corners`);
    expect(stackNote(row, 0)).toMatch(/mm lost to undercut$/);
  });

  it('marks the least radius of a sound profile by its circle', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    const row = rowOf(view, 'camA');
    expect(stackNote(row, 0)).toMatch(/least r 4\.69 mm$/);
    expect(stack(view, row, 0)).toContain('least radius of the profile: 4.69 mm');
  });

  it('shows findings of cam and key in place', () => {
    const sound = reckonedExample('berth-sign');
    const wall = { ...finding(sound, 'thin-cam', 'camA', 'dee'), angles: [1] };
    const view = viewOf({ ...sound, findings: [wall, finding(sound, 'key-ambiguous', 'dee', 'camA')] });
    const svg = stack(view, rowOf(view, 'camA'), 0);
    expect(svg.match(/class="lw-mark lw-error"/g)).toHaveLength(2);
    expect(svg).toMatch(/>\d[\d.]* mm<\/text>/);
  });

  it('says why there is no profile', () => {
    const far = viewOf(berthSign(['segment a {', 'segment a { follower pivoted at 300 mm, 600 mm arm 30 mm ']));
    expect(stackSentence(far, rowOf(far, 'camA'), 0)).toContain('the arm of a passes beside the prime circle of camA');
    const [bare] = reckonedAll(example('berth-sign').replace('base 22 mm ', ''));
    const view = viewOf(bare!);
    expect(stack(view, rowOf(view, 'camA'), 0)).toContain('give camA.base');
  });

  it('cuts a profile once, however often it is drawn', () => {
    const { mechanism, figures, findings } = reckonedExample('berth-sign');
    const view = viewOf({ mechanism, figures, findings });
    const body = view.bodies.find(({ kind, name }) => kind === 'cam' && name === 'camA')!;
    expect(profileOf(mechanism, figures, 'camA')).toBe(body.outline);
    const drawn = [0, 0.3].map((t) => /class="lw-cam" d="([^"]*)"/.exec(stack(view, rowOf(view, 'camA'), t))![1]);
    expect(drawn[0]).toBe(drawn[1]);
  });
});

describe('an arm', () => {
  it('is drawn as wide as it is, a line where nobody knows; the plan has the arms of its level whole', () => {
    const wide = viewOf(
      berthSign(['segment a {', 'segment a { follower pivoted at 30 mm, 60 mm arm 30 mm   stem 2 mm ']),
    );
    expect(stack(wide, rowOf(wide, 'camA'), 0)).toContain('arm of a, 30 mm on its pivot, 2 mm wide');
    const layer = layerOf(wide, rowOf(wide, 'camA'))!;
    expect(layer.sliders.map(({ kind, segment }) => `${kind} ${segment}`)).toContain('arm a');
    const { box } = planOf(wide)!;
    const arm = wide.sliders.find(({ kind }) => kind === 'arm')!;
    expect(box.top).toBeGreaterThan(arm.box.top);
    const line = viewOf(pivoted());
    expect(stack(line, rowOf(line, 'camA'), 0)).toMatch(/arm of a, 30 mm on its pivot<\/title><path class="lw-base"/);
    expect(layerOf(line, rowOf(line, 'camA'))!.sliders.some(({ kind }) => kind === 'arm')).toBe(false);
  });
});

describe('the plan', () => {
  const plan = (view: View, cam: string, t: number) => {
    const layer = layerOf(view, rowOf(view, cam));
    return renderToString(<Plan view={view} plan={planOf(view)!} layer={layer} t={t} width={188} height={230} />);
  };

  it('draws the cams and flanges of the chosen level, and no others', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    const titles = (cam: string) => [...plan(view, cam, 0).matchAll(/<path[^>]*><title>([^<]*)</g)].map(([, t]) => t);
    expect(titles('camA').sort()).toEqual(
      ['camA', 'camD', 'shaft lower', 'the flange of camA', 'the flange of camD', 'shaft upper'].sort(),
    );
    expect(titles('camG').sort()).toEqual(['camG', 'shaft lower', 'the flange of camG', 'shaft upper'].sort());
    expect(plan(view, 'camA', 0)).not.toContain('lw-clash');
  });

  it('fills what touches, signs it and says it', () => {
    const reckoned = told(neighbours(), 'neighbour-clash', 'camA', 'camD');
    const view = viewOf(reckoned);
    const svg = plan(view, 'camA', 0);
    expect(svg).toContain('class="lw-clash"');
    expect(svg).toContain('class="lw-mark lw-error"');
    expect(svg).toMatch(/the flange of camA touches the flange of camD, up to [\d.]+ mm deep/);
    expect(layerOf(view, rowOf(view, 'camG'))!.clashes.filter(({ found }) => found)).toEqual([]);
  });

  it('draws posts only where they touch something', () => {
    const view = viewOf(told(berthSign(['31 mm, -35 mm', '24 mm, -35 mm']), 'post-clash', 'c', 'camC'));
    const layer = layerOf(view, rowOf(view, 'camC'))!;
    expect(layer.sliders.map(({ kind, segment }) => `${kind} ${segment}`)).toContain('post c');
    expect(plan(view, 'camC', 0)).toContain('the post of c');
    expect(plan(viewOf(reckonedExample('berth-sign')), 'camC', 0)).not.toContain('the post of');
  });
});

describe('the face', () => {
  const face = (view: View, across: number) =>
    renderToString(<Face view={view} states={barsAt(view, across)} moment="" width={188} height={230} />);

  it('fills bars that touch at this moment and signs them', () => {
    const view = viewOf(told(crowded(), 'bar-clash', 'a', 'b'));
    const [pair] = view.figures.encounters.bars.filter(({ gap }) => gap < 0);
    const { across } = momentAt(view, pair!.moment!);
    expect(face(view, across)).toContain('class="lw-clash"');
    expect(face(view, across)).toContain('class="lw-mark lw-error"');
    expect(gapNote(view)).toMatch(/^a–b touch: 0\.5 mm, /);
  });

  it('gives near pairs their dimension as it is now', () => {
    const view = viewOf(berthSign(['44 mm by 6 mm at 0 mm, 66 mm', '53 mm by 6 mm at 0 mm, 57.5 mm']));
    expect(gapNote(view)).toMatch(/^least gap a–b: 1\.5 mm/);
    // At rest 8 both are up: 31 + 3.5 − 3 − 26.5 = 5 mm apart across, 57.5 + 3.5 − 3 − 57 = 1 mm along; √26 (derived).
    expect(face(view, 8)).toMatch(/gap of a and b: 5\.1 mm/);
    expect(gapNote(viewOf(reckonedExample('berth-sign')))).toBeUndefined();
  });
});

describe('what a standing drawing shows', () => {
  it('is the worst clash, where and when it is', () => {
    const view = viewOf(fine(told(crowded(), 'bar-clash', 'a', 'b')));
    const pair = view.figures.encounters.bars.find(({ segments }) => segments.join() === 'a,b')!;
    const { row, moment } = tellingView(view);
    expect(row!.cam.name).toBe('camA');
    expect(moment.across).toBeCloseTo(pair.moment!, 6);
  });

  it('is the level at which a post is met, not the one of its own cam', () => {
    const reckoned = berthSign(['31 mm, -35 mm', '24 mm, -35 mm']);
    const view = viewOf(told(reckoned, 'post-clash', 'c', 'camD'));
    expect(
      view.figures.encounters.posts.some(({ of, against, gap }) => {
        const names = [of.segment, 'segment' in against ? against.segment : against.name];
        return gap < 0 && names.join() === 'c,camD';
      }),
    ).toBe(true);
    const { row } = tellingOf(view, view.findings[0]!);
    expect(row!.cam.level!.value).toBe(1);
  });

  it('is the steepest flank of a sound design', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    expect(tellingView(view).row!.cam.name).toBe('camA');
  });

  it('counts moments past the first count into its laps', () => {
    const turns = { rests: 10, direction: 1, laps: 3 } as View;
    expect(momentAt(turns, 23.5)).toEqual({ lap: 2, across: 3.5 });
    expect(momentAt(turns, 9.995)).toEqual({ lap: 1, across: 0 });
    expect(momentAt({ ...turns, direction: -1 } as View, 1)).toEqual({ lap: 2, across: 9 });
  });
});

describe('the section', () => {
  it('draws every part at its depth and says the heights', () => {
    const view = viewOf(reckonedExample('berth-sign'));
    const svg = renderToString(<Section view={view} row={rowOf(view, 'camA')} width={392} height={170} />);
    expect(svg.match(/<rect/g)).toHaveLength(view.figures.stack.parts.length);
    // Levels of 3 + 1.2 mm, and gears 5 mm wide behind them.
    for (const depth of ['4.2', '8.4', '12.6', '16.8', '21.8 mm']) expect(svg).toContain(`>${depth}<`);
    expect(svg).toContain('camA, 3 mm from 0 mm to 3 mm');
  });
});

it('tables carry walls, keys, near gaps and stacks', () => {
  const view = viewOf(fine(crowded()));
  const html = renderToString(<FiguresTable view={view} />);
  const captions = [...html.matchAll(/<caption>([^<]*)/g)].map(([, caption]) => caption);
  expect(captions).toEqual([
    'Cams',
    'Rests',
    'What each step takes, greased, forward',
    'Friction at which a bar can no longer be lifted',
    'Play at the rests, against the rest margin',
    'Shafts',
    'Keys',
    'Least gaps in a turn, under 3 mm',
    'Stacks, from the face back',
  ]);
  // The bore of 9 mm and 0.1 mm round it, in a cam of 22 mm.
  expect(html).toMatch(/<td>12\.9 mm at \d+°<\/td>/);
  expect(html).toMatch(/<th scope="row">bar a<\/th><td>bar b<\/td><td>touch, 0\.5 mm deep<\/td>/);
  const play = degrees(view.figures.keyed.keys[0]!.play).toFixed(2);
  expect(html).toContain(`<th scope="row">dee</th><td>1</td><td>1</td><td>${play}°</td>`);
  expect(html).toContain('<td>flange of camA</td><td>1</td><td>3 mm</td><td>4.2 mm</td><td>1.2 mm</td>');
});

it('no two clips of one drawing share a name', () => {
  const svg = chartSvg(told(neighbours(), 'neighbour-clash', 'camA', 'camD'));
  const ids = [...svg.matchAll(/<clipPath id="([^"]*)"/g)].map(([, id]) => id);
  expect(ids.length).toBeGreaterThan(1);
  expect(new Set(ids).size).toBe(ids.length);
});

it('what stands at every rest is signed once on its row', () => {
  const reckoned = told(crowded(), 'post-clash', 'a', 'camA');
  const marks = (positions: readonly number[]) => {
    const view = viewOf({ ...reckoned, findings: [{ ...reckoned.findings[0]!, positions }] });
    return rowOf(view, 'camA').marks[0]!.at;
  };
  expect(marks(Array.from({ length: 12 }, (_, i) => i))).toEqual([]);
  expect(marks([0, 3])).toEqual([0, 3, 12]);
});

describe('the frame', () => {
  const drawn = (reckoned: Reckoned) => {
    const view = viewOf(reckoned);
    const states = barsAt(view, 0);
    const plan = planOf(view)!;
    return [
      renderToString(<Face view={view} states={states} moment="at 0" width={300} height={400} />),
      renderToString(<Plan view={view} plan={plan} t={0} width={300} height={400} />),
    ];
  };

  it('stands behind face and shafts once it is laid out: plates, screws and windows; nothing before', () => {
    const text = example('signal-box').replace('\n  every segment', '\n  frame { }\n  every segment');
    const [reckoned] = reckonedAll(text);
    const { frame, ...early } = reckoned.figures;
    for (const svg of drawn({ ...reckoned, figures: early })) expect(svg).not.toContain('lw-frame');
    const laidOut = frame ?? finished(refined(reckoned.mechanism, reckoned.figures)).frame!;
    for (const svg of drawn({ ...reckoned, figures: { ...early, frame: laidOut } })) {
      const [, lines] = /<g class="lw-frame">(.*?)<\/g>/.exec(svg)!;
      expect(lines.match(/<rect/g)).toHaveLength(1);
      expect(lines.match(/<circle/g)).toHaveLength(laidOut.screws.length);
      expect(lines.match(/<path/g)).toHaveLength(7);
      const [width, height] = ['width', 'height'].map((side) =>
        Number(new RegExp(`<rect[^>]* ${side}="([\\d.]+)"`).exec(svg)![1]),
      );
      expect(width / height).toBeCloseTo(laidOut.plate.width / laidOut.plate.height, 2);
      expect(width).toBeLessThanOrEqual(300);
      expect(height).toBeLessThanOrEqual(400);
    }
  });
});
