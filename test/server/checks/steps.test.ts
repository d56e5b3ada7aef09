/** What every step asks of the hand, and whether the bars come back: what is found, and that what is offered mends it. */
import { describe, expect, it } from 'vitest';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { banded, lampBoard, pushedBoard } from '../../../server/checks/examples.ts';
import { pages } from '../../../server/checks/index.ts';
import { proveFix } from '../../../server/fixes.ts';
import { findingsIn, unmarked } from './findings.ts';

const services = createLobeServices();
const codes = ['slack-return', 'guide-jam', 'heavy-push', 'cam-overruns'];
const told = (text: string, code: string) => findingsIn(text).filter((one) => one.code === code);

function proved(text: string, code: string): string[] {
  const document = readDesign(services, text);
  const analysis = analyse(document, services.shared.workspace.LangiumDocuments);
  const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
  return analysis.findings
    .filter((finding) => finding.code === code)
    .flatMap((finding) => finding.fixes.filter((fix) => proveFix(finding, fix, scene)).map(({ title }) => title));
}

const everySegment = 'every segment { stroke 3 mm   nose 1.5 mm   guide 12 mm }';
const sprung = (spring: string, more: Parameters<typeof lampBoard>[0] = {}) =>
  lampBoard({ everySegment, more: `spring coils { returns left right   ${spring} }`, ...more });

describe('returns', () => {
  it('rank the steps and name the bar, by the least of spring over drag', () => {
    const [slack] = told(sprung('rate 0.1 N/mm   preload 0.36 N'), 'slack-return');
    // 0.36 N against a drag of 0.3 N, lowered; off → low lets none down, low → high neither, high → off both.
    expect(slack!.figures).toMatchObject({ ratio: expect.closeTo(1.2, 9), limit: 1.5, steps: [2] });
    expect(slack!.message).toBe(
      'bar left is drawn back with 0.36 N, 1.2 times the 0.3 N that hinder it dry (limit 1.5), in the step from "high" to "off"; preload 0.45 N would do',
    );
    expect(slack!.severity).toBe('warning');
    expect(told(sprung('rate 0.1 N/mm   preload 0.2 N'), 'slack-return')[0]!.severity).toBe('error');
  });

  it('count the weight of a bar that hangs, and help from one that falls', () => {
    // 30 g are 0.294 N: a bar that slides down to rise must be lifted back.
    const hung = (azimuth: string) =>
      sprung('rate 0.1 N/mm   preload 0.8 N', {
        left: `segment left { azimuth ${azimuth}   mass 30 g   bar 4 mm by 20 mm at 0 mm, -40 mm }`,
      });
    expect(told(hung('270 deg'), 'slack-return')[0]!.figures).toMatchObject({
      ratio: expect.closeTo(0.8 / (0.3 + 0.2941995), 6),
    });
    expect(told(hung('90 deg').replace('-40 mm }', '40 mm }'), 'slack-return')).toEqual([]);
  });

  it('are mended by the preload that is offered', () => {
    expect(proved(sprung('rate 0.1 N/mm   preload 0.36 N'), 'slack-return')).toEqual(['Give coils preload 0.45 N']);
  });

  it('of a band are slackest where the fewest bars are up', () => {
    // Common practice: with one loop, binding shows first at the symbols that leave it slackest. Two bars, three
    // symbols: none is up at "off", so the loop is slackest when both have come down.
    const [slack, ...others] = told(banded('loop 140 mm'), 'slack-return');
    expect(others).toEqual([]);
    expect(slack!.message).toContain('in the step from "high" to "off"');
    // 2.25 mm² of 0.4 MPa at λ = 152/140, on two runs, against 0.3 N; derived.
    const stretch = 152 / 140;
    expect(slack!.figures.ratio).toBeCloseTo((2 * 2.25 * 0.4 * (stretch - stretch ** -2)) / 0.3, 6);
    expect(told(banded('loop 130 mm'), 'slack-return')).toEqual([]);
    // What is said of the loop and not understood is told alone.
    expect(told(banded('loop -1 mm'), 'slack-return')).toEqual([]);
  });
});

describe('guides', () => {
  const long = (more: string) =>
    sprung('rate 0.1 N/mm   preload 0.9 N', {
      everySegment: `every segment { stroke 3 mm   nose 1.5 mm   overhang 12 mm   guide 3 mm }${more}`,
    });

  it('lock dry, and not greased; what is offered is true', () => {
    const found = told(long(''), 'guide-jam');
    expect(found).toHaveLength(1); // one number of all segments
    expect(found[0]!.about).toEqual(['left', 'camL', 'right', 'camR']);
    expect(found[0]!.severity).toBe('error');
    expect(found[0]!.figures.friction).toBeGreaterThan(0.1);
    expect(found[0]!.figures.friction).toBeLessThan(0.3);
    expect(told(long('\nassembled greased'), 'guide-jam')).toEqual([]);
    expect(proved(long(''), 'guide-jam')).toEqual(expect.arrayContaining(['Grease it']));
  });
});

describe('pushes', () => {
  const board = (limit: string, more = '') =>
    pushedBoard(
      `push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }\nspring coils { returns left right   rate 0.1 N/mm   preload 0.9 N }\nlimits { push ${limit} }${more}`,
    ).replace('every segment { ', 'every segment { guide 12 mm   ');

  it('too heavy name the step and each bar’s share, which add up', () => {
    const [heavy] = told(board('2 N'), 'heavy-push');
    expect(heavy!.message).toMatch(
      /^button takes [0-9.]+ N in the step from "low" to "high", dry \(limit 2 N\): bars right/,
    );
    expect(told(board('30 N'), 'heavy-push')).toEqual([]);
    const force = heavy!.figures.force as number;
    expect(told(board(`${(force - 0.01).toFixed(3)} N`), 'heavy-push')).toHaveLength(1);
    expect(told(board(`${(force + 0.01).toFixed(3)} N`), 'heavy-push')).toEqual([]);
  });

  it('without a limit are not judged', () => {
    expect(told(board('2 N').replace('limits { push 2 N }', ''), 'heavy-push')).toEqual([]);
  });
});

describe('running on', () => {
  it('is told with the torque that would hold it, which does', () => {
    const text = pages.find(({ code }) => code === 'cam-overruns')!.examples[0]!.text;
    const plain = unmarked(text).text;
    const [found] = told(plain, 'cam-overruns');
    const torque = found!.figures.torque as number;
    expect(torque).toBeGreaterThan(2);
    expect(proved(plain, 'cam-overruns')).toHaveLength(1);
    const held = (hold: number) => told(plain.replace('hold 2 Nmm', `hold ${hold.toFixed(3)} Nmm`), 'cam-overruns');
    expect(held(torque - 0.01)).toHaveLength(1);
    expect(held(torque + 0.01)).toEqual([]);
  });
});

it('half-written designs raise none of them, and nothing throws', () => {
  for (const code of codes) {
    const { text } = unmarked(pages.find((page) => page.code === code)!.examples[0]!.text);
    for (let end = 0; end < text.length; end += 23) expect(() => findingsIn(text.slice(0, end))).not.toThrow();
  }
});
