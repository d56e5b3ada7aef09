/**
 * A mechanism as a sheet: every part with all that is said of it, what follows where nothing is said, and the figures worth
 * telling. Two sheets can be held against each other whatever order, layout and wording their texts have.
 */
import type {
  Band,
  Cam,
  Flank,
  Frame,
  Gear,
  GlyphTable,
  Key,
  Kind,
  Limits,
  LobeSource,
  Material,
  Mechanism,
  Mesh,
  Post,
  Process,
  Push,
  Ratchet,
  Segment,
  Shaft,
  Spring,
} from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import type { CamFigure, Figures } from '../../reckon/figures.ts';
import { degrees } from '../../reckon/motion/angles.ts';
import { sideBySide } from '../../reckon/parts/bed.ts';
import { lawWritten } from '../../search/written.ts';
import { aboutTurn, box, direction, type Entry, names, place, quantity, stated, words } from './entries.ts';
import { saidInWords } from './said.ts';
import { camFigures, mechanismFigures, meshFigures, shaftFigures } from './worth-telling.ts';

/** What an item of a sheet is: a part, or something that belongs to none. */
export type ItemKind = Kind | 'mechanism' | 'limits' | 'process' | 'material' | 'glyphs' | 'bought' | 'accept';

export interface Item {
  readonly kind: ItemKind;
  readonly name: string;
  /** Of what is known by the parts that it is of (a mesh, an acceptance) instead of by a name of its own. */
  readonly of?: { readonly word: string; readonly names: readonly string[] };
  readonly entries: readonly Entry[];
}

/** Every part and every table in use of a mechanism, the mechanism itself first. */
export function sheetOf({ mechanism: m, figures }: Reckoned): Item[] {
  const cams = new Map(figures.cams.map((cam) => [cam.name, cam]));
  const made = (own: Process) => (own === m.process ? [] : names('made with', [{ name: own.name, of: 'process' }]));
  return [
    { kind: 'mechanism', name: m.name, entries: mechanismEntries(m, figures) },
    { kind: 'limits', name: 'limits', entries: limitEntries(m.limits) },
    ...tablesOf(m),
    ...m.shafts.map((one) => item(one, [...shaftEntries(one, figures), ...made(one.process)])),
    ...m.keys.map((one) => item(one, keyEntries(one))),
    ...m.gears.map((one) => item(one, [...gearEntries(one, figures), ...made(one.process)])),
    ...m.meshes.map((one) => ({
      ...item(one, meshEntries(one, figures)),
      of: { word: '', names: one.gears.map(({ name }) => name) },
    })),
    ...m.segments.map((one) => item(one, [...segmentEntries(one), ...made(one.process)])),
    ...m.cams.map((one) => item(one, [...camEntries(one, cams.get(one.name), figures), ...made(one.process)])),
    ...m.springs.map((one) => item(one, springEntries(one))),
    ...m.posts.map((one) => item(one, postEntries(one))),
    ...m.bands.map((one) => item(one, bandEntries(one))),
    ...m.ratchets.map((one) => item(one, [...ratchetEntries(one), ...made(one.process)])),
    ...m.pushes.map((one) => item(one, [...pushEntries(one), ...made(one.process)])),
    ...(m.frame ? [item(m.frame, [...frameEntries(m.frame), ...made(m.frame.process)])] : []),
    ...m.acceptances.map(
      ({ code, on, reason }): Item => ({
        kind: 'accept',
        name: on === undefined ? code : `${code} on ${on}`,
        of: { word: code, names: on === undefined ? [] : [on] },
        entries: stated('reason', reason),
      }),
    ),
    ...boughtItems(m),
  ];
}

const item = ({ kind, name }: { readonly kind: Kind; readonly name: string }, entries: readonly Entry[]): Item => ({
  kind,
  name,
  entries,
});

// ---- the mechanism itself -----------------------------------------------------------------

function mechanismEntries(m: Mechanism, figures: Figures): Entry[] {
  const { title, revision, author, licence } = m.about;
  return [
    ...stated('title', title),
    ...stated('revision', revision),
    ...stated('author', author),
    ...stated('licence', licence),
    ...names('made with', [{ name: m.process.name, of: 'process' }]),
    ...words('assembled', m.assembled),
    ...names('glyphs', [m.glyphs && { name: m.glyphs.value.name, of: 'glyphs' }]),
    ...(m.count ? stated('count', m.count.symbols.map(({ text }) => symbolSaid(text)).join(' ')) : []),
    ...(m.count && m.count.times !== 1
      ? [{ property: 'count times', said: { number: m.count.times, unit: '' as const }, by: 'stated' as const }]
      : []),
    ...words('runs', m.runs),
    ...mechanismFigures(m, figures),
  ];
}

/** A symbol as it stands in a row of symbols: one that could be taken for two, or for none, in quotes. */
const symbolSaid = (text: string): string => (/^[^\s"]+$/.test(text) ? text : JSON.stringify(text));

const limitEntries = ({ pressureAngle, push, return: back, shown, hidden }: Limits): Entry[] => [
  ...quantity('pressure angle', pressureAngle, '°'),
  ...quantity('push', push, 'N'),
  ...quantity('return', back, ''),
  ...quantity('shown', shown, '%'),
  ...quantity('hidden', hidden, '%'),
];

function boughtItems(m: Mechanism): Item[] {
  const numbers = new Map<string, number>();
  for (const { number, what } of m.bought) numbers.set(what, (numbers.get(what) ?? 0) + number);
  return [...numbers].map(([what, number]) => ({
    kind: 'bought',
    name: what,
    entries: [{ property: 'number', said: { number, unit: '' }, by: 'stated' }],
  }));
}

// ---- tables -------------------------------------------------------------------------------

/** The tables that a mechanism stands on: its glyphs, and every process and material of its parts. */
function tablesOf(m: Mechanism): Item[] {
  const made = [m.shafts, m.gears, m.segments, m.cams, m.ratchets, m.pushes, m.frame ?? []]
    .flat()
    .map(({ process }) => process);
  const processes = [...new Set([m.process, ...made])];
  const materials = [...new Set(processes.map(({ material }) => material))];
  return [
    ...(m.glyphs ? [glyphItem(m.glyphs.value)] : []),
    ...processes.map(processItem),
    ...materials.map(materialItem),
  ];
}

/** What each symbol shows, in the order of the letters: that of the table does not matter. */
export const glyphItem = ({ name, entries }: GlyphTable): Item => ({
  kind: 'glyphs',
  name,
  entries: entries.map(({ symbol, lit }) => ({
    property: symbolSaid(symbol),
    said: lit.length ? { names: lit.map((name) => ({ name })) } : { words: 'blank' },
    by: 'stated',
  })),
});

export const processItem = (p: Process): Item => ({
  kind: 'process',
  name: p.name,
  entries: [
    ...quantity('nozzle', p.nozzle, 'mm'),
    ...quantity('layer', p.layer, 'mm'),
    ...quantity('spread', p.spread, 'mm'),
    ...quantity('undersize', p.undersize, 'mm'),
    ...quantity('clearance', p.clearance, 'mm'),
    ...quantity('wall', p.wall, 'mm'),
    ...quantity('drag', p.drag, 'N'),
    ...words('bed', { ...p.bed, value: `${sideBySide(p.bed.value)} mm` }),
    ...names('material', [{ name: p.material.name, of: 'material' }]),
  ],
});

export const materialItem = (m: Material): Item => ({
  kind: 'material',
  name: m.name,
  entries: [
    ...quantity('modulus', m.modulus, 'MPa'),
    ...quantity('poisson', m.poisson, ''),
    ...quantity('density', m.density, 'g/cm³'),
    ...quantity('strain', m.strain, '%'),
    ...quantity('friction', m.friction, ''),
    ...quantity('greased', m.greased, ''),
    ...quantity('pessimistic', m.pessimistic, ''),
  ],
});

// ---- shafts, keys, gears ------------------------------------------------------------------

function shaftEntries(s: Shaft, figures: Figures): Entry[] {
  const figure = figures.shafts.find(({ name }) => name === s.name);
  const turns =
    s.turns ?? (figure && { value: figure.turns, by: 'default' as const, because: 'as its train turns it' });
  return [
    ...place('at', s.at),
    ...words('turns', turns),
    ...(figure?.leads ? words('leads', s.leads ? { ...s.leads, value: 'the count' } : leadsByDefault) : []),
    ...names('key', [s.key]),
    ...quantity('bearing', s.bearing, 'mm'),
    ...quantity('bearing clearance', s.bearingClearance, 'mm'),
    ...shaftFigures(figure),
  ];
}

const leadsByDefault = { value: 'the count', by: 'default', because: 'no shaft is said to lead' } as const;

export const itemOfKey = (key: Key): Item => item(key, keyEntries(key));

const keyEntries = (k: Key): Entry[] => [
  ...words('shape', k.shape),
  ...quantity('teeth', k.teeth, ''),
  ...quantity('master', k.master, ''),
  ...quantity('outer', k.outer, 'mm'),
  ...quantity('inner', k.inner, 'mm'),
  ...quantity('across', k.across, 'mm'),
  ...quantity('clearance', k.clearance, 'mm'),
];

function gearEntries(g: Gear, figures: Figures): Entry[] {
  const figure = figures.gears.find(({ name }) => name === g.name);
  const [first, ...others] = (figure?.marks ?? g.marks.map(({ value }) => value)).map(aboutTurn);
  const marks = first === undefined ? [] : [first, ...others.sort((a, b) => a - b)];
  const whence = g.marks.length ? { by: 'stated' as const } : centreLines;
  return [
    ...names('on', [g.shaft]),
    ...quantity('module', g.module, 'mm'),
    ...quantity('teeth', g.teeth, ''),
    ...quantity('width', g.width, 'mm'),
    ...(marks.length ? [{ property: 'mark', said: { words: marks.map(angleSaid).join(', ') }, ...whence }] : []),
    ...quantity('pressure angle', g.pressureAngle, '°'),
    ...quantity('shift', g.shift, ''),
    ...(g.level || !figure ? quantity('level', g.level, '') : [levelOf(figure.level)]),
  ];
}

const centreLines = { by: 'follows', because: 'on the centre lines' } as const;

const levelOf = (level: number): Entry => ({
  property: 'level',
  said: { number: level, unit: '' },
  by: 'follows',
  because: 'behind the deepest cam',
});

const angleSaid = (angle: number): string => saidInWords({ number: degrees(angle), unit: '°' });

const meshEntries = (mesh: Mesh, figures: Figures): Entry[] => [
  ...quantity('backlash', mesh.backlash, 'mm'),
  ...meshFigures(figures.meshes.find(({ gears: [one, two] }) => mesh.name === `${one}–${two}`)),
];

// ---- bars and cams ------------------------------------------------------------------------

function segmentEntries(s: Segment): Entry[] {
  const bar = s.bar?.value;
  const ofBar = (property: string, value: string | undefined) =>
    words(property, s.bar && value !== undefined ? { ...s.bar, value } : undefined);
  return [
    ...direction('azimuth', s.azimuth),
    ...quantity('offset', s.offset, 'mm'),
    ...quantity('stroke', s.stroke, 'mm'),
    ...quantity('nose', s.nose, 'mm'),
    ...quantity('guide', s.guide, 'mm'),
    ...quantity('overhang', s.overhang, 'mm'),
    ...quantity('stem', s.stem, 'mm'),
    ...quantity('fit', s.fit, 'mm'),
    ...box('bar', s.bar),
    ...(bar && bar.plane !== 1 ? ofBar('bar plane', String(bar.plane)) : []),
    ...(bar && bar.ends !== 'square' ? ofBar('bar ends', bar.ends) : []),
    ...box('post', s.post),
    ...place('hook', s.hook),
    ...box('window', s.window),
    ...words('shown', s.shown),
    ...followerEntries(s),
    ...quantity('drag', s.drag, 'N'),
    ...quantity('mass', s.mass, 'g'),
  ];
}

function followerEntries({ follower }: Segment): Entry[] {
  const { value } = follower;
  if (value.kind !== 'pivoted') return words('follower', { ...follower, value: value.kind });
  return [
    ...words('follower', { ...follower, value: 'pivoted' }),
    ...place('follower', { ...follower, value: value.at }),
    ...quantity('follower arm', { ...follower, value: value.arm }, 'mm'),
  ];
}

function camEntries(cam: Cam, figure: CamFigure | undefined, figures: Figures): Entry[] {
  const [rider, ...others] = cam.segments;
  return [
    ...names('on', [cam.shaft]),
    ...quantity('level', cam.level, ''),
    ...names('drives', [rider, ...others.map(({ name }) => ({ name, as: 'with' }))]),
    ...quantity('base', cam.base, 'mm'),
    ...words('law', { ...cam.law, value: lawWritten(cam.law.value) }),
    ...flankEntries(cam, figure),
    ...quantity('thickness', cam.thickness, 'mm'),
    ...quantity('flange', cam.flange, 'mm'),
    ...quantity('flange radius', cam.flangeRadius, 'mm'),
    ...lobeEntries(cam.lobes, figure, figures),
    ...(figure ? camFigures(figure) : []),
  ];
}

/** The angles of rise and fall in use, however they are said. */
function flankEntries({ travel, rise, fall }: Cam, figure: CamFigure | undefined): Entry[] {
  const usual = travel ?? (figure?.travel === undefined ? undefined : { ...byStep, value: figure.travel });
  const one = (property: string, flank: Flank | undefined) => [
    ...quantity(property, flank?.width ?? usual, '°'),
    ...(flank?.late?.value ? quantity(`${property} late`, flank.late, '°') : []),
  ];
  return [...one('rise', rise), ...one('fall', fall)];
}

const byStep = { by: 'default', because: '5/6 of the step' } as const;

/** At which symbols the follower is up, whether stated or from the count; lobes that are stated as angles, as these. */
function lobeEntries(lobes: LobeSource, figure: CamFigure | undefined, figures: Figures): Entry[] {
  if (lobes.by === 'angles') {
    const said = lobes.lobes.map(({ from, to, before, after }) => {
      const flanks = [before, after].flatMap((flank) => (flank ? [angleSaid(flank.value)] : []));
      const start = aboutTurn(from.value);
      const ends = `${angleSaid(start)} to ${angleSaid(aboutTurn(to.value))}`;
      return { start, said: flanks.length ? `${ends} (flanks ${flanks.join(', ')})` : ends };
    });
    return stated(
      'lobes',
      said
        .sort((a, b) => a.start - b.start)
        .map(({ said }) => said)
        .join('; '),
    );
  }
  const value = figure
    ? raisedAtInWords(figure, figures)
    : lobes.by === 'symbols'
      ? symbolsInWords(lobes.symbols.map(({ text }) => text))
      : undefined;
  if (value === undefined) return [];
  return words('raised at', lobes.by === 'symbols' ? { value, by: 'stated' } : { ...fromCount, value });
}

/** The symbols at which a follower is up, each once. */
export const raisedAtInWords = ({ raisedAt }: CamFigure, { positions }: Figures): string =>
  symbolsInWords(positions.flatMap(({ symbol, index }) => (raisedAt[index] ? [symbol] : [])));

const symbolsInWords = (symbols: readonly string[]): string =>
  [...new Set(symbols)].sort(lettersFirst).map(symbolSaid).join(' ') || 'no symbol';

/** Digits and letters in their order, then all signs. */
function lettersFirst(a: string, b: string): number {
  const [one, other] = [a, b].map((text) => `${/^[\p{L}\p{N}]/u.test(text) ? 0 : 1}${text}`);
  return one < other ? -1 : one > other ? 1 : 0;
}

const fromCount = { by: 'default', because: 'from count and glyphs' } as const;

// ---- returns, stepping --------------------------------------------------------------------

const springEntries = (s: Spring): Entry[] => [
  ...names('returns', s.returns),
  ...quantity('rate', s.rate, 'N/mm'),
  ...quantity('preload', s.preload, 'N'),
  ...words('coil', s.coil),
  ...quantity('wire', s.wire, 'mm'),
  ...quantity('mean', s.mean, 'mm'),
  ...quantity('turns', s.turns, ''),
  ...quantity('free', s.free, 'mm'),
  ...quantity('modulus', s.modulus, 'MPa'),
];

const frameEntries = (f: Frame): Entry[] => [
  ...quantity('thickness', f.thickness, 'mm'),
  ...quantity('margin', f.margin, 'mm'),
  ...quantity('screws', { ...f.screws, value: f.screws.value.diameter }, 'mm'),
  ...words('head', { ...f.screws, value: f.screws.value.head }),
  ...f.at.flatMap((at, i) => place(f.at.length > 1 ? `screw ${i + 1} at` : 'screw at', at)),
];

const postEntries = (p: Post): Entry[] => [...place('at', p.at), ...quantity('radius', p.radius, 'mm')];

function bandEntries(b: Band): Entry[] {
  const around = b.around.map(({ name, inside }) => (inside ? { name, as: 'inside' } : { name }));
  return [
    ...names('around', around, { ring: true }),
    ...(b.section
      ? [
          ...quantity('section width', { ...b.section, value: b.section.value.width }, 'mm'),
          ...quantity('section height', { ...b.section, value: b.section.value.height }, 'mm'),
        ]
      : []),
    ...quantity('loop', b.loop, 'mm'),
    ...quantity('shear', b.shear, 'MPa'),
  ];
}

function ratchetEntries(r: Ratchet): Entry[] {
  const side = (name: 'length' | 'thickness' | 'width') =>
    r.arm ? quantity(`arm ${name}`, { ...r.arm, value: r.arm.value[name] }, 'mm') : [];
  return [
    ...names('on', [r.shaft]),
    ...quantity('teeth', r.teeth, ''),
    ...quantity('play', r.play, '°'),
    ...quantity('hold', r.hold, 'N·mm'),
    ...side('length'),
    ...side('thickness'),
    ...side('width'),
    ...quantity('deflection', r.deflection, 'mm'),
  ];
}

const pushEntries = (p: Push): Entry[] => [
  ...names('turns', [p.shaft]),
  ...quantity('arm', p.arm, 'mm'),
  ...quantity('start', p.start, '°'),
  ...quantity('stroke', p.stroke, 'mm'),
  ...names('return', [p.return]),
];
