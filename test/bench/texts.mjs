// The texts that the speeds are measured on: designs in the open layout, JSON and TypeScript of as many lines.

/** Azimuth, bar and half (0 upper, 1 lower) of the seven bars of a numeral. */
const bars = {
  a: [90, '44 mm by 6 mm', 0, 66, 0],
  b: [0, '6 mm by 44 mm', 31, 35, 0],
  f: [180, '6 mm by 44 mm', -31, 35, 0],
  g: [270, '44 mm by 6 mm', 0, 3.5, 0],
  d: [270, '44 mm by 6 mm', 0, -66, 1],
  c: [0, '6 mm by 44 mm', 31, -35, 1],
  e: [180, '6 mm by 44 mm', -31, -35, 1],
};

const block = (head, ...lines) => [`  ${head} {`, ...lines.map((line) => `    ${line}`), '  }'];

/** One sound numeral of `lines` lines (125 at least), one property a line, ended by a blank line. */
export function numeral(name, lines = 125) {
  const levels = [0, 0];
  const text = [
    `mechanism ${name} {`,
    ...block('about', `title "${name}"`, 'revision "A"'),
    '  made with filament',
    '  assembled greased',
    '  glyphs faces',
    '  count 0 1 2 3 4 5 6 7 8 9 C "-"',
    '',
    ...block('shaft upper', 'at 0 mm, 35 mm', 'turns clockwise', 'key dee', 'bearing 10 mm clearance 0.2 mm'),
    ...block('shaft lower', 'at 0 mm, -35 mm', 'turns counterclockwise', 'key dee', 'bearing 10 mm clearance 0.2 mm'),
    ...block('key dee', 'shape flat', 'outer 18 mm', 'clearance 0.1 mm'),
    ...block('gear upperGear on upper', 'module 1 mm', 'teeth 70', 'width 5 mm', 'mark 270 deg'),
    ...block('gear lowerGear on lower', 'module 1 mm', 'teeth 70', 'width 5 mm', 'mark 90 deg'),
    '  mesh upperGear lowerGear { backlash 0.12 mm }',
    '',
    ...block('every cam', 'law simple harmonic', 'thickness 3 mm', 'flange 1.2 mm'),
    ...block('every segment', 'stroke 3.5 mm', 'nose 1.5 mm', 'guide 14 mm', 'fit 0.2 mm', 'shown raised'),
    '',
    ...Object.entries(bars).flatMap(([bar, [azimuth, size, x, y]]) =>
      block(`segment ${bar}`, `azimuth ${azimuth} deg`, `bar ${size} at ${x} mm, ${y} mm`),
    ),
    '',
    ...Object.entries(bars).flatMap(([bar, [, , , , half]]) => {
      levels[half]++;
      const head = `cam cam${bar.toUpperCase()} on ${half ? 'lower' : 'upper'} level ${levels[half]} drives ${bar}`;
      return block(head, 'base 22 mm', `travel ${bar === 'g' ? 26 : 25} deg`);
    }),
    '',
    ...block('spring coils', 'returns a b c d e f g', 'rate 0.08 N/mm', 'preload 0.9 N'),
    '  ratchet stepper on upper { teeth 12   play 0.5 deg   hold 60 Nmm }',
    '  push button turns upper { arm 14 mm   start -17 deg   stroke 8.2 mm }',
    '  limits { pressure angle 30 deg   push 20 N   shown 90 %   hidden 10 % }',
  ];
  while (text.length < lines - 2) text.push(`  // note ${text.length}`);
  return [...text, '}', ''];
}

const faces = ['glyphs faces like decimal { C = a d e f   "-" = g }', ''];

/** A design of some 150 lines: one numeral and its glyphs. */
export const design = () => [...faces, ...numeral('BerthSign', 148)].join('\n');

/** A file of 40 numerals, 5,000 lines. */
export const board = () =>
  [...faces, ...Array.from({ length: 40 }, (_, i) => numeral(`Berth${i + 1}`)).flat()].join('\n');

/** A JSON text of so many lines. */
export function json(lines) {
  const rows = Array.from({ length: lines - 3 }, (_, i) => `  "name${i}": { "value": ${i}, "unit": "mm" },`);
  return ['{', ...rows, '  "last": 0', '}'].join('\n');
}

/** A TypeScript module of so many lines. */
export function typescript(lines) {
  const rows = Array.from({ length: Math.floor((lines - 2) / 5) }, (_, i) => [
    `export function part${i}(width: number): { area: number; name: string } {`,
    `  const area: number = width * ${i + 1};`,
    // biome-ignore lint/suspicious/noTemplateCurlyInString: it is the text of a program
    '  const name = `part ${area}`;',
    '  return { area, name };',
    '}',
  ]);
  return [...rows.flat(), 'export const last: number = 0;', ''].join('\n');
}
