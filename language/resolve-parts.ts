/** The parts of a mechanism: from syntax tree to meaning, one function a kind. */
import { type AstNode, GrammarUtils } from 'langium';
import {
  defaultLaw,
  defaultPlateThickness,
  defaultPressureAngle,
  defaultScrews,
  defaultThickness,
  flangeLayers,
  innerShare,
} from './defaults.ts';
import type * as ast from './generated/ast.ts';
import type {
  Band,
  Bar,
  Cam,
  Flank,
  Follower,
  Frame,
  Gear,
  Given,
  Key,
  Law,
  LobeSource,
  Mesh,
  Part,
  Place,
  Point,
  Post,
  Process,
  Push,
  Ratchet,
  Rectangle,
  Screw,
  Segment,
  Shaft,
  Spring,
  StatedLobe,
} from './mechanism.ts';
import { scalars, values } from './properties.ts';
import {
  type Block,
  choice,
  fallback,
  find,
  gather,
  given,
  number,
  numbers,
  once,
  type Reading,
  reference,
  references,
  type Said,
  sayer,
  scalar,
  symbols,
  tellListed,
  tellTwice,
} from './reading.ts';
import { diameters, headsOf, screwOf } from './screws.ts';
import { placeAcross, placeAt, placeOf, placeOfFeature, rewrite, tell } from './telling.ts';
import { say, wants } from './units.ts';

/** What the parts of one mechanism are read with. */
export interface Setting {
  readonly reading: Reading;
  /** The process of the mechanism, and that of a part that says its own. */
  readonly process: Process;
  readonly processOf: (node: ast.Process) => Process;
  /** Whether a statement, or an `every …` for its kind, holds an error of syntax: nothing it lacks is missed. */
  readonly broken: (node: AstNode) => boolean;
}

type SaidOfPart = Said & Pick<Part, 'whole'>;

/** What a part's own block and those of `every …` say of it. */
function said(setting: Setting, node: AstNode & { name?: string }, own: Block, every: readonly Block[]): SaidOfPart {
  const { telling } = setting.reading;
  return {
    name: node.name ?? '',
    place: placeOfFeature(telling, node, 'name'),
    whole: placeOf(telling, node),
    blocks: every.length ? [own, ...every] : [own],
    unclear: setting.broken(node) ? ['*'] : [],
    real: node.$type !== 'Every',
  };
}

/** Properties that may be said more than once. */
const again = { cam: new Set(['lobe']), frame: new Set(['screw']) } as const;

const block = (setting: Setting, node: { properties: ast.Property[] }) => gather(setting.reading, node.properties);

/** The process a part is made with: its own, or the mechanism's. */
function made(setting: Setting, of: Said): Process {
  const property = find(of, 'made');
  if (!property) return setting.process;
  const named = property.process?.ref;
  if (named) return setting.processOf(named);
  of.unclear.push('made with');
  return setting.process;
}

/** The part a header names; noted as unclear where the name stands for nothing. */
function header(setting: Setting, of: Said, used: Parameters<typeof reference>[1], field: string) {
  const found = reference(setting.reading, used);
  if (used && !found) of.unclear.push(field);
  return found;
}

function point(setting: Setting, of: Said, word: string): Given<Point> | undefined {
  return given(setting.reading, of, word, (property) => pointOf(setting.reading, property));
}

function pointOf(reading: Reading, { x, y }: ast.Property) {
  return numbers(reading, { x: [x, values.coordinate], y: [y, values.coordinate] });
}

// ---- shafts, keys, gears --------------------------------------------------------------

export function readShaft(setting: Setting, node: ast.Shaft | ast.Every, every: readonly Block[]): Shaft {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), every);
  const process = made(setting, of);
  const bearing = find(of, 'bearing');
  const clearance = number(reading, bearing?.clearance, values.clearance, 'clearance', bearing && sayer(bearing));
  if (bearing?.clearance && !clearance) of.unclear.push('bearing clearance');
  return {
    kind: 'shaft',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    at: point(setting, of, 'at'),
    turns: choice(reading, of, 'turns'),
    leads: given(reading, of, 'leads', (property) => ({ value: true, place: placeOf(reading.telling, property) })),
    key: keyOf(setting, of),
    bearing: scalar(reading, of, 'bearing', scalars.shaft.bearing),
    bearingClearance:
      clearance ??
      processValue(reading, bearing ? of : { ...of, real: false }, 'bearing clearance', process, 'clearance'),
    process,
  };
}

function keyOf(setting: Setting, of: Said) {
  const property = find(of, 'key');
  return property && header(setting, of, property.key, 'key');
}

/** A value that a process gives where a part says none. */
function processValue(
  reading: Reading,
  of: Said,
  field: string,
  process: Process,
  word: 'clearance' | 'spread' | 'drag',
): Given<number> {
  const want = scalars.process[word].wants;
  const { value } = process[word];
  return fallback(reading, of, field, value, say(value, want), `the ${word} of ${process.name}`, 'process');
}

/** A key leaves on each side what edges spread by, and what bores come out undersize. */
function keyClearance(reading: Reading, of: Said, process: Process): Given<number> {
  const { name, spread, undersize } = process;
  if (!(undersize.value > 0)) return processValue(reading, of, 'clearance', process, 'spread');
  const value = spread.value + undersize.value / 2;
  const because = `the spread of ${name} and half its undersize`;
  return fallback(reading, of, 'clearance', value, say(value, wants.length), because, 'process');
}

export function readKey(setting: Setting, node: ast.Key): Key {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), []);
  const wanted = scalars.key;
  const shape = choice<NonNullable<Key['shape']>['value']>(reading, of, 'shape');
  const outer = scalar(reading, of, 'outer', wanted.outer);
  let inner = scalar(reading, of, 'inner', wanted.inner);
  if (outer && inner && inner.value >= outer.value) {
    const message = `inner must be less than outer, ${say(outer.value, wants.length)}, found ${say(inner.value, wants.length)}`;
    tell(reading.telling, 'bad-value', message, inner.place, { about: [of.name] });
    of.unclear.push('inner');
    inner = undefined;
  }
  if (shape?.value === 'flat' && outer && !inner) {
    const value = innerShare * outer.value;
    inner = fallback(reading, of, 'inner', value, say(value, wants.length), `${innerShare} × outer`);
  }
  const teeth = scalar(reading, of, 'teeth', wanted.teeth);
  let master = scalar(reading, of, 'master', wanted.master);
  if (teeth && master && master.value >= teeth.value) {
    const message = `master must be less than teeth, ${teeth.value}, found ${master.value}`;
    tell(reading.telling, 'bad-value', message, master.place, { about: [of.name] });
    of.unclear.push('master');
    master = undefined;
  }
  return {
    kind: 'key',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    shape,
    teeth,
    master,
    outer,
    inner,
    across: scalar(reading, of, 'across', wanted.across),
    clearance: scalar(reading, of, 'clearance', wanted.clearance) ?? keyClearance(reading, of, setting.process),
  };
}

export function readGear(setting: Setting, node: ast.Gear | ast.Every, every: readonly Block[]): Gear {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), every);
  const wanted = scalars.gear;
  const marks = find(of, 'mark');
  return {
    kind: 'gear',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    shaft: header(setting, of, node.shaft, 'on'),
    module: scalar(reading, of, 'module', wanted.module),
    teeth: scalar(reading, of, 'teeth', wanted.teeth),
    width: scalar(reading, of, 'width', wanted.width),
    marks: marks ? markAzimuths(reading, of, marks) : [],
    pressureAngle:
      scalar(reading, of, 'pressure', wanted.pressure) ??
      fallback(
        reading,
        of,
        'pressure angle',
        defaultPressureAngle.value,
        say(defaultPressureAngle.value, wants.angle),
        defaultPressureAngle.because,
      ),
    shift:
      scalar(reading, of, 'shift', wanted.shift) ??
      fallback(reading, of, 'shift', 0, '0', 'no shift where none is given'),
    level: scalar(reading, of, 'level', wanted.level),
    process: made(setting, of),
  };
}

function markAzimuths(reading: Reading, of: Said, property: ast.Property): Given<number>[] {
  const found = property.values.flatMap(
    (value) => number(reading, value, values.azimuth, 'mark', sayer(property)) ?? [],
  );
  if (found.length === property.values.length && found.length) return found;
  of.unclear.push('mark');
  return [];
}

/** A mesh of two gears; undefined where it does not name two that there are. */
export function readMesh(
  setting: Setting,
  node: ast.Mesh | ast.Every,
  every: readonly Block[],
  gears: readonly Gear[],
): Mesh | undefined {
  const { reading } = setting;
  const named = node.$type === 'Mesh' ? node.gears : [];
  const [first, second] = named.map((each) => reference(reading, each));
  const name = first && second ? `${first.name}–${second.name}` : '';
  const place = placeOf(reading.telling, node);
  const of = { ...said(setting, node, block(setting, node), every), name, place };
  const process = gears.find((gear) => gear.name === first?.name)?.process ?? setting.process;
  const backlash =
    scalar(reading, of, 'backlash', scalars.mesh.backlash) ??
    processValue(reading, { ...of, real: of.real && name !== '' }, 'backlash', process, 'clearance');
  if (node.$type === 'Mesh' && named.length < 2 && !setting.broken(node)) {
    tell(reading.telling, 'bad-value', 'a mesh names the two gears that mesh: mesh G1 G2', place);
  }
  if (!first || !second) return undefined;
  if (first.name === second.name) {
    tell(reading.telling, 'bad-value', `${first.name} cannot mesh with itself; name another gear`, second.place, {
      about: [first.name],
    });
    return undefined;
  }
  return {
    kind: 'mesh',
    name,
    place,
    whole: of.whole,
    unclear: of.unclear,
    gears: [first, second],
    backlash,
  };
}

// ---- segments -------------------------------------------------------------------------------

export function readSegment(setting: Setting, node: ast.Segment | ast.Every, every: readonly Block[]): Segment {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), every);
  const wanted = scalars.segment;
  const process = made(setting, of);
  const stroke = scalar(reading, of, 'stroke', wanted.stroke);
  const nose = scalar(reading, of, 'nose', wanted.nose);
  const bar = given(reading, of, 'bar', (property) => barOf(reading, property));
  const follower =
    given(reading, of, 'follower', (property) => followerOf(reading, property)) ??
    fallback<Follower>(reading, of, 'follower', { kind: 'round' }, 'round nose', 'the follower where none is given');
  const length = (field: string, value: number, because: string) =>
    fallback(reading, of, field, value, say(value, wants.length), because);
  return {
    kind: 'segment',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    azimuth: scalar(reading, of, 'azimuth', wanted.azimuth),
    offset: scalar(reading, of, 'offset', wanted.offset) ?? length('offset', 0, 'the slide points at its shaft'),
    stroke,
    nose,
    guide: scalar(reading, of, 'guide', wanted.guide),
    overhang:
      scalar(reading, of, 'overhang', wanted.overhang) ??
      (stroke && nose && length('overhang', stroke.value + nose.value, 'stroke + nose')),
    // What a flat face needs follows from its cam; of an arm nobody can guess it.
    stem:
      scalar(reading, of, 'stem', wanted.stem) ??
      (follower.value.kind === 'round' ? nose && length('stem', 2 * nose.value, 'twice the nose') : undefined),
    fit: scalar(reading, of, 'fit', wanted.fit) ?? processValue(reading, of, 'fit', process, 'clearance'),
    bar,
    post:
      given(reading, of, 'post', (property) => rectangleOf(reading, property)) ??
      (bar && fallback(reading, of, 'post', outlineOf(bar.value), sayOutline(bar.value), 'the bar’s outline')),
    hook: point(setting, of, 'hook'),
    window: given(reading, of, 'window', (property) => rectangleOf(reading, property)),
    shown:
      choice(reading, of, 'shown') ?? fallback(reading, of, 'shown', 'raised', 'raised', 'shown when its cam lifts it'),
    follower,
    drag: scalar(reading, of, 'drag', wanted.drag) ?? processValue(reading, of, 'drag', process, 'drag'),
    mass: scalar(reading, of, 'mass', wanted.mass),
    process,
  };
}

function barOf(reading: Reading, property: ast.Property): { value: Bar; place: Place } | undefined {
  const { width, height, x, y } = property;
  const options = gather(reading, property.options);
  const numbersOf = numbers(reading, {
    width: [width, values.side],
    height: [height, values.side],
    x: [x, values.coordinate],
    y: [y, values.coordinate],
  });
  const tilt = options.get('tilt');
  const plane = options.get('plane');
  const tilted = number(reading, tilt?.value, values.tilt, 'tilt');
  const planed = number(reading, plane?.value, values.plane, 'plane');
  if (!numbersOf || (tilt && !tilted) || (plane && !planed)) return undefined;
  const { value } = numbersOf;
  return {
    value: {
      width: value.width,
      height: value.height,
      at: { x: value.x, y: value.y },
      tilt: tilted?.value ?? 0,
      plane: planed?.value ?? 1,
      ends: (options.get('ends')?.choice as Bar['ends'] | undefined) ?? 'square',
    },
    place: placeAcross(reading.telling, [width, y, ...property.options]),
  };
}

function rectangleOf(reading: Reading, { width, height, x, y }: ast.Property) {
  const found = numbers(reading, {
    width: [width, values.side],
    height: [height, values.side],
    x: [x, values.coordinate],
    y: [y, values.coordinate],
  });
  if (!found) return undefined;
  const { value, place } = found;
  const rectangle: Rectangle = { width: value.width, height: value.height, at: { x: value.x, y: value.y } };
  return { value: rectangle, place };
}

const outlineOf = ({ width, height, at, tilt }: Bar): Rectangle => ({ width, height, at, ...(tilt && { tilt }) });

/** A rectangle as one would write it; `instead` gives some of its values as text. */
export function sayOutline({ width, height, at }: Rectangle, instead: Readonly<Record<string, string>> = {}): string {
  const side = (name: string, value: number) => instead[name] ?? say(value, wants.length);
  return `${side('width', width)} by ${side('height', height)} at ${side('x', at.x)}, ${side('y', at.y)}`;
}

function followerOf(reading: Reading, property: ast.Property): { value: Follower; place: Place } | undefined {
  const place = placeOf(reading.telling, property);
  if (property.choice === 'flat') return { value: { kind: 'flat' }, place };
  if (property.choice !== 'pivoted') return undefined;
  const at = pointOf(reading, property);
  const arm = number(reading, property.arm, values.side, 'arm');
  return at && arm && { value: { kind: 'pivoted', at: at.value, arm: arm.value }, place };
}

// ---- cams ----------------------------------------------------------------------------------

export function readCam(
  setting: Setting,
  node: ast.Cam | ast.Every,
  every: readonly Block[],
  segments: ReadonlyMap<string, Segment>,
): Cam {
  const { reading } = setting;
  const own = gather(reading, node.properties, again.cam);
  const of = said(setting, node, own, every);
  const wanted = scalars.cam;
  const process = made(setting, of);
  const isCam = node.$type === 'Cam';
  const driven = isCam ? references(reading, of, node.segments, 'drives') : [];
  const level = number(reading, isCam ? node.level : undefined, values.level, 'level');
  if (isCam && node.level && !level) of.unclear.push('level');
  const base = scalar(reading, of, 'base', wanted.base);
  const flangeText = find(of, 'flange');
  const stated = number(reading, flangeText?.radius, values.radius, 'radius', flangeText && sayer(flangeText));
  if (flangeText?.radius && !stated) of.unclear.push('flange radius');
  const rider = segments.get(driven[0]?.name ?? '');
  const layers = flangeLayers * process.layer.value;
  return {
    kind: 'cam',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    shaft: header(setting, of, node.shaft, 'on'),
    level,
    segments: driven,
    base,
    law:
      given(reading, of, 'law', ({ law }) => law && lawOf(reading, law)) ??
      fallback(reading, of, 'law', defaultLaw.value, defaultLaw.value.name, defaultLaw.because),
    travel: scalar(reading, of, 'travel', wanted.travel),
    rise: flank(reading, of, 'rise'),
    fall: flank(reading, of, 'fall'),
    thickness:
      scalar(reading, of, 'thickness', wanted.thickness) ??
      fallback(
        reading,
        of,
        'thickness',
        defaultThickness.value,
        say(defaultThickness.value, wants.length),
        defaultThickness.because,
      ),
    flange:
      scalar(reading, of, 'flange', wanted.flange) ??
      fallback(reading, of, 'flange', layers, say(layers, wants.length), `six layers of ${process.name}`),
    flangeRadius: stated ?? flangeRadius(reading, of, base, rider),
    lobes: lobesOf(reading, of, node),
    process,
  };
}

function flangeRadius(
  reading: Reading,
  of: Said,
  base: Given<number> | undefined,
  rider: Segment | undefined,
): Given<number> | undefined {
  if (!base || !rider?.stroke || !rider.nose) return undefined;
  const value = base.value + rider.stroke.value + rider.nose.value;
  return fallback(reading, of, 'flange radius', value, say(value, wants.length), 'base + stroke + nose');
}

/** A rise or fall of its own; a narrower `travel` sets aside a wider one's. */
function flank(reading: Reading, of: Said, word: 'rise' | 'fall'): Flank | undefined {
  const rank = of.blocks.findIndex((each) => each.has(word));
  const travel = of.blocks.findIndex((each) => each.has('travel'));
  const property = of.blocks[rank]?.get(word);
  if (!property || (travel >= 0 && travel < rank)) return undefined;
  const by = sayer(property);
  const width = number(reading, property.value, values.flank, word, by);
  const late = number(reading, property.late, values.late, 'late', by);
  if (!width || (property.late && !late)) {
    of.unclear.push(word);
    return undefined;
  }
  return late ? { width, late } : { width };
}

function lawOf(reading: Reading, node: ast.Law): { value: Law; place: Place } | undefined {
  const place = placeOf(reading.telling, node);
  const value = lawNamed(reading, node, place);
  return value && { value, place };
}

const polynomials = ['3-4-5', '4-5-6-7'] as const;

function lawNamed(reading: Reading, node: ast.Law, place: Place): Law | undefined {
  const { telling } = reading;
  const blended = number(reading, node.blended, values.blended, 'blended');
  switch (node.family) {
    case 'constant':
      if (node.kind === 'velocity') {
        if (!node.blended) return { name: 'constant velocity' };
        return blended && { name: 'constant velocity', blended: blended.value };
      }
      if (node.kind !== 'acceleration') return undefined;
      if (node.blended) {
        tell(telling, 'bad-value', 'only constant velocity is blended; its acceleration is even already', place, {
          fixes: [rewrite(place, 'constant acceleration')],
        });
      }
      return { name: 'constant acceleration' };
    case 'simple':
      return node.kind === 'harmonic' ? { name: 'simple harmonic' } : undefined;
    case 'cycloidal':
      return { name: 'cycloidal' };
    case 'polynomial': {
      const degrees = node.degrees.join('-');
      const known = polynomials.find((each) => each === degrees);
      if (known) return { name: `polynomial ${known}` };
      if (degrees === '') return undefined;
      tell(telling, 'bad-value', `there is no polynomial ${degrees}; there are ${polynomials.join(' and ')}`, place, {
        fixes: polynomials.map((each) => rewrite(place, `polynomial ${each}`)),
      });
      return undefined;
    }
    case 'modified':
      if (node.kind === 'trapezoid') return { name: 'modified trapezoid' };
      return node.kind === 'sine' ? { name: 'modified sine' } : undefined;
    default:
      return undefined;
  }
}

/** Where the lobes come from: the narrowest block that states any, or the count. */
function lobesOf(reading: Reading, of: Said, node: ast.Cam | ast.Every): LobeSource {
  const from = of.blocks.find((each) => each.has('raised') || each.has('lobe'));
  const raised = from?.get('raised');
  const lobe = from?.get('lobe');
  if (raised && lobe) {
    const [first, second] = raised.$cstNode!.offset < lobe.$cstNode!.offset ? [raised, lobe] : [lobe, raised];
    once(reading, second, () => tellTwice(reading, 'which lobes it has', second, first));
    if (first === lobe) return statedLobes(reading, of, lobe.$container as ast.Cam);
  }
  if (raised) {
    const listed = once(reading, raised, () => raisedAt(reading, raised));
    if (listed) return { by: 'symbols', ...listed };
    of.unclear.push('raised at');
  } else if (lobe) return statedLobes(reading, of, lobe.$container as typeof node);
  return { by: 'count' };
}

function raisedAt(reading: Reading, property: ast.Property) {
  const { telling } = reading;
  const place = placeOf(telling, property);
  const listed = new Map<string, ReturnType<typeof symbols>[number]>();
  for (const symbol of symbols(reading, property.symbols)) {
    const first = listed.get(symbol.text);
    if (first) tellListed(reading, `'${symbol.text}'`, symbol.place, first.place);
    else listed.set(symbol.text, symbol);
  }
  if (listed.size) return { symbols: [...listed.values()], place };
  if (!property.symbols.length) {
    tell(telling, 'bad-value', 'raised at names the symbols at which the follower is up: raised at 0 2', place);
  }
  return undefined;
}

function statedLobes(reading: Reading, of: Said, node: { properties: ast.Property[] }): LobeSource {
  const lobes = node.properties.flatMap((property) => {
    if (property.word !== 'lobe') return [];
    const lobe = once(reading, property, () => statedLobe(reading, property));
    if (!lobe) of.unclear.push('lobe');
    return lobe ?? [];
  });
  return { by: 'angles', lobes };
}

function statedLobe(reading: Reading, property: ast.Property): StatedLobe | undefined {
  const by = sayer(property);
  const from = number(reading, property.from, values.camAngle, 'from', by);
  const to = number(reading, property.to, values.camAngle, 'to', by);
  const flanks = property.values.map((value) => number(reading, value, values.flank, 'flank', by));
  if (!from || !to || flanks.includes(undefined)) return undefined;
  const [before, after = before] = flanks;
  return { from, to, before, after, place: placeOf(reading.telling, property) };
}

// ---- returns ---------------------------------------------------------------------------------

export function readSpring(setting: Setting, node: ast.Spring): Spring {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), []);
  const wanted = scalars.spring;
  return {
    kind: 'spring',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    returns: references(reading, of, find(of, 'returns')?.segments ?? [], 'returns'),
    rate: scalar(reading, of, 'rate', wanted.rate),
    preload: scalar(reading, of, 'preload', wanted.preload),
    coil: choice(reading, of, 'coil'),
    wire: scalar(reading, of, 'wire', wanted.wire),
    mean: scalar(reading, of, 'mean', wanted.mean),
    turns: scalar(reading, of, 'turns', wanted.turns),
    free: scalar(reading, of, 'free', wanted.free),
    modulus: scalar(reading, of, 'modulus', wanted.modulus),
  };
}

export function readPost(setting: Setting, node: ast.Post): Post {
  const of = said(setting, node, block(setting, node), []);
  return {
    kind: 'post',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    at: point(setting, of, 'at'),
    radius: scalar(setting.reading, of, 'radius', scalars.post.radius),
  };
}

export function readBand(setting: Setting, node: ast.Band): Band {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), []);
  const around = find(of, 'around')?.stations.flatMap((station) => {
    const anchor = header(setting, of, station.anchor, 'around');
    return anchor ? [{ ...anchor, inside: station.inside }] : [];
  });
  return {
    kind: 'band',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    around: around ?? [],
    section: given(reading, of, 'section', ({ width, height }) =>
      numbers(reading, { width: [width, values.side], height: [height, values.side] }),
    ),
    loop: scalar(reading, of, 'loop', scalars.band.loop),
    shear: scalar(reading, of, 'shear', scalars.band.shear),
  };
}

// ---- stepping --------------------------------------------------------------------------------

export function readRatchet(setting: Setting, node: ast.Ratchet): Ratchet {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), []);
  const wanted = scalars.ratchet;
  return {
    kind: 'ratchet',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    shaft: header(setting, of, node.shaft, 'on'),
    teeth: scalar(reading, of, 'teeth', wanted.teeth),
    play: scalar(reading, of, 'play', wanted.play),
    hold: scalar(reading, of, 'hold', wanted.hold),
    arm: given(reading, of, 'arm', ({ values: [length, thickness, width] }) =>
      numbers(reading, {
        length: [length, values.side],
        thickness: [thickness, values.side],
        width: [width, values.side],
      }),
    ),
    deflection: scalar(reading, of, 'deflection', wanted.deflection),
    process: made(setting, of),
  };
}

export function readPush(setting: Setting, node: ast.Push): Push {
  const { reading } = setting;
  const of = said(setting, node, block(setting, node), []);
  const wanted = scalars.push;
  const back = find(of, 'return');
  return {
    kind: 'push',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    shaft: header(setting, of, node.shaft, 'turns'),
    arm: scalar(reading, of, 'arm', wanted.arm),
    start: scalar(reading, of, 'start', wanted.start),
    stroke: scalar(reading, of, 'stroke', wanted.stroke),
    return: back && header(setting, of, back.spring, 'return'),
    process: made(setting, of),
  };
}

// ---- the frame ---------------------------------------------------------------------------------

export function readFrame(setting: Setting, node: ast.Frame): Frame {
  const { reading } = setting;
  const own = gather(reading, node.properties, again.frame);
  const of: SaidOfPart = { ...said(setting, node, own, []), name: 'frame', place: wordIn(reading, node) };
  const wanted = scalars.frame;
  const thickness =
    scalar(reading, of, 'thickness', wanted.thickness) ??
    fallback(
      reading,
      of,
      'thickness',
      defaultPlateThickness.value,
      say(defaultPlateThickness.value, wants.length),
      defaultPlateThickness.because,
    );
  return {
    kind: 'frame',
    name: of.name,
    place: of.place,
    whole: of.whole,
    unclear: of.unclear,
    thickness,
    margin:
      scalar(reading, of, 'margin', wanted.margin) ??
      fallback(
        reading,
        of,
        'margin',
        thickness.value,
        say(thickness.value, wants.length),
        'as far as its plates are thick',
      ),
    screws: screwsOf(reading, of),
    at: node.properties.flatMap((property) => {
      if (property.word !== 'screw') return [];
      const found = pointOf(reading, property);
      if (!found) of.unclear.push('screw');
      return found ? [{ ...found, by: 'stated' as const }] : [];
    }),
    process: made(setting, of),
  };
}

/** Where the word stands that begins the statement. */
function wordIn({ telling }: Reading, node: AstNode): Place {
  const word = GrammarUtils.findNodeForKeyword(node.$cstNode, 'frame');
  return word ? placeAt(telling, word) : placeOf(telling, node);
}

function screwsOf(reading: Reading, of: Said): Given<Screw> {
  const property = find(of, 'screws');
  const { diameter, head } = defaultScrews;
  const stated = scalar(reading, of, 'screws', scalars.frame.screws);
  const kind = property?.choice as Screw['head'] | undefined;
  const usual = kind ?? (stated ? headsOf(stated.value)[0] : undefined) ?? head.value;
  const screw = stated && screwOf(stated.value, usual);
  if (stated && !screw) {
    const sizes = diameters(kind);
    const near = sizes.reduce((best, one) =>
      Math.abs(one - stated.value) < Math.abs(best - stated.value) ? one : best,
    );
    const known = sizes.map((one) => say(one, wants.length)).join(', ');
    const message = `screws ${kind ? `with a ${kind} ` : ''}come in ${known} here, found ${say(stated.value, wants.length)}; ${say(near, wants.length)} would do`;
    tell(reading.telling, 'bad-value', message, stated.place, {
      about: [of.name],
      fixes: [rewrite(stated.place, say(near, wants.length))],
    });
    of.unclear.push('screws');
  }
  if (!screw) {
    const value = screwOf(diameter.value, head.value)!;
    const text = `${say(diameter.value, wants.length)} ${head.value}`;
    return fallback(reading, of, 'screws', value, text, `${diameter.because}, with ${head.because}`);
  }
  if (!kind)
    fallback(reading, of, 'screws head', usual, usual, usual === head.value ? head.because : 'as it has no other');
  return { ...stated, value: screw };
}
