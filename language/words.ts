/**
 * The language's words as data: what each means in a maker's terms, how it is written, which unit it takes. Hover,
 * completion, the wording of what is wrong with a text and the language reference all read this one table.
 */
import { units, type Wanted, wants } from './units.ts';

export interface Word {
  /** One line, in trade terms. */
  readonly says: string;
  /** How it is written; what the maker puts in stands in capitals. */
  readonly form: string;
  /** The kind of value it takes, where it takes one. */
  readonly takes?: keyof typeof wants;
  readonly example: string;
}

/** Words that may begin something, by where: in a file, in a mechanism, in the block of each kind of statement. */
export type Room =
  | 'file'
  | 'mechanism'
  | 'about'
  | 'glyphs'
  | 'material'
  | 'process'
  | 'shaft'
  | 'key'
  | 'gear'
  | 'mesh'
  | 'segment'
  | 'cam'
  | 'spring'
  | 'post'
  | 'band'
  | 'ratchet'
  | 'push'
  | 'frame'
  | 'limits';

type Words = Readonly<Record<string, Word>>;

const word = (says: string, form: string, example: string, takes?: keyof typeof wants): Word =>
  takes ? { says, form, takes, example } : { says, form, example };

const made: Words = {
  made: word(
    'process and material of this part, where not those of the mechanism',
    'made with PROCESS',
    'made with fineFilament',
  ),
};

const file: Words = {
  language: word('the version of the language the file is written in; first in the file', 'language 1', 'language 1'),
  import: word(
    'brings in the definitions of another file, by its path from this one',
    'import "FILE"',
    'import "tables.lobe"',
  ),
  mechanism: word(
    'one mechanical numeral: its parts, its count and what it is held to',
    'mechanism NAME { … }',
    'mechanism Gauge { }',
  ),
  glyphs: word(
    'a glyph table: which segments each symbol shows; `like` takes over another table first',
    'glyphs NAME [like TABLE] { SYMBOL = SEGMENT … }',
    'glyphs pier like decimal { C = a d e f }',
  ),
  material: word(
    'what a material is like: stiffness, weight, friction',
    'material NAME { … }',
    'material oak { friction 0.3 }',
  ),
  process: word("what the maker's machine can do", 'process NAME { … }', 'process mill { spread 0.02 mm }'),
};

const mechanism: Words = {
  about: word('what sheets and parts say of the design', 'about { … }', 'about { title "Berth sign" }'),
  let: word('names a value of the mechanism', 'let NAME = VALUE', 'let centres = 70 mm'),
  made: word('process and material of all parts', 'made with PROCESS', 'made with filament'),
  assembled: word('which friction the findings reckon with', 'assembled dry | greased', 'assembled greased'),
  glyphs: word('the glyph table by which the face is read', 'glyphs TABLE', 'glyphs decimal'),
  count: word(
    'the symbols in the order that forward steps show them; as many as rest positions a turn',
    'count SYMBOL … [times NUMBER]',
    'count 0 1 2 3 4 5 times 2',
  ),
  runs: word('which way this build steps', 'runs forward | reverse | either', 'runs forward'),
  shaft: word('a shaft, seen from the front', 'shaft NAME { at X, Y … }', 'shaft upper { at 0 mm, 35 mm }'),
  key: word(
    'a keyed bore: the shape that parts and shaft share',
    'key NAME { shape … }',
    'key dee { shape flat   outer 18 mm }',
  ),
  gear: word('a spur gear on a shaft', 'gear NAME on SHAFT { … }', 'gear wheel on upper { module 1 mm   teeth 70 }'),
  mesh: word('two gears that mesh', 'mesh GEAR GEAR [{ backlash LENGTH }]', 'mesh wheel pinion'),
  segment: word(
    'a bar of the face, with the follower that moves it',
    'segment NAME { … }',
    'segment a { azimuth 90 deg   stroke 3.5 mm }',
  ),
  cam: word(
    'a plate cam and the segments it drives; its lobes follow from the count where it states none',
    'cam NAME on SHAFT level NUMBER drives SEGMENT … [{ … }]',
    'cam camA on upper level 1 drives a { base 22 mm }',
  ),
  every: word(
    'values for all parts of a kind that do not give their own; `on` narrows it to one shaft',
    'every cam | segment | gear | mesh | shaft [on SHAFT] { … }',
    'every cam { base 22 mm   law simple harmonic }',
  ),
  spring: word(
    'return springs, one on each segment named',
    'spring NAME { returns SEGMENT … }',
    'spring coils { returns a b   rate 0.08 N/mm }',
  ),
  post: word(
    'a round post that a band passes',
    'post NAME { at X, Y   radius LENGTH }',
    'post left { at -30 mm, 0 mm   radius 3 mm }',
  ),
  band: word(
    'one elastic loop over posts and segments',
    'band NAME { around ANCHOR, … }',
    'band loop { around left, a, right }',
  ),
  ratchet: word('one-way stepping on a shaft', 'ratchet NAME on SHAFT { … }', 'ratchet stepper on upper { teeth 12 }'),
  push: word(
    "the hand's push that turns a shaft",
    'push NAME turns SHAFT { … }',
    'push button turns upper { arm 14 mm }',
  ),
  frame: word(
    'what holds all parts: a face plate with guides, a back plate, bearings, seats of springs, pawls, pillars and screws',
    'frame { … }',
    'frame { screws 3 mm socket }',
  ),
  limits: word('what the checks hold the design to', 'limits { … }', 'limits { pressure angle 30 deg   push 20 N }'),
  accept: word(
    'a finding that the maker has judged and lets stand',
    'accept CODE [on NAME] "REASON"',
    'accept steep-cam on camA "runs well"',
  ),
  bought: word(
    'a bought part, for the parts list',
    'bought NUMBER "WHAT"',
    'bought 4 "M3 x 10 countersunk screw"',
    'whole',
  ),
};

const about: Words = {
  title: word('the name on sheets', 'title "TEXT"', 'title "Berth sign"'),
  revision: word('the revision on sheets and parts', 'revision "TEXT"', 'revision "A"'),
  author: word('who made it', 'author "TEXT"', 'author "The lock-keeper"'),
  licence: word('on which terms others may use it', 'licence "TEXT"', 'licence "CC BY 4.0"'),
};

const glyphs: Words = {
  segments: word('names segments that no entry need show', 'segments SEGMENT …', 'segments a b c d e f g'),
};

const material: Words = {
  modulus: word('elastic modulus', 'modulus STRESS', 'modulus 3 GPa', 'stress'),
  poisson: word("Poisson's ratio", 'poisson NUMBER', 'poisson 0.35', 'number'),
  density: word('density', 'density DENSITY', 'density 1.24 g/cm3', 'density'),
  strain: word('strain that a bent part may bear again and again', 'strain SHARE', 'strain 1 %', 'share'),
  friction: word('sliding friction, dry', 'friction NUMBER', 'friction 0.3', 'number'),
  greased: word('sliding friction, greased', 'greased NUMBER', 'greased 0.1', 'number'),
  pessimistic: word('sliding friction at worst: rough, worn, dirty', 'pessimistic NUMBER', 'pessimistic 0.6', 'number'),
};

const process: Words = {
  nozzle: word('diameter of the nozzle, or the width of the finest line', 'nozzle LENGTH', 'nozzle 0.4 mm', 'length'),
  layer: word('height of a layer', 'layer LENGTH', 'layer 0.2 mm', 'length'),
  spread: word('how far an edge strays either way (3 sigma)', 'spread LENGTH', 'spread 0.1 mm', 'length'),
  undersize: word(
    'how much narrower than drawn a printed hole comes out on the mean, across it: bores of keys and bearings',
    'undersize LENGTH',
    'undersize 0.2 mm',
    'length',
  ),
  clearance: word('clearance on each side that a running fit needs', 'clearance LENGTH', 'clearance 0.2 mm', 'length'),
  wall: word('thinnest wall', 'wall LENGTH', 'wall 0.8 mm', 'length'),
  drag: word(
    'force that just moves a bar in its guide, for segments that give none',
    'drag FORCE',
    'drag 0.3 N',
    'force',
  ),
  bed: word(
    'width and depth of the bed on which parts are built; they are laid on as many as they take',
    'bed LENGTH by LENGTH',
    'bed 250 mm by 210 mm',
    'length',
  ),
  material: word('what the parts are made of', 'material MATERIAL', 'material pla'),
};

const shaft: Words = {
  at: word("the shaft's centre, seen by the reader: x to the right, y up", 'at X, Y', 'at 0 mm, 35 mm', 'length'),
  turns: word(
    'which way it turns on a forward step, as the reader sees it',
    'turns clockwise | counterclockwise',
    'turns clockwise',
  ),
  leads: word('this shaft leads: the steps are counted on it', 'leads', 'leads'),
  key: word('the keyed bore of the parts on it', 'key KEY', 'key dee'),
  bearing: word(
    'diameter of its bearing, and the clearance there',
    'bearing LENGTH [clearance LENGTH]',
    'bearing 10 mm clearance 0.2 mm',
    'length',
  ),
  ...made,
};

const key: Words = {
  shape: word('the shape of the bore', 'shape splined | flat | square | hexagon', 'shape flat'),
  teeth: word('number of even spline teeth', 'teeth NUMBER', 'teeth 12', 'whole'),
  master: word('how many adjacent teeth are joined into a wide one', 'master NUMBER', 'master 2', 'whole'),
  outer: word('outer diameter', 'outer LENGTH', 'outer 18 mm', 'length'),
  inner: word(
    "inner diameter; for a flat, twice the flat's distance from the centre",
    'inner LENGTH',
    'inner 14 mm',
    'length',
  ),
  across: word('width across flats', 'across LENGTH', 'across 8 mm', 'length'),
  clearance: word('clearance on each side', 'clearance LENGTH', 'clearance 0.1 mm', 'length'),
};

const gear: Words = {
  module: word('pitch diameter over number of teeth', 'module LENGTH', 'module 1 mm', 'length'),
  teeth: word('number of teeth', 'teeth NUMBER', 'teeth 70', 'whole'),
  width: word('face width', 'width LENGTH', 'width 5 mm', 'length'),
  shift: word('profile shift, in modules', 'shift NUMBER', 'shift 0.2', 'number'),
  level: word('the level it lies at; without, behind the deepest cam', 'level NUMBER', 'level 9', 'whole'),
  pressure: word('pressure angle of the teeth', 'pressure angle ANGLE', 'pressure angle 20 deg', 'angle'),
  mark: word('azimuth of its timing mark at home, one for each mesh', 'mark ANGLE, …', 'mark 270 deg', 'angle'),
  ...made,
};

const mesh: Words = {
  backlash: word('play between the teeth, along the pitch circle', 'backlash LENGTH', 'backlash 0.12 mm', 'length'),
};

const segment: Words = {
  azimuth: word(
    'the way it slides from its shaft, counter-clockwise from the right',
    'azimuth ANGLE',
    'azimuth 90 deg',
    'angle',
  ),
  offset: word(
    'how far its line passes the shaft, positive to the left of the slide',
    'offset LENGTH',
    'offset 2 mm',
    'length',
  ),
  stroke: word('how far it slides', 'stroke LENGTH', 'stroke 3.5 mm', 'length'),
  nose: word("radius of the follower's round nose", 'nose LENGTH', 'nose 1.5 mm', 'length'),
  guide: word('length that guides it', 'guide LENGTH', 'guide 14 mm', 'length'),
  overhang: word('from the tip of the nose to the guide, when lowered', 'overhang LENGTH', 'overhang 5 mm', 'length'),
  stem: word('width of what slides in the guide, or of the arm that swings', 'stem LENGTH', 'stem 3 mm', 'length'),
  fit: word('clearance on each side of the guide', 'fit LENGTH', 'fit 0.2 mm', 'length'),
  drag: word(
    'force that just moves the bar in its guide by itself: a kitchen scale measures it',
    'drag FORCE',
    'drag 0.3 N',
    'force',
  ),
  mass: word('mass of all that moves with it', 'mass MASS', 'mass 4 g', 'mass'),
  bar: word(
    'outline and centre of the bar on the face, when lowered',
    'bar LENGTH by LENGTH at X, Y [tilt ANGLE] [plane NUMBER] [ends square | mitred | pointed]',
    'bar 44 mm by 6 mm at 0 mm, 66 mm',
    'length',
  ),
  post: word(
    'what reaches from its level to the face, when lowered',
    'post LENGTH by LENGTH at X, Y',
    'post 4 mm by 4 mm at 0 mm, 40 mm',
    'length',
  ),
  window: word(
    'what the reader sees through',
    'window LENGTH by LENGTH at X, Y',
    'window 40 mm by 5 mm at 0 mm, 66 mm',
    'length',
  ),
  hook: word(
    'where a band pulls, or in a frame its spring, when lowered',
    'hook at X, Y',
    'hook at 0 mm, 20 mm',
    'length',
  ),
  shown: word(
    'whether the reader sees the bar when its follower is up or down',
    'shown raised | lowered',
    'shown raised',
  ),
  follower: word(
    'another kind of follower than the round nose',
    'follower flat | pivoted at X, Y arm LENGTH',
    'follower flat',
    'length',
  ),
  ...made,
};

const cam: Words = {
  base: word('radius of the base circle, which the nose touches when lowered', 'base LENGTH', 'base 22 mm', 'length'),
  law: word('the law of motion of rise and fall', 'law LAW', 'law simple harmonic'),
  travel: word(
    'angle of one rise or fall, centred between two rest positions',
    'travel ANGLE',
    'travel 25 deg',
    'angle',
  ),
  thickness: word('thickness of the cam', 'thickness LENGTH', 'thickness 3 mm', 'length'),
  flange: word(
    'thickness of the guide disc behind it, and its radius',
    'flange LENGTH [to radius LENGTH]',
    'flange 1.2 mm',
    'length',
  ),
  rise: word(
    'angle of the rise, and how much later than centred it lies',
    'rise ANGLE [late ANGLE]',
    'rise 28 deg late 2 deg',
    'angle',
  ),
  fall: word(
    'angle of the fall, and how much later than centred it lies',
    'fall ANGLE [late ANGLE]',
    'fall 20 deg',
    'angle',
  ),
  raised: word(
    'states the lobes as the symbols at which the follower is up',
    'raised at SYMBOL …',
    'raised at 0 2 3 5',
  ),
  lobe: word(
    'states one lobe: fully up from one cam angle counter-clockwise to another, with its flanks',
    'lobe from ANGLE to ANGLE [flank ANGLE | flanks ANGLE, ANGLE]',
    'lobe from 20 deg to 80 deg flank 25 deg',
    'angle',
  ),
  ...made,
};

const spring: Words = {
  returns: word('the segments it returns: each has its own', 'returns SEGMENT …', 'returns a b c'),
  rate: word('spring rate', 'rate RATE', 'rate 0.08 N/mm', 'springRate'),
  preload: word('force when the segment is lowered', 'preload FORCE', 'preload 0.9 N', 'force'),
  coil: word('a coil spring, drawn apart or pressed together', 'coil extension | compression', 'coil extension'),
  wire: word('diameter of the wire', 'wire LENGTH', 'wire 0.3 mm', 'length'),
  mean: word('mean diameter of the coil', 'mean LENGTH', 'mean 4 mm', 'length'),
  turns: word('number of working turns', 'turns NUMBER', 'turns 20', 'number'),
  free: word('free length', 'free LENGTH', 'free 18 mm', 'length'),
  modulus: word('shear modulus of the wire', 'modulus STRESS', 'modulus 81.5 GPa', 'stress'),
};

const post: Words = {
  at: word('its centre', 'at X, Y', 'at -30 mm, 0 mm', 'length'),
  radius: word('its radius', 'radius LENGTH', 'radius 3 mm', 'length'),
};

const band: Words = {
  around: word(
    'what it passes, counter-clockwise; `inside` marks an anchor that it passes on the other side',
    'around [inside] POST | SEGMENT, …',
    'around left, a, inside right',
  ),
  section: word('section of one strand', 'section LENGTH by LENGTH', 'section 1.5 mm by 1.5 mm', 'length'),
  loop: word('its free length, all the way round', 'loop LENGTH', 'loop 160 mm', 'length'),
  shear: word('shear modulus of the rubber', 'shear STRESS', 'shear 0.4 MPa', 'stress'),
};

const ratchet: Words = {
  teeth: word('number of teeth', 'teeth NUMBER', 'teeth 12', 'whole'),
  play: word('how far the shaft can rest from its ideal position, either way', 'play ANGLE', 'play 0.5 deg', 'angle'),
  hold: word('torque that keeps it from running on', 'hold TORQUE', 'hold 60 Nmm', 'torque'),
  arm: word(
    "the pawl's springy arm: length, thickness in bending, width",
    'arm LENGTH by LENGTH by LENGTH',
    'arm 24 mm by 1.2 mm by 5 mm',
    'length',
  ),
  deflection: word("how far the arm's end bends over a tooth", 'deflection LENGTH', 'deflection 1.5 mm', 'length'),
  ...made,
};

const push: Words = {
  arm: word('radius of the pin that is pushed', 'arm LENGTH', 'arm 14 mm', 'length'),
  start: word(
    'angle from where the radius stands square to the stroke; negative: before',
    'start ANGLE',
    'start -17 deg',
    'angle',
  ),
  stroke: word('how far the push goes, straight', 'stroke LENGTH', 'stroke 8.2 mm', 'length'),
  return: word('the spring that brings it back', 'return SPRING', 'return coils'),
  ...made,
};

const frame: Words = {
  thickness: word('thickness of its plates', 'thickness LENGTH', 'thickness 4 mm', 'length'),
  margin: word('how far its plates reach beyond all that moves behind them', 'margin LENGTH', 'margin 4 mm', 'length'),
  screws: word(
    'its screws, with countersunk heads: diameter of the thread and the kind of head',
    'screws LENGTH [socket | cross]',
    'screws 3 mm socket',
    'length',
  ),
  screw: word(
    'where a screw stands; may be said for each; without, they stand at the corners',
    'screw at X, Y',
    'screw at 40 mm, 70 mm',
    'length',
  ),
  ...made,
};

const limits: Words = {
  pressure: word('greatest pressure angle', 'pressure angle ANGLE', 'pressure angle 30 deg', 'angle'),
  push: word('greatest push', 'push FORCE', 'push 20 N', 'force'),
  return: word('how many times a return force must beat what holds the bar', 'return NUMBER', 'return 1.5', 'number'),
  shown: word('share of the stroke from which a segment counts as shown', 'shown SHARE', 'shown 90 %', 'share'),
  hidden: word('share of the stroke up to which it counts as hidden', 'hidden SHARE', 'hidden 10 %', 'share'),
};

/** All words that may begin something, by where they may stand. */
export const rooms: Readonly<Record<Room, Words>> = {
  file,
  mechanism,
  about,
  glyphs,
  material,
  process,
  shaft,
  key,
  gear,
  mesh,
  segment,
  cam,
  spring,
  post,
  band,
  ratchet,
  push,
  frame,
  limits,
};

/** Words inside statements and properties: they go on with what another word began. */
export const innerWords: Readonly<Record<string, string>> = {
  acceleration: 'constant acceleration: a parabola up, one down; the lowest peak acceleration',
  angle: 'as in pressure angle',
  arm: 'length of a pivoted follower, from pivot to nose',
  at: 'where: x to the right, y up',
  blank: 'a symbol that shows no segment',
  blended: 'share of the travel over which velocity rises and falls evenly, at each end',
  by: 'width by height',
  clearance: 'clearance on each side',
  clockwise: 'as the reader sees it',
  compression: 'pressed together',
  constant: 'constant velocity or constant acceleration',
  counterclockwise: 'as the reader sees it',
  cross: 'a head with a cross recess, ISO 7046',
  cycloidal: 'cycloidal: smooth to the ends of the travel',
  drives: 'the segments that a cam drives; several are one piece',
  dry: 'friction as it is without grease',
  either: 'steps both ways',
  ends: "shape of a bar's ends: square, mitred or pointed",
  extension: 'drawn apart',
  flank: 'width of a lobe on both sides',
  flanks: 'widths of a lobe before and after',
  flat: 'a flat',
  forward: 'steps in the order of the count',
  from: 'cam angle where the follower is first fully up',
  greased: 'friction as it is with grease',
  harmonic: 'as in simple harmonic',
  hexagon: 'six sides',
  inside: 'the band passes this anchor on the other side',
  late: 'later than centred, in the sense of a forward step',
  level: 'the plane it lies in, counted from the face backwards',
  like: 'takes over another table, then adds or replaces',
  lowered: 'when the follower is down',
  mitred: 'ends cut at 45 degrees',
  modified: 'modified trapezoid or modified sine',
  on: 'the shaft a part sits on; the part a finding is about',
  pivoted: 'a follower that swings about a pivot',
  plane: 'which plane of the face a bar lies in',
  pointed: 'ends cut to a point',
  polynomial: 'polynomial 3-4-5 or 4-5-6-7',
  radius: 'radius of the guide disc',
  raised: 'when the follower is up',
  reverse: 'steps against the order of the count',
  simple: 'as in simple harmonic',
  sine: 'as in modified sine',
  socket: 'a head with a hexagon socket, ISO 10642',
  splined: 'even teeth, some of them joined wide',
  square: 'four sides; ends cut square',
  tilt: "the bar's turn, counter-clockwise",
  times: 'the count fills a turn so many times',
  to: 'cam angle where the follower begins to fall',
  trapezoid: 'as in modified trapezoid',
  velocity: 'constant velocity: jerks at both ends unless blended',
  with: 'as in made with',
};

/** The laws of motion by the handbooks' names, as they are written. */
export const laws: Readonly<Record<string, string>> = {
  'constant velocity': 'a straight line; jerks at both ends unless blended',
  'constant acceleration': 'a parabola up and one down; lowest peak acceleration, jerks in the middle',
  'simple harmonic': 'a cosine; the usual one for stepped numerals, needs the smallest cams of the smooth laws',
  cycloidal: 'no jump in acceleration at the ends; needs larger cams',
  'polynomial 3-4-5': 'no jump in acceleration at the ends, softer than cycloidal',
  'polynomial 4-5-6-7': 'no jump in jerk either; needs the largest cams',
  'modified trapezoid': 'low peak acceleration without jumps',
  'modified sine': 'low peak velocity and torque without jumps',
};

/** The functions of expressions. */
export const functions: Readonly<Record<string, string>> = {
  min: 'the least of its values',
  max: 'the greatest of its values',
  sqrt: 'square root',
  sin: 'sine of an angle',
  cos: 'cosine of an angle',
  tan: 'tangent of an angle',
};

/** What a unit measures and, where that helps, how much it is. */
export const unitWords: Readonly<Record<string, string>> = {
  mm: 'millimetres',
  um: 'micrometres: 0.001 mm',
  cm: 'centimetres: 10 mm',
  in: 'inches: 25.4 mm',
  deg: 'degrees',
  rad: 'radians',
  turn: 'whole turns: 360 deg',
  N: 'newtons',
  mN: 'millinewtons: 0.001 N',
  'N/mm': 'newtons per millimetre: spring rate',
  Nmm: 'newton millimetres: torque',
  MPa: 'megapascals: N per mm²',
  GPa: 'gigapascals: 1000 MPa',
  g: 'grams',
  'g/cm3': 'grams per cubic centimetre: density',
  s: 'seconds',
  ms: 'milliseconds',
  '%': 'percent',
};

/** The units that a kind of value may be written in, the usual one first. */
export function unitsFor(takes: keyof typeof wants): string[] {
  const want: Wanted = wants[takes];
  if (want.unit === '') return [];
  const same = [...units].filter(([, { dimension }]) => dimension === want.dimension).map(([name]) => name);
  return [want.unit, ...same.filter((name) => name !== want.unit)];
}

const article = (name: string): string => (/^[aeiou]/.test(name) ? `an ${name}` : `a ${name}`);

/** What says the words of a room, in a sentence: "a cam", "a mechanism". */
export function roomName(room: Room): string {
  if (room === 'glyphs') return 'a glyph table';
  if (room === 'limits' || room === 'about' || room === 'frame') return `'${room}'`;
  return article(room);
}
