/** Mechanisms built by hand, for tests of what comes after the text. Lengths mm, angles in degrees here. */
import type {
  Bar,
  Cam,
  Count,
  Gear,
  Given,
  GlyphTable,
  Law,
  LobeSource,
  Material,
  Mechanism,
  Mesh,
  Part,
  Place,
  Process,
  Segment,
  Sense,
  Shaft,
} from '../language/mechanism.ts';

export const nowhere: Place = { file: 'test.lobe', top: 0, from: 0, to: 0 };
const rad = (degrees: number): number => (degrees * Math.PI) / 180;

export const given = <T>(value: T): Given<T> => ({ value, place: nowhere, by: 'stated' });
export const angle = (degrees: number): Given<number> => given(rad(degrees));
export const reference = (name: string) => ({ name, place: nowhere });

function part<K extends Part['kind']>(kind: K, name: string) {
  return { kind, name, place: nowhere, whole: nowhere, unclear: [] };
}

const pla: Material = { name: 'pla', friction: given(0.3), greased: given(0.1), pessimistic: given(0.6) };

export const filament: Process = {
  name: 'filament',
  nozzle: given(0.4),
  layer: given(0.2),
  spread: given(0.1),
  undersize: given(0),
  bed: given({ width: 220, depth: 220 }),
  clearance: given(0.2),
  wall: given(0.8),
  drag: given(0.3),
  material: pla,
};

export function shaft(name: string, at: readonly [number, number], turns?: Sense, more: Partial<Shaft> = {}): Shaft {
  return {
    ...part('shaft', name),
    at: given({ x: at[0], y: at[1] }),
    ...(turns && { turns: given(turns) }),
    bearingClearance: given(0.2),
    process: filament,
    ...more,
  };
}

export function gear(name: string, on: string, teeth: number, more: Partial<Gear> = {}): Gear {
  return {
    ...part('gear', name),
    shaft: reference(on),
    module: given(1),
    teeth: given(teeth),
    width: given(5),
    marks: [],
    pressureAngle: angle(20),
    shift: given(0),
    process: filament,
    ...more,
  };
}

export function mesh(first: string, second: string, backlash = 0.2): Mesh {
  return {
    ...part('mesh', `${first}–${second}`),
    gears: [reference(first), reference(second)],
    backlash: given(backlash),
  };
}

export function bar(width: number, height: number, x: number, y: number): Bar {
  return { width, height, at: { x, y }, tilt: 0, plane: 1, ends: 'square' };
}

export function segment(name: string, azimuth: number, more: Partial<Segment> = {}): Segment {
  return {
    ...part('segment', name),
    azimuth: angle(azimuth),
    offset: given(0),
    stroke: given(3.5),
    nose: given(1.5),
    guide: given(14),
    fit: given(0.2),
    shown: given('raised'),
    follower: given({ kind: 'round' }),
    drag: given(0.3),
    process: filament,
    ...more,
  };
}

export function cam(name: string, on: string, drives: string | readonly string[], more: Partial<Cam> = {}): Cam {
  return {
    ...part('cam', name),
    shaft: reference(on),
    level: given(1),
    segments: [drives].flat().map(reference),
    base: given(22),
    law: given<Law>({ name: 'simple harmonic' }),
    thickness: given(3),
    flange: given(1.2),
    lobes: { by: 'count' },
    process: filament,
    ...more,
  };
}

/** Lobes stated as angles: [from, to] or [from, to, flank] or [from, to, before, after]. */
export function lobesAt(...lobes: readonly (readonly number[])[]): LobeSource {
  return {
    by: 'angles',
    lobes: lobes.map(([from, to, before, after]) => ({
      from: angle(from!),
      to: angle(to!),
      ...(before !== undefined && { before: angle(before) }),
      ...((after ?? before) !== undefined && { after: angle((after ?? before)!) }),
      place: nowhere,
    })),
  };
}

export const raisedAt = (...symbols: readonly string[]): LobeSource => ({
  by: 'symbols',
  symbols: symbols.map((text) => ({ text, place: nowhere })),
  place: nowhere,
});

/** `glyphs({ 0: 'a b c', 1: 'b c' })`: segment names parted by blanks. */
export function glyphs(entries: Readonly<Record<string, string>>, segments?: readonly string[]): Given<GlyphTable> {
  const list = Object.entries(entries).map(([symbol, lit]) => ({
    symbol,
    lit: lit.split(' ').filter(Boolean),
    place: nowhere,
  }));
  return given({
    name: 'face',
    place: nowhere,
    segments: segments ?? [...new Set(list.flatMap((entry) => entry.lit))].sort(),
    entries: list,
    unclear: [],
  });
}

export function count(symbols: readonly string[], times = 1): Count {
  return { symbols: symbols.map((text) => ({ text, place: nowhere })), times, place: nowhere };
}

export function mechanism(more: Partial<Mechanism>): Mechanism {
  return {
    name: 'Tested',
    place: nowhere,
    whole: nowhere,
    about: {},
    process: filament,
    assembled: given('dry'),
    runs: given('forward'),
    shafts: [],
    keys: [],
    gears: [],
    meshes: [],
    segments: [],
    cams: [],
    springs: [],
    posts: [],
    bands: [],
    ratchets: [],
    pushes: [],
    limits: { pressureAngle: angle(30), return: given(1.5), shown: given(0.9), hidden: given(0.1), unclear: [] },
    acceptances: [],
    bought: [],
    unclear: [],
    defaults: [],
    ...more,
  };
}

/** The usual face, with tails on 6 and 9. */
export const tails = glyphs({
  0: 'a b c d e f',
  1: 'b c',
  2: 'a b d e g',
  3: 'a b c d g',
  4: 'b c f g',
  5: 'a c d f g',
  6: 'a c d e f g',
  7: 'a b c',
  8: 'a b c d e f g',
  9: 'a b c d f g',
});

/** The face as decoder datasheets draw it without tails. */
export const noTails = glyphs({
  0: 'a b c d e f',
  1: 'b c',
  2: 'a b d e g',
  3: 'a b c d g',
  4: 'b c f g',
  5: 'a c d f g',
  6: 'c d e f g',
  7: 'a b c',
  8: 'a b c d e f g',
  9: 'a b c f g',
});

export const digits = ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'];

/** Seven bars on two shafts, one above the other, geared 1 : 1; the upper one leads and turns clockwise. */
export function numeral(more: Partial<Mechanism> = {}): Mechanism {
  const azimuths = { a: 90, b: 0, f: 180, g: 270, d: 270, c: 0, e: 180 };
  return mechanism({
    name: 'Numeral',
    glyphs: tails,
    count: count(digits),
    shafts: [shaft('upper', [0, 35], 'clockwise'), shaft('lower', [0, -35], 'counterclockwise')],
    gears: [gear('upperGear', 'upper', 70), gear('lowerGear', 'lower', 70)],
    meshes: [mesh('upperGear', 'lowerGear', 0.12)],
    segments: Object.entries(azimuths).map(([name, azimuth]) => segment(name, azimuth)),
    cams: Object.keys(azimuths).map((name, i) =>
      cam(`cam${name.toUpperCase()}`, i < 4 ? 'upper' : 'lower', name, { level: given(i < 4 ? i + 1 : i - 3) }),
    ),
    ...more,
  });
}
