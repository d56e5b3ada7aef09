/**
 * What a design *means*: plain readonly data, each value with the place it came from.
 *
 * Numbers are mm, rad, N, N·mm, MPa, g, g/mm³ and s. Everything after the resolver (reckoning, checks, drawings,
 * outputs) reads this file and nothing else of `language/`. All of it survives `JSON.stringify`.
 */

// ---- places ----------------------------------------------------------------

/**
 * A stretch of text. Offsets count from the start of the file's top-level statement number `top`, so that an edit
 * in one mechanism leaves the places of all others as they were; `top` −1 counts from the start of the file.
 */
export interface Place {
  readonly file: string;
  readonly top: number;
  readonly from: number;
  readonly to: number;
}

/** A value and where it came from. */
export interface Given<T> {
  readonly value: T;
  /** The value's text; for a default, the name of the object that lacks it. */
  readonly place: Place;
  readonly by: 'stated' | 'every' | 'process' | 'default';
  /** For a default: why this value, in a maker's words ("5/6 of the step"). */
  readonly because?: string;
  /** Half-width of the tolerance that the text gives, in the value's unit. */
  readonly tolerance?: number;
}

/** A name used in the text; `name` is that of the object it stands for. */
export interface Reference {
  readonly name: string;
  readonly place: Place;
}

/** A symbol as it was counted or listed; `text` without quotes. */
export interface CountedSymbol {
  readonly text: string;
  readonly place: Place;
}

export interface Point {
  readonly x: number;
  readonly y: number;
}

// ---- tables ----------------------------------------------------------------

export interface GlyphEntry {
  readonly symbol: string;
  /** Names of the segments that the symbol shows, in the table's order. */
  readonly lit: readonly string[];
  readonly place: Place;
}

export interface GlyphTable {
  readonly name: string;
  readonly place: Place;
  /** All segments the table speaks of, those of `like` included. */
  readonly segments: readonly string[];
  readonly entries: readonly GlyphEntry[];
  /** 'like', where the table it is like is not known: then it may have more entries and segments than these. */
  readonly unclear: readonly string[];
}

export interface Material {
  readonly name: string;
  readonly modulus?: Given<number>;
  readonly poisson?: Given<number>;
  readonly density?: Given<number>;
  readonly strain?: Given<number>;
  readonly friction?: Given<number>;
  readonly greased?: Given<number>;
  readonly pessimistic?: Given<number>;
}

/** mm. */
export interface Bed {
  readonly width: number;
  readonly depth: number;
}

export interface Process {
  readonly name: string;
  readonly nozzle: Given<number>;
  readonly layer: Given<number>;
  readonly spread: Given<number>;
  /** How much narrower than drawn a printed hole comes out on the mean, mm across it: a shift, no spread. */
  readonly undersize: Given<number>;
  readonly clearance: Given<number>;
  readonly wall: Given<number>;
  readonly drag: Given<number>;
  /** On which parts are built, mm. */
  readonly bed: Given<Bed>;
  readonly material: Material;
}

// ---- the parts of a mechanism ------------------------------------------------

export type Kind =
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
  | 'frame';

/** What every named part has. */
export interface Part {
  readonly name: string;
  readonly kind: Kind;
  /** The name in the statement that makes the part. */
  readonly place: Place;
  /** The whole statement. */
  readonly whole: Place;
  /**
   * Properties that were said but could not be understood (already told): not to be told as missing. By their name in
   * the text ('base', 'pressure angle', 'flange radius'; 'on', 'level', 'drives' of a header); '*' where the
   * statement's syntax is broken, so that anything may be there. See `isUnclear`.
   */
  readonly unclear: readonly string[];
}

/** Whether a property (or a statement, of a mechanism) was said in a way that could not be understood. */
export function isUnclear({ unclear }: { readonly unclear: readonly string[] }, property: string): boolean {
  return unclear.includes(property) || unclear.includes('*');
}

export type Sense = 'clockwise' | 'counterclockwise';

/** Whether a default stands where a property was said in a way that could not be understood: nothing is told by it. */
export function isGuess(
  of: { readonly unclear: readonly string[] },
  property: string,
  given: Pick<Given<unknown>, 'by'> | undefined,
): boolean {
  return isUnclear(of, property) && given?.by !== 'stated' && given?.by !== 'every';
}

export interface Shaft extends Part {
  readonly kind: 'shaft';
  readonly at?: Given<Point>;
  readonly turns?: Given<Sense>;
  readonly leads?: Given<true>;
  readonly key?: Reference;
  readonly bearing?: Given<number>;
  readonly bearingClearance: Given<number>;
  readonly process: Process;
}

export type KeyShape = 'splined' | 'flat' | 'square' | 'hexagon';

export interface Key extends Part {
  readonly kind: 'key';
  readonly shape?: Given<KeyShape>;
  readonly teeth?: Given<number>;
  readonly master?: Given<number>;
  readonly outer?: Given<number>;
  /** For `flat`: twice the flat's distance from the centre. */
  readonly inner?: Given<number>;
  readonly across?: Given<number>;
  readonly clearance: Given<number>;
}

export interface Gear extends Part {
  readonly kind: 'gear';
  readonly shaft?: Reference;
  readonly module?: Given<number>;
  readonly teeth?: Given<number>;
  readonly width?: Given<number>;
  /** Azimuths of the timing marks at home; empty where none is stated. */
  readonly marks: readonly Given<number>[];
  readonly pressureAngle: Given<number>;
  readonly shift: Given<number>;
  readonly level?: Given<number>;
  readonly process: Process;
}

/** Named `first–second` for messages. */
export interface Mesh extends Part {
  readonly kind: 'mesh';
  readonly gears: readonly [Reference, Reference];
  readonly backlash: Given<number>;
}

export interface Bar {
  readonly width: number;
  readonly height: number;
  readonly at: Point;
  readonly tilt: number;
  readonly plane: number;
  readonly ends: 'square' | 'mitred' | 'pointed';
}

export interface Rectangle {
  readonly width: number;
  readonly height: number;
  readonly at: Point;
  /** Of a tilted bar whose outline it is, counter-clockwise. */
  readonly tilt?: number;
}

export type Follower =
  | { readonly kind: 'round' }
  | { readonly kind: 'flat' }
  | { readonly kind: 'pivoted'; readonly at: Point; readonly arm: number };

export interface Segment extends Part {
  readonly kind: 'segment';
  readonly azimuth?: Given<number>;
  readonly offset: Given<number>;
  readonly stroke?: Given<number>;
  readonly nose?: Given<number>;
  readonly guide?: Given<number>;
  readonly overhang?: Given<number>;
  readonly stem?: Given<number>;
  readonly fit: Given<number>;
  readonly bar?: Given<Bar>;
  /** What reaches from its level to the face when lowered; default the bar's outline. */
  readonly post?: Given<Rectangle>;
  readonly hook?: Given<Point>;
  readonly window?: Given<Rectangle>;
  readonly shown: Given<'raised' | 'lowered'>;
  readonly follower: Given<Follower>;
  readonly drag: Given<number>;
  readonly mass?: Given<number>;
  readonly process: Process;
}

export type Law =
  | { readonly name: 'constant velocity'; readonly blended?: number }
  | {
      readonly name:
        | 'constant acceleration'
        | 'simple harmonic'
        | 'cycloidal'
        | 'polynomial 3-4-5'
        | 'polynomial 4-5-6-7'
        | 'modified trapezoid'
        | 'modified sine';
    };

/** One rise or fall set apart from `travel`: its angle, and how much later than centred (in forward turning). */
export interface Flank {
  readonly width: Given<number>;
  readonly late?: Given<number>;
}

/** A lobe stated as cam angles: fully up from `from` counter-clockwise to `to`. */
export interface StatedLobe {
  readonly from: Given<number>;
  readonly to: Given<number>;
  /** Width of the flank before `from` and after `to`; without them the cam's travel. */
  readonly before?: Given<number>;
  readonly after?: Given<number>;
  readonly place: Place;
}

export type LobeSource =
  | { readonly by: 'count' }
  | { readonly by: 'symbols'; readonly symbols: readonly CountedSymbol[]; readonly place: Place }
  | { readonly by: 'angles'; readonly lobes: readonly StatedLobe[] };

export interface Cam extends Part {
  readonly kind: 'cam';
  readonly shaft?: Reference;
  readonly level?: Given<number>;
  /** Several segments are one piece: the first one's follower rides on the cam. */
  readonly segments: readonly Reference[];
  readonly base?: Given<number>;
  readonly law: Given<Law>;
  /** Absent where not stated: the default is 5/6 of the cam's step, which the train gives. */
  readonly travel?: Given<number>;
  readonly rise?: Flank;
  readonly fall?: Flank;
  readonly thickness: Given<number>;
  readonly flange: Given<number>;
  readonly flangeRadius?: Given<number>;
  readonly lobes: LobeSource;
  readonly process: Process;
}

export interface Spring extends Part {
  readonly kind: 'spring';
  readonly returns: readonly Reference[];
  readonly rate?: Given<number>;
  readonly preload?: Given<number>;
  readonly coil?: Given<'extension' | 'compression'>;
  readonly wire?: Given<number>;
  readonly mean?: Given<number>;
  readonly turns?: Given<number>;
  readonly free?: Given<number>;
  readonly modulus?: Given<number>;
}

export interface Post extends Part {
  readonly kind: 'post';
  readonly at?: Given<Point>;
  readonly radius?: Given<number>;
}

export interface Band extends Part {
  readonly kind: 'band';
  /** Counter-clockwise; each anchor is a post or a segment (its hook). */
  readonly around: readonly (Reference & { readonly inside: boolean })[];
  readonly section?: Given<{ readonly width: number; readonly height: number }>;
  readonly loop?: Given<number>;
  readonly shear?: Given<number>;
}

export interface Ratchet extends Part {
  readonly kind: 'ratchet';
  readonly shaft?: Reference;
  readonly teeth?: Given<number>;
  readonly play?: Given<number>;
  readonly hold?: Given<number>;
  /** The pawl's arm: length, thickness in bending, width. */
  readonly arm?: Given<{ readonly length: number; readonly thickness: number; readonly width: number }>;
  readonly deflection?: Given<number>;
  readonly process: Process;
}

export interface Push extends Part {
  readonly kind: 'push';
  readonly shaft?: Reference;
  readonly arm?: Given<number>;
  readonly start?: Given<number>;
  readonly stroke?: Given<number>;
  readonly return?: Reference;
  readonly process: Process;
}

/** A screw with a countersunk head of 90°: hexagon socket (ISO 10642) or cross recess (ISO 7046). */
export interface Screw {
  /** Of its thread, nominal, mm. */
  readonly diameter: number;
  readonly head: 'socket' | 'cross';
  /** Theoretical: to the sharp edge of its cone. */
  readonly headDiameter: number;
  /** That it passes through (ISO 273, medium). */
  readonly hole: number;
  readonly pitch: number;
  /** In which it is sold, head and all. */
  readonly lengths: readonly number[];
}

/** What holds all others: a face plate, a back plate, and what keeps them apart. Named `frame`, as there is one. */
export interface Frame extends Part {
  readonly kind: 'frame';
  /** Thickness of the plates. */
  readonly thickness: Given<number>;
  /** How far the plates reach beyond all that moves behind them. */
  readonly margin: Given<number>;
  readonly screws: Given<Screw>;
  /** Where screws stand; empty where none is stated: then they are placed at the corners. */
  readonly at: readonly Given<Point>[];
  readonly process: Process;
}

export interface Limits {
  readonly pressureAngle: Given<number>;
  readonly push?: Given<number>;
  readonly return: Given<number>;
  /** Shares of the stroke, 0 to 1. */
  readonly shown: Given<number>;
  readonly hidden: Given<number>;
  /** As of a part. */
  readonly unclear: readonly string[];
}

export interface Acceptance {
  readonly code: string;
  /** The part's name, the mechanism's own, or absent: anywhere in the mechanism. */
  readonly on?: string;
  readonly reason: string;
  readonly place: Place;
}

export interface Count {
  /** As written, before `times`. */
  readonly symbols: readonly CountedSymbol[];
  readonly times: number;
  readonly place: Place;
}

export interface Mechanism {
  readonly name: string;
  readonly place: Place;
  readonly whole: Place;
  readonly about: {
    readonly title?: string;
    readonly revision?: string;
    readonly author?: string;
    readonly licence?: string;
  };
  readonly process: Process;
  readonly assembled: Given<'dry' | 'greased'>;
  readonly glyphs?: Given<GlyphTable>;
  readonly count?: Count;
  readonly runs: Given<'forward' | 'reverse' | 'either'>;
  readonly shafts: readonly Shaft[];
  readonly keys: readonly Key[];
  readonly gears: readonly Gear[];
  readonly meshes: readonly Mesh[];
  readonly segments: readonly Segment[];
  readonly cams: readonly Cam[];
  readonly springs: readonly Spring[];
  readonly posts: readonly Post[];
  readonly bands: readonly Band[];
  readonly ratchets: readonly Ratchet[];
  readonly pushes: readonly Push[];
  readonly frame?: Frame;
  readonly limits: Limits;
  readonly acceptances: readonly Acceptance[];
  readonly bought: readonly { readonly number: number; readonly what: string; readonly place: Place }[];
  /**
   * Statements of the mechanism that could not be understood: 'count', 'glyphs', 'made with', and a kind of part
   * ('mesh', 'cam') of which one was left out; '*' as for parts.
   */
  readonly unclear: readonly string[];
  /** Every default the resolver filled in, said in hover and in `figures`: "camA.law", "simple harmonic", "…". */
  readonly defaults: readonly UsedDefault[];
}

export interface UsedDefault {
  /** `part.property`, or `limits.property`. */
  readonly of: string;
  /** In the maker's units, as one would write it: "3 mm". */
  readonly value: string;
  readonly because: string;
}

// ---- findings and changes ------------------------------------------------------

export type Severity = 'error' | 'warning' | 'information' | 'hint';

/**
 * A change to the text, in terms of the mechanism. Only `language/edits.ts` turns it into text edits.
 * `object` is a part's name ('' the mechanism itself, `limits` its limits) or that of a process or material of its
 * file; `value` is text as a maker would write it.
 */
export type Change =
  | { readonly do: 'set'; readonly object: string; readonly property: string; readonly value: string }
  | { readonly do: 'replace'; readonly place: Place; readonly text: string }
  /** Removes the text and what its absence leaves empty (its line, if nothing else stands on it). */
  | { readonly do: 'remove'; readonly place: Place }
  /** Adds a statement as the last of its kind in the mechanism. */
  | { readonly do: 'add'; readonly statement: string };

/** A candidate: it is offered only after it was applied to a copy and found to be true. */
export interface Fix {
  readonly title: string;
  readonly changes: readonly Change[];
}

export interface Finding {
  readonly code: string;
  readonly severity: Severity;
  /** One sentence in the maker's terms: what, where, by how much, what number would mend it. */
  readonly message: string;
  readonly place: Place;
  /** Names of the parts it is about, the chief one first: for `accept … on`, and for the chart's rows. */
  readonly about: readonly string[];
  /** Reckoned numbers in deg, mm, N (contract of `check --format json`). */
  readonly figures: Readonly<Record<string, number | string | readonly number[] | readonly string[]>>;
  readonly related: readonly { readonly place: Place; readonly message: string }[];
  /** Where on the turn: rest positions, or cam angles (rad) of the chief cam. */
  readonly positions?: readonly number[];
  readonly angles?: readonly number[];
  readonly fixes: readonly Fix[];
  /** The maker's reason, where the design accepts it. */
  readonly accepted?: string;
}
