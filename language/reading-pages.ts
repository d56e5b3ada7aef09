/** The pages of the findings about reading a text: its marks and words, its names, its imports. */
import type { FindingPage } from './page.ts';

/** A small clean design: a ferry's lamp board. */
const board = `mechanism LampBoard {
  glyphs lamps
  count off low high

  shaft axle { at 0 mm, 0 mm   turns clockwise }

  every cam     { base 20 mm   travel 60 deg }
  every segment { stroke 3 mm   nose 1.5 mm }

  segment left  { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm }
  segment right { azimuth 0 deg   bar 4 mm by 20 mm at 40 mm, 0 mm }

  cam camL on axle level 1 drives left
  cam camR on axle level 2 drives right
}

glyphs lamps { segments left right   off = blank   low = left   high = left right }
`;

/** The board with a piece of its text put differently. */
function changed(piece: string, instead: string): string {
  return board.replace(piece, instead);
}

const clean = { title: 'A clean design', text: board };

export const readingPages: readonly FindingPage[] = [
  {
    code: 'unreadable-text',
    severity: 'error',
    title: 'Characters that mean nothing',
    means:
      'The text holds characters that no word, number or mark of the language is made of, or text in quotes or a comment ' +
      'that is not closed. They are passed over; everything else is read and checked all the same, but not the value they ' +
      'stand in. A number is told here, too, that is written otherwise than with digits and a point, such as `30,5` or `1e3`.',
    remedy:
      'Take them away or write what was meant. Marks that only look alike (a long dash for `-`, `×` for `*`, curly ' +
      'quotes) often come from a word processor; the editor offers the right ones.',
    examples: [
      { title: 'A mark at the end of a line', text: changed('travel 60 deg }', 'travel 60 deg«;» }') },
      { title: 'A comma for the point', text: changed('travel 60 deg', 'travel «62,5» deg') },
      { title: 'A long dash for a minus', text: changed('at -40 mm', 'at «−»40 mm') },
      clean,
    ],
  },
  {
    code: 'unexpected-text',
    severity: 'error',
    title: 'Something else is due here',
    means:
      'The words are known, but not at this place: a property that this kind of part does not have, a missing value, ' +
      'a block that is not closed. What could not be understood is passed over up to the next property or statement, and ' +
      'the rest is checked.',
    remedy: 'The message says what is due. Where a word is near to one that fits, the editor offers it.',
    examples: [
      { title: 'A mistyped property', text: changed('travel 60 deg', 'travel 60 deg   «thicknes» 3 mm') },
      {
        title: 'A symbol that needs quotes',
        text: changed('count off low high', 'count off low high «-»').replace(
          'high = left right',
          'high = left right   "-" = right',
        ),
      },
      clean,
    ],
  },
  {
    code: 'deep-nesting',
    severity: 'error',
    title: 'A value too deep or too long to read',
    means:
      'A value has more than 64 parentheses or signs within one another, or more than a thousand operators. No maker ' +
      'writes such a value, but a program may. It is passed over; the rest is checked.',
    remedy: 'Name parts of the value with `let` and build it from these names.',
    examples: [
      {
        title: 'A hundred signs',
        text: changed('  shaft', `  let far = ${'-'.repeat(64)}«${'-'.repeat(36)}1 mm»\n\n  shaft`),
      },
      clean,
    ],
  },
  {
    code: 'unknown-name',
    severity: 'error',
    title: 'A name that stands for nothing',
    means:
      'A statement names a shaft, a segment, a table or another part, and there is none of that name: in the mechanism for ' +
      'its parts and values, in the file, its imports and the library for tables, materials and processes. What hangs on the name is not reckoned.',
    remedy: 'Correct the name, or make the part. Capital and small letters are different.',
    examples: [
      {
        title: 'No such segment',
        text: changed('drives right', 'drives «rigth»').replace('drives left', 'drives left'),
      },
      clean,
    ],
  },
  {
    code: 'wrong-kind-of-name',
    severity: 'error',
    title: 'A name that stands for something else',
    means:
      'The name is known, but what it stands for does not fit: a segment where a shaft is due, a material where a process ' +
      'is due.',
    remedy: 'Name a part of the right kind. The message says which there are.',
    examples: [
      { title: 'A material is no process', text: changed('  glyphs lamps\n', '  glyphs lamps\n  made with «pla»\n') },
      { title: 'A process is', text: changed('  glyphs lamps\n', '  glyphs lamps\n  made with filament\n') },
    ],
  },
  {
    code: 'name-taken',
    severity: 'error',
    title: 'A name that is taken',
    means:
      'All names of a mechanism share one space: a part and a `let` cannot be called alike. Nor can two tables, two ' +
      'materials, two processes or two mechanisms of one file. The words of the language are taken too. The first keeps the name. ' +
      'A definition that an import brings in as well is a warning: the file’s own counts. Those of the library may be replaced freely.',
    remedy: 'Give one of them another name.',
    examples: [
      {
        title: 'A value called like a segment',
        text: changed('drives right\n', 'drives right\n\n  let «left» = 3 mm\n'),
      },
      { title: 'A word of the language', text: changed('cam camR on', 'cam «drag» on') },
      clean,
    ],
  },
  {
    code: 'missing-file',
    severity: 'error',
    title: 'An import that leads nowhere',
    means:
      'The file that `import` names is not there, or cannot be read. Names that it would bring in are not told as unknown ' +
      'while it is missing.',
    remedy:
      'The path counts from the folder of the importing file; `../` goes one folder up. Slashes lean forward on every system.',
    examples: [{ title: 'No such file', text: `import «"tables.lobe"»\n\n${board}` }, clean],
  },
  {
    code: 'circular-import',
    severity: 'warning',
    title: 'Files that bring in one another',
    means:
      'An import leads back to the file it stands in, at once or over other files. All names are found all the same, but ' +
      'neither file can be understood, or used elsewhere, without the other.',
    remedy: 'Take the import away, or move what both files need into a third one that both import.',
    examples: [{ title: 'A file that brings itself in', text: `import «"design.lobe"»\n\n${board}` }, clean],
  },
  {
    code: 'nothing-here',
    severity: 'information',
    title: 'An empty file',
    means: 'The file holds no statement, so there is nothing to check and nothing to draw.',
    remedy: 'Begin with `mechanism NAME { … }`, or take one of the examples.',
    examples: [{ title: 'Only a comment', text: '«»// To be designed.\n' }, clean],
  },
];
