/** The reference of the language, as markdown, from its table of words. */
import { functions, innerWords, laws, type Room, rooms, unitsFor, unitWords, type Word } from './words.ts';

/** A value that counts where a design says none. */
export interface DefaultRow {
  /** "cam law", "limits shown". */
  readonly of: string;
  readonly value: string;
  readonly because: string;
}

const headings: Readonly<Record<Room, string>> = {
  file: 'A file',
  mechanism: 'A mechanism',
  about: 'about',
  glyphs: 'glyphs',
  material: 'material',
  process: 'process',
  shaft: 'shaft',
  key: 'key',
  gear: 'gear',
  mesh: 'mesh',
  segment: 'segment',
  cam: 'cam',
  spring: 'spring',
  post: 'post',
  band: 'band',
  ratchet: 'ratchet',
  push: 'push',
  frame: 'frame',
  limits: 'limits',
};

const frame = `The face is seen by its reader: x to the right, y up, angles counter-clockwise from the right. \`clockwise\` and
\`counterclockwise\` are as the reader sees them. Home is rest position 0 and shows the first symbol of \`count\`; a step leads
from one rest position to the next. The leading shaft turns 360° / positions a step, the others as their gears say. It is the
shaft that \`leads\`; else the ratchet's; else the push's; else the first.

A cam angle is measured on the cam, counter-clockwise, from the ray that points to the right when the mechanism is at home.
A level is one plane across all shafts, counted from the face backwards. Raised is full lift, whatever the reader sees of it:
\`shown lowered\` turns about only what is seen.

Newlines and the order of properties carry no meaning. \`//\` begins a comment to the end of the line; \`/* … */\` encloses one.
A value is a number with its unit, or reckoned with \`+ - * /\`, parentheses, functions and names bound by \`let\`; a tolerance
may follow: \`10 mm +/- 0.1 mm\`. A symbol is a number, a name or a quoted text; one spelled like a word of the language is quoted.

A name is a letter followed by letters, digits or \`_\`; those of materials, processes and glyph tables may have hyphens as well:
\`steel-music-wire\`. Everywhere else \`a-b\` is a subtraction.`;

export function referenceMarkdown(defaults: readonly DefaultRow[]): string {
  return [
    '# The language',
    frame,
    ...(Object.keys(rooms) as Room[]).flatMap((room) => [`## ${headings[room]}`, wordTable(rooms[room])]),
    '## Laws of motion',
    pairs('law', laws),
    '## Units',
    pairs('unit', unitWords),
    '## Functions',
    pairs('function', functions),
    '## Words within statements',
    pairs('word', innerWords),
    '## Where nothing is said',
    'As they stand in a small design of two shafts, with a stroke of 3 mm, a nose of 1.5 mm, a base of 20 mm and a bar of 20 mm by 4 mm.',
    table(
      ['value', 'counts as', 'because'],
      defaults.map(({ of, value, because }) => [of, code(value), because]),
    ),
  ]
    .join('\n\n')
    .concat('\n');
}

function wordTable(words: Readonly<Record<string, Word>>): string {
  return table(
    ['written', 'says', 'in', 'for example'],
    Object.values(words).map(({ form, says, takes, example }) => [
      code(form),
      says,
      takes ? unitsFor(takes).map(code).join(' ') : '',
      code(example),
    ]),
  );
}

function pairs(what: string, words: Readonly<Record<string, string>>): string {
  return table(
    [what, 'is'],
    Object.entries(words).map(([word, says]) => [code(word), says]),
  );
}

const code = (text: string): string => `\`${text}\``;

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}
