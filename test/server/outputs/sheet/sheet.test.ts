import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barsAt, viewOf } from '../../../../server/outputs/chart/view.ts';
import type { Block } from '../../../../server/outputs/document/document.ts';
import { documentsHtml } from '../../../../server/outputs/document/page.tsx';
import { documentsText } from '../../../../server/outputs/document/text.ts';
import { cardsDocument, tooLarge, usualScale } from '../../../../server/outputs/sheet/cards.tsx';
import { sheetsJson } from '../../../../server/outputs/sheet/json.ts';
import { type Sheet, sheetOf } from '../../../../server/outputs/sheet/sheet.ts';
import { buildSheet } from '../../../../server/outputs/sheet/told/build-sheet.ts';
import type { Reckoned } from '../../../../server/protocol.ts';
import { berthSign, example, examples, reckonedAll, reckonedExample } from '../chart/designs.ts';

const clean = examples.filter((name) => name !== 'wrong-on-purpose');
const known = new Map<string, Sheet>();
const sheetFor = (name: string): Sheet => {
  if (!known.has(name)) known.set(name, sheetOf(reckonedExample(name)));
  return known.get(name)!;
};
const sheets = (reckoned: readonly Reckoned[]) => reckoned.map((one) => buildSheet(sheetOf(one), '9.9.9'));
const blocks = (sheet: Sheet) => buildSheet(sheet, '9.9.9').blocks;
const of = <Kind extends Block['kind']>(all: readonly Block[], kind: Kind) =>
  all.filter((block): block is Extract<Block, { kind: Kind }> => block.kind === kind);

it('of a bar on a swinging arm the step says what arm is to be made, and nothing of a stem', () => {
  const swinging = berthSign(['segment a {', 'segment a { follower pivoted at 30 mm, 60 mm arm 30 mm   stem 2 mm ']);
  const said = documentsText(sheets([swinging])).replace(/\s+/g, ' ');
  expect(said).toContain(
    'Its arm is not among the parts: make one 30 mm from pivot to nose, 2 mm wide, its pivot at x 30, y 60 mm, its nose of 1.5 mm radius against camA.',
  );
});

describe('stages', () => {
  it.each(clean)('of %s put in every part once, on shafts that stand', (name) => {
    const { stages, parts, deadlocks } = sheetFor(name);
    expect(deadlocks).toEqual([]);
    const steps = stages.flatMap((stage) => stage.steps);
    const seats = parts.flatMap((part) => part.seats.map((_, seat) => `${part.name} ${seat}`));
    expect(steps.map(({ part, seat }) => `${part} ${seat}`).sort()).toEqual(seats.sort());
    for (const [i, { at, kind, before }] of steps.entries()) {
      const there = new Set(steps.slice(0, i).map(({ part }) => part));
      if (at.moves.with === 'shaft' && kind !== 'shaft') expect(there).toContain(at.moves.name);
      for (const later of before) expect(there.has(later), `${later} before ${steps[i]!.part}`).toBe(false);
    }
  });

  it('of the berth sign: shafts and gears, then level by level from the back', () => {
    const { stages } = sheetFor('berth-sign');
    expect(stages.map(({ kind, cams, bars }) => [kind, cams.join(' '), bars.join(' ')])).toEqual([
      ['train', '', ''],
      ['bars', 'camG', 'g'],
      ['bars', 'camF camE', 'f e'],
      ['bars', 'camB camC', 'b c'],
      ['bars', 'camA camD', 'a d'],
    ]);
  });

  it('of the score tally go into its frame from the back: bars before their cams, gears after, the back plate last', () => {
    const { stages } = sheetFor('score-tally');
    expect(
      stages.map(({ kind, cams, bars, tries }) => [kind, cams.join(' '), bars.join(' '), tries.join(' ')]),
    ).toEqual([
      ['train', '', '', ''],
      ['bars', 'camA camD', 'a d', ''],
      ['bars', 'camB camC', 'b c', ''],
      ['bars', 'camF camE', 'f e', ''],
      ['bars', 'camG', 'g', ''],
      ['train', '', '', 'a d b c f e g'],
      ['close', '', '', ''],
    ]);
    const steps = stages.flatMap((stage) => stage.steps.map(({ part }) => part));
    expect([steps[0], steps.at(-1)]).toEqual(['face plate', 'back plate']);
  });

  it('of the lock countdown slide the bar over the cams in before the one above it', () => {
    const steps = sheetFor('lock-countdown').stages.flatMap((stage) => stage.steps);
    const g = steps.find(({ part }) => part === 'g')!;
    expect(g).toMatchObject({ way: 'slide', before: ['a'] });
    expect(steps.findIndex(({ part }) => part === 'camA')).toBeLessThan(steps.indexOf(g));
  });

  it('name the bed of each part where they take more than one', () => {
    const sheet = sheetFor('berth-sign');
    const numbers = sheet.prints.map(({ beds }) => beds);
    expect(new Set(numbers.flat())).toEqual(new Set([1, 2]));
    const printing = of(blocks(sheet), 'table').find(({ caption }) => caption === 'Parts to print')!;
    const column = printing.heads.indexOf('bed');
    expect(printing.rows.map((row) => row[column])).toEqual(numbers.map((each) => each.join(', ')));
    expect(
      of(blocks(sheet), 'text')
        .map(({ text }) => text)
        .join('\n'),
    ).toContain('They take 2 beds of 220 by 220 mm. Export writes a file for each, by the same numbers.');
    const one = blocks({ ...sheet, beds: sheet.beds.slice(0, 1) });
    expect(of(one, 'table').find(({ caption }) => caption === 'Parts to print')!.heads).not.toContain('bed');
  });

  it.each(clean)('of %s are tried by what the glyphs show', (name) => {
    const sheet = sheetFor(name);
    const { mechanism: m } = sheet.view;
    const table = new Map(m.glyphs!.value.entries.map(({ symbol, lit }) => [symbol, new Set(lit)]));
    const inPlace: string[] = [];
    for (const { bars, tries, seen, raisedAtHome } of sheet.stages) {
      inPlace.push(...bars);
      if (tries.length === 0) continue;
      const raisedAt = (symbol: string) =>
        inPlace.filter((bar) => {
          const lit = table.get(symbol)!.has(bar);
          return m.segments.find((one) => one.name === bar)!.shown.value === 'raised' ? lit : !lit;
        });
      const sorted = (names: readonly string[]) => [...names].sort();
      expect(sorted(raisedAtHome)).toEqual(sorted(raisedAt(m.count!.symbols[0]!.text)));
      for (const { to, raised } of seen) expect(sorted(raised)).toEqual(sorted(raisedAt(to)));
      // Every bar that is tried has moved by the end.
      const moved = new Set(seen.flatMap(({ rising, falling }) => [...rising, ...falling]));
      for (const bar of tries) expect(moved).toContain(bar);
    }
    const tried = sheet.stages.flatMap(({ tries }) => tries);
    expect([...tried].sort()).toEqual([...inPlace].sort());
  });

  it('go backwards where the build does', () => {
    const { stages } = sheetOf(berthSign(['count 0 1', 'runs reverse\n  count 0 1']));
    const [first] = stages.find(({ kind }) => kind === 'bars')!.seen;
    expect([first!.from, first!.to]).toEqual(['0', '-']);
  });

  it('name the two parts where something cannot be put in, and leave it out of the steps', () => {
    const stirrup = example('lock-countdown').replace(
      'post 4 mm by 6 mm at 8 mm, 26 mm',
      'post 4 mm by 6 mm at 8 mm, -26 mm',
    );
    const sheet = sheetOf(reckonedAll(stirrup)[0]!);
    expect(sheet.deadlocks).toMatchObject([{ parts: ['g', expect.stringMatching(/^cam/)] }]);
    expect(sheet.stages.flatMap(({ steps }) => steps).map(({ part }) => part)).not.toContain('g');
    expect(documentsText([buildSheet(sheet, '1')])).toMatch(
      /! g cannot be put in\n {2}- g goes in neither before nor after cam/,
    );
  });
});

describe('what to print', () => {
  const { prints } = sheetFor('berth-sign');
  const named = (name: string) => prints.find((print) => print.name === name)!;

  it('has sizes and whole layers: a flange of 54 mm, 4.2 mm in layers of 0.2 mm', () => {
    // base 22 + stroke 3.5 + nose 1.5 = 27 mm of radius
    expect(named('camA').size).toEqual({
      x: expect.closeTo(54, 6),
      y: expect.closeTo(54, 6),
      z: expect.closeTo(4.2, 9),
    });
    expect(named('camA').layers).toBeCloseTo(21, 9);
  });

  it('knows what juts out over nothing: a keyed length over its thinner journal, and no cam over its flange', () => {
    expect(named('upper').overhangs).toEqual([expect.closeTo(5, 9)]);
    for (const { kind, overhangs } of prints) if (kind === 'cam' || kind === 'gear') expect(overhangs).toEqual([]);
  });
});

describe('grease', () => {
  it('goes first where friction works most, and shares add up', () => {
    for (const name of clean) {
      const { grease } = sheetFor(name);
      expect(grease.length).toBeGreaterThan(0);
      expect(grease.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
      for (const [i, { work }] of grease.entries()) expect(work).toBeLessThanOrEqual(grease[Math.max(0, i - 1)]!.work);
    }
  });
});

describe('a loop', () => {
  const banded = berthSign(
    ['segment a { azimuth 90 deg   ', 'segment a { azimuth 90 deg   hook at 0 mm, 70 mm   '],
    ['segment b { azimuth 0 deg   ', 'segment b { azimuth 0 deg   hook at 33 mm, 40 mm   '],
    ['segment c { azimuth 0 deg   ', 'segment c { azimuth 0 deg   hook at 33 mm, -40 mm   '],
    [
      'spring coils { returns a b c d e f g',
      `post peg { at -60 mm, 0 mm   radius 4 mm }
  band rim { around a, peg, c, b   section 1.5 mm by 1.5 mm   loop 200 mm   shear 0.4 MPa }
  spring coils { returns d e f g`,
    ],
  );
  const sheet = sheetOf(banded);

  it('is told stop by stop: straight runs and the arc round the peg add up to its length (derived)', () => {
    const [{ stops, length }] = sheet.routes as [Sheet['routes'][0]];
    expect(stops.map(({ name, kind }) => `${kind} ${name}`)).toEqual(['hook a', 'post peg', 'hook c', 'hook b']);
    const [a, peg, c, b] = stops.map(({ at }) => at) as [
      { x: number; y: number },
      { x: number; y: number },
      { x: number; y: number },
      { x: number; y: number },
    ];
    // From home's hooks, lifted by 3.5 mm; a tangent to a circle of 4 mm is √(d² − 16) long.
    expect([a.y, c.x, b.x]).toEqual([73.5, 36.5, 36.5]);
    const far = (p: { x: number; y: number }, q: { x: number; y: number }) => Math.hypot(p.x - q.x, p.y - q.y);
    const tangent = (p: { x: number; y: number }) => Math.sqrt(far(p, peg) ** 2 - 16);
    const runs = [tangent(a), tangent(c), far(c, b), far(b, a)];
    stops.forEach(({ toNext }, i) => {
      expect(toNext).toBeCloseTo(runs[i]!, 9);
    });
    // Round the peg it turns by π less the angle between the two tangents there.
    const between = Math.acos(
      ((a.x - peg.x) * (c.x - peg.x) + (a.y - peg.y) * (c.y - peg.y)) / (far(a, peg) * far(c, peg)),
    );
    const arc = 4 * (2 * Math.PI - between - Math.acos(4 / far(a, peg)) - Math.acos(4 / far(c, peg)));
    expect(length).toBeCloseTo(
      runs.reduce((sum, run) => sum + run, arc),
      9,
    );
  });

  it('is drawn, laid in a step, and its pull told with its uncertainty', () => {
    const said = documentsText([buildSheet(sheet, '1')]);
    expect(said).toContain('Lay loop rim counter-clockwise over a, peg, c and b');
    expect(said).toMatch(
      /rim is [\d.]+ mm long all round at home, drawn out from 200 mm to [\d.]+ times its free length,\s+and\s+pulls\s+with [\d.]+ N, some ± 30 %/,
    );
    expect(said).toContain('[picture] Way of the loop rim, at home: counter-clockwise: 1 a (hook)');
  });
});

describe('the document', () => {
  it.each(clean)('of %s has what a builder needs, in that order', (name) => {
    const heads = of(blocks(sheetFor(name)), 'heading').map(({ level, text }) => `${level} ${text}`);
    expect(heads.filter((head) => head.startsWith('2'))).toEqual([
      '2 Before you begin',
      '2 What to print and to buy',
      '2 How it is stacked',
      '2 How it stands at home',
      '2 Put it together',
      '2 Where to grease',
      '2 The last test: a whole count',
      '2 What this sheet leaves out',
    ]);
    const stages = heads.filter((head) => head.startsWith('3')).map((head) => head.slice(2));
    expect(stages.map((stage) => Number(/^\d+/.exec(stage)![0]))).toEqual(stages.map((_, i) => i + 1));
  });

  it.each(clean)('of %s numbers its steps through, and has something to try at every stage', (name) => {
    const all = blocks(sheetFor(name));
    let next = 1;
    for (const { first, items } of of(all, 'steps')) {
      expect(first).toBe(next);
      next += items.length;
    }
    const stages = of(all, 'heading').filter(({ level }) => level === 3).length;
    expect(of(all, 'trial').length).toBeGreaterThanOrEqual(stages);
  });

  it('names the standard of gaps, and defers to codes and licensed practice', () => {
    for (const name of clean) {
      const [first] = of(blocks(sheetFor(name)), 'caution');
      const said = first!.items.join(' ');
      expect(said).toContain('ISO 13854');
      expect(said).toContain('25 mm where no finger');
      expect(said).toMatch(/[Ll]ocal codes and licensed practice come first/);
      expect(said).toContain('wear eye protection');
    }
  });

  it('begins with the errors of a design that has some', () => {
    const [first] = of(blocks(sheetFor('wrong-on-purpose')), 'caution');
    expect(first!.title).toMatch(/^Do not build this yet: \d+ errors in the design$/);
    expect(first!.items.some((item) => item.startsWith('steep-cam: '))).toBe(true);
  });

  it.each(examples)('of %s says nothing undefined', (name) => {
    const text = documentsText([buildSheet(sheetFor(name), '9.9.9')]);
    expect(text).not.toMatch(/undefined|NaN|Infinity|\[object/);
    expect(JSON.stringify(sheetsJson([sheetFor(name)]))).not.toMatch(/null/);
    for (const line of text.split('\n')) if (!line.startsWith('  ')) expect(line.length).toBeLessThanOrEqual(100);
  });
});

describe('the page', () => {
  const html = documentsHtml(
    clean.map((name) => buildSheet(sheetFor(name), '9.9.9')),
    'Sheets',
  );

  it('stands alone: no script, nothing from another host', () => {
    expect(html).not.toMatch(/<script|javascript:|\son\w+=|<link|<img|@import|url\((?!#)/i);
    expect(html.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:/);
    expect(html).toContain("default-src 'none'");
  });

  it('gives every drawing a title and a description of its own, and shares no name', () => {
    const ids = [...html.matchAll(/\sid="([^"]+)"/g)].map(([, id]) => id!);
    expect(new Set(ids).size).toBe(ids.length);
    const drawings = [...html.matchAll(/<svg [^>]*aria-labelledby="([^ "]+) ([^"]+)"/g)];
    expect(drawings.length).toBe([...html.matchAll(/<svg /g)].length);
    for (const [, title, description] of drawings) {
      expect(html).toMatch(new RegExp(`<title id="${title}">[^<]+</title><desc id="${description}">[^<]+</desc>`));
    }
    for (const [, id] of html.matchAll(/url\(#([^)]+)\)/g)) expect(ids).toContain(id);
  });

  it('has headings that skip no level, heads on its columns, and its language', () => {
    const levels = [...html.matchAll(/<h([1-6])/g)].map(([, level]) => Number(level));
    levels.forEach((level, i) => {
      expect(level - (levels[i - 1] ?? 0)).toBeLessThanOrEqual(1);
    });
    expect(html).toMatch(/<html lang="en">/);
    const tables = [...html.matchAll(/<table>.*?<\/table>/gs)].map(([table]) => table);
    for (const table of tables) expect(table).toMatch(/<caption>.+<\/caption><thead><tr><th scope="col"/s);
  });

  it('is printed on the paper that is asked for', () => {
    expect(documentsHtml([], 'x', 'letter')).toContain('@page{size:letter}');
    expect(html).not.toContain('@page{size');
  });
});

describe('names that are markup', () => {
  const evil = '<img src=x onerror=alert(1)>';
  const wicked = berthSign(
    ['title "Berth sign"', `title "${evil}"`],
    ['revision "A"', 'revision "</title><script>alert(2)</script>"'],
    ['count 0 1 2 3 4 5 6 7 8 9 C "-"', 'count 0 1 2 3 4 5 6 7 8 9 C "<b>"'],
    ['"-" = g', '"<b>" = g'],
    ['"M3 x 10 countersunk screw"', '"<svg onload=alert(3)>"'],
  );

  it('stay text on pages and cards', () => {
    const html = documentsHtml([...sheets([wicked]), cardsDocument(viewOf(wicked), 1, '1')], evil);
    expect(html).not.toMatch(/<img|<script|<b>alert|<svg onload|<b>(?!\d+<\/b>)/);
    expect(html).toContain('&lt;img src=x onerror=alert(1)>');
    expect(html).toContain('&lt;b>');
  });

  it('stay as they are in text', () => {
    expect(documentsText(sheets([wicked]))).toContain(`# Build sheet: ${evil}`);
  });
});

describe('designs that are not written to the end', () => {
  const text = example('berth-sign');
  it('never stop a sheet, cards or their texts', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: text.length }), fc.integer({ min: 0, max: 60 }), (from, length) => {
        for (const reckoned of reckonedAll(text.slice(0, from) + text.slice(from + length))) {
          const sheet = sheetOf(reckoned);
          const documents = [buildSheet(sheet, '1'), cardsDocument(sheet.view, usualScale(sheet.view), '1')];
          expect(documentsText(documents)).not.toMatch(/undefined|NaN|Infinity/);
          expect(documentsHtml(documents, 'x')).toContain('</html>');
          JSON.stringify(sheetsJson([sheet]));
        }
      }),
      { numRuns: 25 },
    );
  }, 240_000);
});

describe('cards', () => {
  const view = viewOf(reckonedExample('berth-sign'));
  const cardsOf = (n: number) => of(cardsDocument(view, n, '1').blocks, 'drawings').at(-1)!.drawings;

  it('show every rest in the order of the steps, with its number', () => {
    const cards = cardsOf(1);
    expect(cards.map(({ title }) => title)).toEqual(
      view.figures.positions.map(({ index, symbol }) => `Rest ${index}: “${symbol}”`),
    );
    const shown = cards.map(({ description }) => description);
    expect(shown[1]).toBe('shows b and c');
    expect(shown).toEqual(
      view.figures.positions.map(({ index }) => {
        const seen = barsAt(view, index).filter((bar) => bar.seen === 'shown');
        return `shows ${new Intl.ListFormat('en-GB').format(seen.map(({ segment }) => segment.name))}`;
      }),
    );
  });

  it('are true to size: bar a is 44 by 6 mm of 96/25.4 px', () => {
    const html = documentsHtml([cardsDocument(view, 1, '1')], 'x');
    const first =
      /<title>a: lift [^<]*<\/title><path class="lw-hidden" d="M(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)/.exec(
        html,
      )!;
    const [x, y, toX, , , toY] = first.slice(1).map(Number) as [number, number, number, number, number, number];
    expect(((toX - x) * 25.4) / 96).toBeCloseTo(44, 1);
    expect((Math.abs(toY - y) * 25.4) / 96).toBeCloseTo(6, 1);
    const whole = cardsOf(1)[0]!.width;
    expect(cardsOf(2)[0]!.width).toBeLessThan(whole * 0.6);
  });

  it('take the greatest usual scale that fits, and say what does not', () => {
    expect(usualScale(view)).toBe(1);
    expect(tooLarge(view, 1)).toBeUndefined();
    expect(tooLarge(view, 0.5)).toMatch(
      /^a card of Berth sign would be \d+ by \d+ mm, and a page holds 180 by 240 mm; 1:1 fits$/,
    );
    const wide = { ...view, face: { left: -300, right: 300, bottom: -60, top: 60 } };
    expect(usualScale(wide)).toBe(4);
    expect(cardsDocument(wide, 4, '1').about).toContain('1 : 4');
  });
});
