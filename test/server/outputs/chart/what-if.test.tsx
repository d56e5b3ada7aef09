import { renderToString } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { Chart } from '../../../../server/outputs/chart/chart.tsx';
import { chartHtml, chartSvg } from '../../../../server/outputs/chart/files.tsx';
import { layoutOf } from '../../../../server/outputs/chart/layout.ts';
import { meet, patchOf } from '../../../../server/outputs/chart/placing.ts';
import { stripFigures } from '../../../../server/outputs/chart/strip-figures.ts';
import { Strips } from '../../../../server/outputs/chart/strips.tsx';
import { viewOf } from '../../../../server/outputs/chart/view.ts';
import {
  type Choice,
  choicesOf,
  digitsSentence,
  numberIn,
  triedView,
  withValue,
} from '../../../../server/outputs/chart/what-if.ts';
import type { Reckoned } from '../../../../server/protocol.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { berthSign, reckonedExample } from './designs.ts';

const hooks = {
  a: '0 mm, 69 mm', b: '34 mm, 35 mm', c: '34 mm, -35 mm', d: '0 mm, -69 mm', e: '-34 mm, -35 mm', f: '-34 mm, 35 mm',
}; // biome-ignore format: a table

/** The berth sign with a band round its outer bars; only the middle bar keeps its spring. */
const banded = (loop: string, ...more: readonly (readonly [string, string])[]): Reckoned =>
  berthSign(
    ...Object.entries(hooks).map(([name, at]) => [`segment ${name} { `, `segment ${name} { hook at ${at}   `] as const),
    ['returns a b c d e f g ', `returns g `],
    [
      '  ratchet',
      `  band rim { around c, b, a, f, e, d   section 2.5 mm by 1.5 mm   shear 0.4 MPa   loop ${loop} }\n  ratchet`,
    ],
    ...more,
  );

const choice = ({ mechanism }: Reckoned, key: string): Choice => choicesOf(mechanism).find((each) => each.key === key)!;

/** Each choice with a value, and the design whose text says that value. */
const trials: readonly (readonly [key: string, value: number | 'dry', written: Reckoned])[] = [
  ['rim.loop', 300, banded('300 mm')],
  ['rim.loop', 120, banded('120 mm')],
  ['coils.preload', 0.1, banded('280 mm', ['preload 0.9 N', 'preload 0.1 N'])],
  ['coils.rate', 4, banded('280 mm', ['rate 0.08 N/mm', 'rate 4 N/mm'])],
  ['button.arm', 5, banded('280 mm', ['arm 14 mm', 'arm 5 mm'])],
  ['stepper.hold', 0, banded('280 mm', ['hold 60 Nmm', 'hold 0 Nmm'])],
  ['assembled', 'dry', banded('280 mm', ['assembled greased', 'assembled dry'])],
  ['drag', 0.9, banded('280 mm', ['every segment { ', 'every segment { drag 0.9 N   '])],
];

const text = banded('280 mm');
const sentenceOf = (reckoned: Reckoned) => digitsSentence(viewOf(reckoned));
const tried = (key: string, value: number | 'dry', of = text) =>
  triedView(viewOf(of), { choice: choice(of, key), value });

describe('a number other than the text’s', () => {
  it('is offered for what makers vary after printing', () => {
    expect(choicesOf(text.mechanism).map(({ key }) => key)).toEqual([
      'rim.loop',
      'coils.preload',
      'coils.rate',
      'button.arm',
      'stepper.hold',
      'assembled',
      'drag',
    ]);
  });

  it('is no rate where the coil gives it', () => {
    const coil = 'coil extension   wire 0.5 mm   mean 5 mm   turns 10   preload';
    const { mechanism } = berthSign(['preload', coil]);
    expect(choicesOf(mechanism).map(({ key }) => key)).not.toContain('coils.rate');
  });

  it('changes that value of the mechanism and nothing else', () => {
    const before = structuredClone(text.mechanism);
    for (const [key, value] of trials) {
      const changed = withValue(text.mechanism, choice(text, key), value);
      const put = choice({ ...text, mechanism: changed }, key);
      expect(put.stated, key).toEqual(put.of === 'mechanism' ? value : [value]);
      const stated = choice(text, key).stated;
      const back = withValue(changed, put, typeof stated === 'string' ? stated : stated[0]!);
      expect(back, key).toEqual(before);
    }
    expect(text.mechanism).toEqual(before);
  });

  it.each(trials)('%s %s is reckoned as from a text that says it', (key, value, written) => {
    const { figures } = tried(key, value);
    const wanted = reckon(written.mechanism);
    for (const part of [
      'forces',
      'bands',
      'springs',
      'pressures',
      'windUps',
      'forwardRest',
      'positions',
      'steps',
    ] as const)
      expect(figures[part], part).toEqual(wanted[part]);
    const play = ({ cams }: typeof wanted) => cams.map(({ restError }) => [restError?.rss, restError?.worst]);
    expect(play(figures)).toEqual(play(wanted));
    expect(digitsSentence(tried(key, value))).toBe(sentenceOf(written));
  });
});

describe('the sentence on the digits', () => {
  it('says that nothing binds where nothing is found', () => {
    expect(text.findings).toEqual([]);
    expect(sentenceOf(text)).toBe('Nothing binds, and all comes back.');
  });

  it('names the digits whose steps the findings of the written design name', () => {
    const symbols = text.figures.positions.map(({ symbol }) => symbol);
    const stepsOf = (reckoned: Reckoned, code: string) =>
      (reckoned.findings.find((finding) => finding.code === code)?.figures.steps ?? []) as readonly number[];
    for (const [key, value, written] of trials) {
      const sentence = digitsSentence(tried(key, value));
      const said = (words: string) =>
        sentence
          .slice(0, -1)
          .split('; ')
          .filter((clause) => clause.toLowerCase().includes(words))
          .flatMap((clause) => clause.split(/ to | after /)[1]!.split(/, | and /))
          .sort();
      const next = stepsOf(written, 'heavy-push').map((step) => symbols[(step + 1) % symbols.length]!);
      expect(said('more than 20 n'), key).toEqual(next.sort());
      const slack = stepsOf(written, 'slack-return').map((step) => symbols[step]!);
      expect(said(' after '), key).toEqual(slack.sort());
    }
    expect(stepsOf(banded('300 mm'), 'slack-return').length).toBeGreaterThan(0);
    expect(stepsOf(banded('120 mm'), 'heavy-push').length).toBeGreaterThan(0);
  });

  it('names the steps that lock', () => {
    const locked = berthSign(['assembled greased', 'assembled dry'], ['segment g { ', 'segment g { guide 2 mm   ']);
    const greased = berthSign(['segment g { ', 'segment g { guide 2 mm   ']);
    expect(sentenceOf(locked)).toMatch(/^Binds going to /);
    expect(digitsSentence(tried('assembled', 'dry', greased))).toBe(sentenceOf(locked));
    const steps = locked.figures.forces.cases.find((one) => one.usedByFindings)!.steps;
    for (const { to } of steps.flatMap(({ index, jammed }) => (jammed.length ? [locked.figures.steps[index]!] : [])))
      expect(sentenceOf(locked)).toContain(to);
  });
});

describe('a number as it is typed', () => {
  const loop = choice(text, 'rim.loop') as Extract<Choice, { unit: string }>;
  const preload = choice(text, 'coils.preload') as Extract<Choice, { unit: string }>;
  it('is read with or without its unit, with a point or a comma', () => {
    for (const written of ['140', ' 140 mm', '140mm', '140.0', '140,0']) expect(numberIn(written, loop)).toBe(140);
    expect(numberIn('0', preload)).toBe(0);
    expect(numberIn('60 Nmm', choice(text, 'stepper.hold') as typeof loop)).toBe(60);
  });
  it.each([
    ['', 'Give a number in mm.'],
    ['0', 'loop must be more than 0 mm.'],
    ['-3', 'loop cannot be less than 0.'],
    ['−3', 'loop cannot be less than 0.'],
    ['long', '“long” is not a number.'],
    ['NaN', '“NaN” is not a number.'],
    ['1e999', '“1e999” is not a number.'],
    ['14 N', 'loop is given in mm.'],
    ['1e-9', 'Less than 0.001 mm is not reckoned.'],
    ['1e9', 'More than 100000 mm is not reckoned.'],
  ])('%j is told', (written, says) => expect(numberIn(written, loop)).toBe(says));
});

describe('the strips of a trial', () => {
  it.each([500, 960])('say that they are not the text’s, and cover nothing, at %d px', (width) => {
    const view = tried('rim.loop', 300);
    const layout = layoutOf(view, width, width === 500 ? 'camA' : undefined);
    const { tried: mark } = width === 500 ? layout.list : layout.strips;
    expect(mark!.text).toBe('what if: rim.loop 300 mm (text: 280 mm)');
    const others = [
      ...layout.strips.strips.flatMap(({ words, labels }) => [...words, ...labels]),
      ...layout.list.columns.flatMap(({ heading, lines }) => [heading, ...lines]),
    ];
    expect(others.length).toBeGreaterThan(0);
    for (const other of others) expect(meet(patchOf(mark!), patchOf(other)), other.text).toBe(false);
    expect(stripFigures(view).returns!.steps.some(({ ratio = 9 }) => ratio < 1)).toBe(true);
  });

  it.each(['rim.loop', 'coils.preload', 'coils.rate', 'button.arm', 'stepper.hold', 'drag'])(
    'stay in the picture at the bounds of %s',
    (key) => {
      for (const value of [0.001, 100_000]) {
        const view = tried(key, value);
        const svg = renderToString(<Strips view={view} layout={layoutOf(view, 960)} />);
        expect(svg, `${value}`).not.toMatch(/NaN|d="[^"]*Infinity/);
        expect(digitsSentence(view)).toMatch(/\.$/);
      }
    },
  );

  it('carry no mark of what was found of the text’s own forces', () => {
    const slack = banded('300 mm');
    expect(viewOf(slack).findings.map(({ finding }) => finding.code)).toContain('slack-return');
    const view = tried('rim.loop', 280, slack);
    expect(view.findings.map(({ finding }) => finding.code)).not.toContain('slack-return');
    expect(view.rows.flatMap(({ marks }) => marks)).toEqual([]);
  });
});

describe('the bar', () => {
  it('stands in the chart, labelled, and says how the command line is asked', () => {
    const html = renderToString(<Chart mechanisms={[text]} />);
    expect(html).toContain('aria-label="Number to try"');
    expect(html).toContain('aria-label="rim.loop in mm"');
    expect(html).toContain('value="280"');
    expect(html).toContain('text: 280 mm');
    expect(html).toContain('--set &quot;rim.loop=…&quot;');
  });

  it('is not in files, and not where no push is reckoned', () => {
    expect(chartSvg(text)).not.toMatch(/what if/i);
    expect(chartHtml([text], { script: '' })).not.toContain('class="lw-trying"');
    const bare = berthSign(['  spring coils { returns a b c d e f g   rate 0.08 N/mm   preload 0.9 N }\n', '']);
    expect(renderToString(<Chart mechanisms={[bare]} />)).not.toContain('lw-trying');
    expect(renderToString(<Chart mechanisms={[reckonedExample('berth-sign')]} />)).toContain('lw-trying');
  });
});
