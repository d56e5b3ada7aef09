/**
 * What a printed part is: plain data, from which solids, drawings, fingerprints and lists follow.
 *
 * Every part of a numeral is a union of upright prisms, so that is what a part is here; engraving is prisms cut away.
 * Lengths mm, angles rad. A part lies in its own frame: one that turns with a shaft about the shaft's axis, with its
 * cam angle 0 along +x; a bar with its nose's tip (without a nose, its middle) at the origin and +x the way it rises.
 * +z points to the reader, z = 0 at its back.
 */
import type { Place, Point } from '../../../language/mechanism.ts';

/**
 * A corner of a curve, and the arc from it to the next: `bulge` is the tangent of a quarter of the arc's angle,
 * counter-clockwise positive, 0 for a straight line (as in DXF, so that arcs stay arcs).
 */
export interface Vertex extends Point {
  readonly bulge: number;
}

/** A closed curve that does not cross itself; two vertices with bulges make a circle. */
export type Loop = readonly Vertex[];

/** What one loop encloses, less its holes: `outer` runs counter-clockwise, the holes clockwise. */
export interface Region {
  readonly outer: Loop;
  readonly holes: readonly Loop[];
}

/** An upright prism over regions that do not overlap. */
export interface Prism {
  readonly from: number;
  readonly to: number;
  readonly regions: readonly Region[];
}

/** What a part is for: its colour in a file, and how lists name it. */
export type PartKind =
  | 'cam'
  | 'spacer'
  | 'shaft'
  | 'gear'
  | 'bar'
  | 'ratchet wheel'
  | 'push arm'
  | 'button'
  | 'pawl'
  | 'plate'
  | 'pillar'
  | 'coupon';

/** Where a part sits at home (a bar: when lowered), and what moves it. */
export interface Seat {
  readonly x: number;
  readonly y: number;
  /** Of the part's z = 0, from the face: negative behind it. */
  readonly z: number;
  /** Turn of the part's frame at home, counter-clockwise. */
  readonly turn: number;
  readonly moves: { readonly with: 'shaft' | 'segment' | 'push'; readonly name: string } | { readonly with: 'nothing' };
}

export interface PrintedPart {
  /** Unique in the mechanism; not yet safe as a file name. */
  readonly name: string;
  readonly kind: PartKind;
  /** The name in the text that the part comes from. */
  readonly place: Place;
  /** Its body is their union: slabs from back to front that share faces and never lie in one another. */
  readonly prisms: readonly Prism[];
  /**
   * Cut out of the body: names, side and home marks. Of no function, and no part of the shape's fingerprint. Strokes
   * may cross one another.
   */
  readonly engraved: readonly Prism[];
  /** Which side lies on the print bed: the back as it is, or the front, turned over about x. */
  readonly bed: 'back' | 'front';
  readonly process: string;
  readonly material: string;
  /** One for each that is built in; more than one where several are alike. */
  readonly seats: readonly Seat[];
}
