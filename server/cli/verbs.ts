/** The verbs of the command line as data: what each does, its options, an example. Its work is loaded when it is asked for. */
import type { Arguments, Option } from './arguments.ts';

/** Exit statuses: nothing wrong, the design has errors, the command could not be carried out. */
export type Status = 0 | 1 | 2;

export interface Verb {
  readonly files: string;
  readonly does: string;
  readonly example: string;
  readonly options: readonly Option[];
  /** What its documentation tells beside its help, markdown. */
  readonly tells?: string;
  readonly run: (given: Arguments) => Promise<Status>;
}

/** The fields in `figures --format json` whose names alone don't say what they are. */
const figuresFields = `In the JSON, angles are degrees, lengths mm. For each mechanism it has, among others:

| field | |
| --- | --- |
| \`frictionWork\` | what friction takes in a turn of the leading shaft (N·mm) at each nose, guide and bearing, the most first; bearings by the pull of the cams alone, teeth and pawl left out |
| \`frame\` | of a design with a frame: the size of its plates and what lies between them (mm), its screws with their lengths and places, the plates that carry each shaft, how much of each guide is left, where each spring sits and with which coil, where the foot of each pawl stands, how far each button is guided, and under \`noRoom\` what finds none: screws, bars, posts, springs, pawls |
| \`keys\` | ways on in a turn and turned over; the whole angle of free play; how far shaft and bore reach |
| \`cams[].wall\` | the least material between bore and profile, and the cam angle at which it is |
| \`cams[].lostLift\` | the most that undercut takes of the programmed lift; the follower does what is left |
| \`cams[].faceReach\` | how far to either side of its middle a flat face is touched at most |
| \`stack\` | levels, all that lies on the shafts, and the stems, each from … to …, counted from the face backwards |
| \`clearances\` | every pair of cams, flanges, gears and shafts of different shafts at one depth |
| \`posts\` | stems, noses, arms and their pivots, posts and guides that come within 3 mm of something |
| \`bars\` | bars on one plane |
| \`windows\` | at each rest position, the share of each window that its own bar covers, and what else shows in it |
| \`untold\` | parts for which none of this could be reckoned, and why |

Every pair has its least \`gap\` over all turns (negative: so far one enters the other), right to \`within\`; the forward
turn of the leading shaft from home, \`turnDeg\`, and the same in steps, \`moment\`, at which it is least; and
\`touchingDeg\`, the turns between which they touch. \`depth\` is what both take up. \`grid\` is fine, or coarse where
narrow clashes may be missed.`;

const previewTells = `The page asks nothing of any host: it holds the parts as \`export\` makes them and what draws them, and plays by the same lift
as the chart. It shows nothing that is bought (springs, bands, screws), and says which parts cannot be made of the text, and
why. A browser without WebGL shows the list of the parts alone.`;

/** What ease tries, and what it holds on to. */
const easeTells = `Tried are, in every combination: each bar shown raised or lowered, one law of motion for all cams, and one window for
all cams (the angle of rise and fall up to the whole angle between two rests, and where room is left, rise and fall each
early, centred or late). Where a follower stands beside its shaft (\`offset\`) or on an arm, both senses of turning, too.
The friction and the directions are those that findings use. A combination counts only if no error and no warning is new,
what meets reckoned finely. *Proved* is said of these combinations alone; where they are too many (many bars, or a band,
which couples all bars) fewer laws and windows are tried, and the output lists which.

A bar that is shown the other way moves on its follower, so that the face looks the same: by the stroke, or, behind a
\`window\`, to the window's other side; a \`post\` that is stated goes along, a \`hook\` stays. Lobes that are stated are left
alone. Cams and bars change their shape: print them anew.

Some of what costs nothing changes nothing of the push, either, and is said and not tried: the levels of the cams (nose,
guide and return of a bar lie in the plane of its cam; what its post meets does depend on the level), the phase of a shaft
and the symbol at home (lobes follow from the count), and the sense of turning where every follower’s line goes through
its shaft. What the same build takes when it runs the other way is told, but not tried: the symbols then come in the
opposite order.

In the JSON, \`before\` and \`after\` have the \`peak\` (N of the push; N·mm of the leading shaft where there is no push), what
falling bars drive on with (\`runningOn\`, N·mm), \`backwards\` the peaks the other way, \`changesNothing\` what no push
depends on, and each step's \`peakTorque\`, \`leastTorque\` and \`peakPush\`; what jams has
none. \`edits\` are as in \`check\`. Status 2: nothing can be eased, and why.`;

/** What compare tells, its JSON, and how git is set up to speak mechanism. */
const compareTells = `OLD and NEW are files, \`-\` for standard input, or versions that git keeps, as git writes them: \`HEAD:berth-sign.lobe\`,
\`v1.2:designs/berth-sign.lobe\` (from the top of the repository; \`HEAD:./berth-sign.lobe\` from here), \`:berth-sign.lobe\` (the
index). What a committed design imports is read in its revision. One FILE alone is compared with its committed version.

Layout, comments, the order of statements and the way in which a value is said change nothing. Told are: what the texts say
otherwise; what follows from that where they are silent; the figures worth telling, where they change noticeably; findings
that came and went, by code and part; of every part whether it stays (\`keeps\`: the same fingerprint), may stay (\`fits\`: another
shape, but all that other parts meet in it is the same: a cam's bore, height, base, stroke and rests, a gear's bore,
height and teeth), or has to be made or got anew (\`again\`); and where old and new parts cannot meet. A numeral of mixed parts
is judged by where they meet, not reckoned. A part or table whose name is gone is taken for renamed where one of another
name is alike in all else, or does its work alone: a cam that drives the same bars, a spring that returns them. Status 1: parts differ; 2: it could not be carried out, or a text cannot be read whole.

In the JSON, \`differences\` (of a mechanism: what is \`stated\` and what \`follows\`) and \`figures\` have \`what\` (\`changed\`, \`added\`,
\`removed\`, \`renamed\`), the \`kind\` and \`name\` of the part, and of what is changed its \`property\`, \`from\`, \`to\` (numbers in
\`unit\`: mm, °, N, …; else words) and all of it as \`text\`. \`findings\` are \`came\`, \`went\`, and \`changed\` in severity or acceptance.
\`parts\` have their \`fate\` with what it is \`because\` of, \`fingerprint\`, and the one \`before\` where it is another. \`mixing\` has \`free\`,
every \`interfaces\` with \`same\` and \`because\`, and the parts to exchange \`together\`. Outside \`mechanisms\` stands what is of the
file itself. With \`--tags\` it has \`releases\`, and of each part which \`shape\` and which \`fit\` it has in every one of them.

To have \`git diff\`, \`git log -p\` and \`git show\` speak mechanism, put this line into \`.gitattributes\`:

\`\`\`text
*.lobe diff=lobe
\`\`\`

and run these two, once for a clone (\`--global\` for all of yours):

\`\`\`sh
git config diff.lobe.command "lobewright compare --git-diff --"
git config diff.lobe.textconv "lobewright compare --textconv --"
\`\`\`

\`git diff\` then tells what \`compare\` tells, and nothing of a design in which only layout or comments changed; \`git diff
--no-ext-diff\` compares the values of the two designs line by line, as do \`git log -p\` and \`git show\`; \`git diff --no-ext-diff
--no-textconv\` compares the texts. Of a text that cannot be read whole git's own difference is shown. Git does not say of
which revision a version is: what a design imports is read in the newest commit or the index where that has the same
version, else in the working tree; by \`--textconv\`, which gets no path, not at all where git has put the version elsewhere.`;

/** What the sheet's order follows from, and what its JSON holds. */
const sheetTells = `The order of the steps is reckoned by taking the whole apart, as it stands at home: what can be drawn straight out (to the
front, the back, a bar along its slide) goes in last; *cannot-assemble* tells what never goes in. A stage ends where
something can be tried. Page, PDF and text say the same; the drawings are those of the chart, and the parts' own outlines.

In the JSON, lengths are mm, angles degrees. \`prints\` has every part with its size, layers, the side it lies on, how high
above the bed it juts out (\`overhangs\`) and its fingerprint; \`stages\` the steps, each with where the part comes in \`from\` and
the parts that would be in its way after it (\`before\`), and what the bars that are in do in the steps tried; \`grease\` the
work of friction; \`steps\` what each step takes, in the order in which the build runs.`;

/** What a report holds, and what it does not. */
const reportTells = `It holds the version of the tool, every finding with its place and what is accepted, revision, processes, the bars seen at
every rest, the parts with their fingerprints, the values taken by default and what is not reckoned. Author, licence,
comments and file names are left out; of a path within a message the last name alone stays. Titles, names and the reasons
of \`accept\` are told as they are written: read it before you paste it.`;

/** What the rows of a coupon are. */
const couponTells = `Four rows of eight rungs, in sizes that the design itself has: *bores* for a peg and *pegs* for a ring as wide as its first
bearing, *slots* for a tongue as wide as its first stem, *gaps* of a rack for a tooth of its first module (the basic rack of
ISO 53). Rung 1 is at the cut corner; its clearance a side is a quarter of the process's, that of rung 8 twice it. Of a gap
the clearance is the backlash on the pitch line.

The row that needs the most gives the process its \`clearance\`. Five sizes of one row, or more, give its \`spread\`: three
standard deviations of an edge, each row about its own mean. Measured bores give its \`undersize\`: how much narrower than
drawn they are on the mean. Where nothing moves in some row, no clearance is given. A process that stands in FILE gets the values; of any other a copy with
them is put after the mechanism, which is then made with that. Check the design again afterwards.`;

/** How what is seen is written, and what the answer is worth. */
const diagnoseTells = `What you see is said position by position, in any order, parted by commas, semicolons or lines. A position is named by
the symbol that it should show, or by its number from home (\`#3\`), which tells apart a symbol that is counted twice:

| | |
| --- | --- |
| \`0 ok\`, \`0 to 3 ok\`, \`others ok\`, \`all ok\` | it shows what it should (\`right\`, \`fine\`, …) |
| \`4 wrong\`, \`4 and 6 wrong\`, \`4 not ok\` | it does not, however |
| \`4 shows 9\`, \`4 is 9\`, \`4: 9\`, \`4 shows nothing\`, \`4 shows nonsense\` | a symbol of the glyph table, no bar at all, no symbol |
| \`4 bars a b c\`, \`4 bars none\` | these bars are shown and no others |
| \`7 e stuck up\`, \`7 e hidden\`, \`7 d e half-way\` | these bars, and nothing of the others: \`shown\`, \`hidden\`, \`half-way\`, or of the follower \`up\`, \`down\` |

Symbols that are spelled like one of these words stand in quotes: \`"ok" wrong\`. The answer ranks all looks (faults that no face
tells apart are one look): those that fit everything first; and says where to look next, the position at which as few as
possible would be left. It knows single faults only: [what it knows, and what not](put-together-wrongly.md).

In the JSON without \`--seen\`, \`looks\` have their \`faults\` (\`what\`, its \`kind\`, the parts it is \`about\`, \`byDeg\` counter-clockwise)
and what is \`wrong\`, by position: the bars \`shown\`, those \`between\`, and the symbols that this \`reads\`; the first look is that
of all put together rightly, and of what no face tells. \`alikeButForHome\` are looks that only the place of home tells apart.
With \`--seen\`, \`candidates\` have the numbers of their \`looks\` and of what \`fits\`, \`leading\` those still in question, \`shifts\` where
home can be where it is not known; \`next\` the \`position\` to look at, and which candidates each face there \`leaves\`.`;

/** What export makes, and what it does not. */
const exportTells = `Every part is checked as it was generated: its surface closed, holes and volume as due, no wall thinner than the process's;
and no two parts may meet over a full turn beyond where they work on each other, looked at every degree, and every tenth of
one where they come within 0.3 mm. What is wrong is told and makes status 1; the files are written all the same.

\`parts.csv\`, \`parts.md\` and \`parts.json\` list all parts with number, material, volume, mass, length of filament and
fingerprint, what is bought, which parts are alike or mirrored and what tells them apart. A part's fingerprint changes with its
shape alone: \`--again-since v1\` writes what has to be printed anew since then.

In 3MF the parts lie on beds as large as their process says (\`bed 250 mm by 210 mm\`; 220 mm by 220 mm unless it does), on as
many as they take, those of each process by themselves: one is NAME.3mf, several are NAME-1.3mf, NAME-2.3mf and so on. The
list and the build sheet tell which part lies where; what is larger than its bed is told, and lies on one by itself. Beds
of an earlier export whose place these take are taken away, unless they were changed since.

All files are written beside the folder first and then moved into it. \`.lobewright-export.json\` in it remembers what was
written; another's file, or one changed since, is left alone without \`--force\`.

Plates, guides, bearings, pawls and what holds springs are made where the text says \`frame\`; the arms of pivoted followers are not, as it
gives them no shape. Sizes that it leaves open (wheel, pawl, pushed arm, button, journals, the coil of a spring) are chosen, and told among the defaults.`;

const out: Option = { name: 'out', takes: 'PATH', help: 'write to PATH instead of standard output' };
const reckonWith: readonly Option[] = [
  { name: 'process', takes: 'FILE', help: 'reckon with the process that FILE describes (another machine)' },
  {
    name: 'set',
    takes: 'NAME.PROPERTY=VALUE',
    repeats: true,
    help: 'reckon with another value: "coils.rate=0.05 N/mm", "every cam.base=24 mm", "count.times=2"',
  },
];
const ofOne: Option = { name: 'mechanism', takes: 'NAME', help: 'which mechanism of the file; all unless given' };
const paper: Option = {
  name: 'paper',
  takes: 'a4|letter',
  choices: ['a4', 'letter'],
  help: 'paper to print on; a4 unless given, on a page whatever the printer has',
};
const format = (...choices: string[]): Option => ({
  name: 'format',
  takes: choices.join('|'),
  choices,
  help: `how to say it; ${choices[0]} unless given`,
});

export const verbs: Readonly<Record<string, Verb>> = {
  check: {
    files: 'FILE…',
    does: 'runs every check and prints what it finds',
    example: 'lobewright check berth-sign.lobe --set "coils.rate=0.05 N/mm"',
    options: [
      format('text', 'json', 'sarif'),
      out,
      { name: 'fix', help: 'first apply every fix that is proved to mend its finding' },
      ...reckonWith,
    ],
    run: async (given) => (await import('./check.ts')).check(given, LOBEWRIGHT_VERSION),
  },
  figures: {
    files: 'FILE',
    does: 'prints what was reckoned, for people or for programs',
    example: 'lobewright figures berth-sign.lobe --format json',
    tells: figuresFields,
    options: [format('text', 'json'), out, ...reckonWith],
    run: async (given) => (await import('./figures.ts')).figures(given),
  },
  chart: {
    files: 'FILE',
    does: 'draws the phase chart: SVG, PNG or an HTML page that plays; or tells it as text or JSON',
    example: 'lobewright chart berth-sign.lobe --out berth-sign.html',
    options: [
      {
        ...format('svg', 'png', 'html', 'text', 'json'),
        help: 'what to draw; by the ending of --out, else svg; json has the rows, curves and marks that are drawn',
      },
      out,
      {
        name: 'mechanism',
        takes: 'NAME',
        help: 'which mechanism of the file; the first (html, text, json: all) unless given',
      },
      {
        name: 'against',
        takes: 'OLD',
        help: 'an older version, drawn dashed behind, with what changed on each row: a file, or REV:path through git',
      },
      { name: 'theme', takes: 'light|dark', choices: ['light', 'dark'], help: 'colours; light unless given' },
      ...reckonWith,
    ],
    run: async (given) => (await import('./chart.ts')).chart(given),
  },
  preview: {
    files: 'FILE',
    does: 'writes a page on which the parts are turned, played through the count and drawn apart by the layers of the stack',
    example: 'lobewright preview berth-sign.lobe --out parts.html',
    options: [
      out,
      { name: 'mechanism', takes: 'NAME', help: 'which mechanism of the file; all unless given' },
      ...reckonWith,
    ],
    tells: previewTells,
    run: async (given) => (await import('./preview.ts')).preview(given),
  },
  compare: {
    files: 'OLD NEW',
    does: 'says what a new version changes in the mechanism, and which parts a builder must make again',
    example: 'lobewright compare HEAD:berth-sign.lobe berth-sign.lobe --format markdown',
    options: [
      { ...format('text', 'json', 'markdown'), help: 'how to say it; text unless given; markdown for a release note' },
      out,
      { name: 'tags', help: 'of one FILE: which part of which tagged release of its repository fits which' },
      { name: 'git-diff', help: 'the arguments are those that git gives an external diff' },
      { name: 'textconv', help: 'of one FILE: its values line by line, for git to compare' },
    ],
    tells: compareTells,
    run: async (given) => (await import('./compare.ts')).compare(given),
  },
  diagnose: {
    files: 'FILE',
    does: 'names what was put together wrongly, from what you see of the numeral; or tells every fault and what it shows',
    example: 'lobewright diagnose berth-sign.lobe --seen "0 ok, 4 wrong, 8 shows 9"',
    options: [
      {
        name: 'seen',
        takes: 'TEXT',
        help: 'what you see, parted by commas: "0 ok, 4 shows 9, 6 wrong, 7 e stuck up, 8 bars a b c, others ok"',
      },
      { name: 'home-unknown', help: 'the positions were counted from any place, not from home' },
      {
        ...format('text', 'json', 'markdown', 'html'),
        help: 'how to say it; by the ending of --out, else text; html is a page to click what you see on',
      },
      out,
      {
        name: 'mechanism',
        takes: 'NAME',
        help: 'which mechanism of the file; all, or of --seen the only one, unless given',
      },
      ...reckonWith,
    ],
    tells: diagnoseTells,
    run: async (given) => (await import('./diagnose.ts')).diagnose(given),
  },
  ease: {
    files: 'FILE',
    does: 'searches what costs nothing for the lowest peak push, and shows the steps before and after',
    example: 'lobewright ease berth-sign.lobe --write',
    options: [
      format('text', 'json'),
      out,
      { name: 'write', help: 'put the changes into FILE, which is written whole or not at all' },
      ...reckonWith,
    ],
    tells: easeTells,
    run: async (given) => (await import('./ease.ts')).ease(given),
  },
  sheet: {
    files: 'FILE',
    does: 'writes the build sheet: what to print, how it stands, in which order it goes together, what to try when',
    example: 'lobewright sheet berth-sign.lobe --out berth-sign.pdf',
    options: [
      { ...format('html', 'pdf', 'text', 'json'), help: 'how to write it; by the ending of --out, else html' },
      out,
      paper,
      ofOne,
      ...reckonWith,
    ],
    tells: sheetTells,
    run: async (given) => (await import('./sheet.ts')).sheet(given, LOBEWRIGHT_VERSION),
  },
  cards: {
    files: 'FILE',
    does: 'draws cards for testing: the face at every rest, to cut out and hold beside the numeral',
    example: 'lobewright cards berth-sign.lobe --out cards.pdf',
    options: [
      { ...format('html', 'pdf'), help: 'how to write them; by the ending of --out, else html' },
      {
        name: 'scale',
        takes: 'true|1:N',
        help: 'size of the faces; true, or the greatest that fits on the paper, unless given',
      },
      out,
      paper,
      ofOne,
      ...reckonWith,
    ],
    run: async (given) => (await import('./sheet.ts')).cards(given, LOBEWRIGHT_VERSION),
  },
  report: {
    files: 'FILE',
    does: 'tells a design in one block to paste when asking for help, without anything personal',
    example: 'lobewright report berth-sign.lobe',
    options: [format('text', 'json'), out, ...reckonWith],
    tells: reportTells,
    run: async (given) => (await import('./report.ts')).report(given, LOBEWRIGHT_VERSION),
  },
  export: {
    files: 'FILE',
    does: 'writes the parts to print into a folder, checks them as generated, and lists them with what is bought',
    example: 'lobewright export berth-sign.lobe --as 3mf,step --out parts',
    options: [
      { name: 'parts', takes: 'NAME,…', help: 'these parts only; all unless given' },
      {
        name: 'as',
        takes: 'FORMAT,…',
        help: '3mf (all parts, a file for each bed), stl, step, dxf, svg, csv (lift and profile of cams); 3mf unless given',
      },
      { name: 'out', takes: 'FOLDER', help: 'where to; a folder with the name of FILE and -parts unless given' },
      { name: 'again-since', takes: 'REV', help: 'only the parts whose shape is another than in this git revision' },
      { name: 'mechanism', takes: 'NAME', help: 'which mechanism, where FILE holds several' },
      { name: 'force', help: 'overwrite files that this tool did not write, or that were changed since' },
      { name: 'unchecked', help: 'leave out the check that no parts meet over a full turn' },
      ...reckonWith,
    ],
    tells: exportTells,
    run: async (given) => (await import('./export.ts')).exportParts(given),
  },
  coupon: {
    files: 'FILE',
    does: 'a ladder of fits to print before the parts; and what it told, written into the process',
    example: 'lobewright coupon berth-sign.lobe --out coupon.3mf',
    options: [
      format('text', 'json'),
      { ...out, help: 'write to PATH instead of standard output; what ends in .3mf gets the parts to print' },
      { name: 'mechanism', takes: 'NAME', help: 'whose process and sizes, where the file holds several' },
      { name: 'moved', takes: 'ROWS', help: 'the first rung of each row that moved: "bores 4, slots 3, gaps none"' },
      {
        name: 'measured',
        takes: 'SIZES',
        help: 'sizes rung by rung, mm: "pegs 9.92 9.81 9.70, bores 10.02 10.13" (or 9,92)',
      },
      { name: 'write', help: 'put what was found into FILE, which is written whole or not at all' },
    ],
    tells: couponTells,
    run: async (given) => (await import('./coupon.ts')).coupon(given),
  },
  format: {
    files: 'FILE…',
    does: 'rewrites designs in the standard layout',
    example: 'lobewright format *.lobe --check',
    options: [
      { ...format('text', 'json'), help: 'json: of each file whether its layout changes, and whether it was written' },
      { name: 'check', help: 'only say which files would change; status 1 if any would' },
      { ...out, help: 'write the one FILE in its standard layout to PATH and leave FILE as it is' },
    ],
    run: async (given) => (await import('./format.ts')).format(given),
  },
  serve: {
    files: '',
    does: 'the language server, on standard input and output, for any editor that speaks the protocol',
    example: 'lobewright serve',
    options: [{ name: 'stdio', help: 'standard input and output (which it uses anyway)' }],
    run: async () => (await import('./serve.ts')).serve(),
  },
};

const help: Option = { name: 'help', help: 'this' };

export function overview(): string {
  const rows = Object.entries(verbs).map(([name, { files, does }]) => [`${name} ${files}`, does] as const);
  const examples = Object.values(verbs).map(({ example }) => `  ${example}`);
  return [
    'lobewright VERB [OPTION]… [FILE]…',
    '',
    ...table(rows),
    '',
    'A FILE of - is standard input. lobewright VERB --help tells the options; lobewright --version the version.',
    'Exit status: 0 nothing wrong, 1 the design has errors (compare: parts differ), 2 the command could not be carried out.',
    '',
    'Examples:',
    ...examples,
    '',
  ].join('\n');
}

export function verbHelp(name: string, { files, does, example, options }: Verb): string {
  const rows = [...options, help].map(
    ({ name, takes, help }) => [takes ? `--${name} ${takes}` : `--${name}`, help] as const,
  );
  const usage = `lobewright ${name} [OPTION]… ${files}`.trimEnd();
  return [usage, '', `  ${does}`, '', ...table(rows), '', 'Example:', `  ${example}`, ''].join('\n');
}

function table(rows: readonly (readonly [string, string])[]): string[] {
  const width = Math.max(...rows.map(([left]) => left.length)) + 2;
  return rows.map(([left, right]) => `  ${left.padEnd(width)}${right}`);
}

/** The page of the command line, as markdown. */
export function commandLineMarkdown(): string {
  const sections = Object.entries(verbs).map(([name, verb]) => {
    const code = verbHelp(name, verb).trimEnd();
    const tells = verb.tells ? `\n${verb.tells}\n` : '';
    return `## ${name}\n\n\`lobewright ${name}\` ${verb.does}.\n\n\`\`\`text\n${code}\n\`\`\`\n${tells}`;
  });
  return [
    '# The command line',
    '',
    'One program, `lobewright`, does what the editor shows, without an editor.',
    '',
    'A file named `-` is standard input. JSON goes to standard output alone; what could not be carried out is said in',
    'one line on standard error. The same input gives the same bytes. A file that is written is written whole or not at',
    'all.',
    '',
    '| exit status | |',
    '| --- | --- |',
    '| 0 | nothing wrong |',
    '| 1 | the design has errors; `format --check`: a file would change; `compare`: parts differ |',
    '| 2 | the command could not be carried out |',
    '',
    ...sections,
  ].join('\n');
}
