/** What the preview shows of a mechanism, as plain data: its parts, where they sit, how they move, and what is lacking. */
import type { Mechanism, Place } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import type { Figures } from '../../reckon/figures.ts';
import { fingerprintOf, labelsOf } from '../../reckon/parts/fingerprint.ts';
import { areaOf } from '../../reckon/parts/loop.ts';
import type { PartKind, PrintedPart, Prism, Seat } from '../../reckon/parts/part.ts';
import { partsInSteps } from '../../reckon/parts/parts.ts';
import { type Way, wayOf } from '../../reckon/parts/standing.ts';
import { type Read, turnsOf } from '../chart/view.ts';
import { type Extrusion, extentOf, extrusionOf } from './extrusion.ts';
import { type Packed, packed } from './packing.ts';

/** A part as it is built in once. */
export interface PreviewPart {
  readonly name: string;
  readonly kind: PartKind;
  readonly place: Place;
  /** Names in the text that mean it, its own first: those of all bars that are one piece. */
  readonly means: readonly string[];
  /** Alike for parts that look alike, engraving and all: the name of its shape. */
  readonly shape: string;
  readonly seat: Pick<Seat, 'x' | 'y' | 'z' | 'turn'>;
  readonly way: Way;
  /** Of the whole part: how deep its back and its front lie in its own frame. */
  readonly from: number;
  readonly to: number;
  /** Depth of the layer of the stack that it belongs to, from the face: of a bar that of its cam. */
  readonly layer: number;
}

export interface PreviewScene extends Read {
  readonly name: string;
  readonly title: string;
  readonly laps: number;
  readonly repeats: boolean;
  /** Something in it can pinch or fly out. */
  readonly stored: boolean;
  /** Turn of the leading shaft in a step, rad; 0 where nothing steps. */
  readonly step: number;
  readonly parts: readonly PreviewPart[];
  /** Parts that cannot be shown, and why. */
  readonly missing: readonly { readonly of: string; readonly because: string }[];
  /** What is bought and so not drawn. */
  readonly bought: readonly string[];
}

/** A shape, packed, by its name. */
export interface PreviewShape extends Packed<Extrusion> {
  readonly shape: string;
}

type Drawn = Pick<Reckoned, 'mechanism' | 'figures'>;

/** Pauses often. */
export function* sceneOf({ mechanism, figures }: Drawn): Generator<void, PreviewScene> {
  const parts = yield* partsInSteps(mechanism, figures, figures.stack);
  const built = [];
  for (const part of parts.parts) {
    built.push(...seated(mechanism, figures, part));
    yield;
  }
  return {
    name: mechanism.name,
    ...turnsOf(mechanism, figures),
    step: figures.step ?? 0,
    figures: { positions: figures.positions },
    parts: built,
    missing: parts.missing.map(({ of, because }) => ({ of, because })),
    bought: parts.bought.map(({ what }) => what),
  };
}

/** The shapes of these names; pauses between them. What a mechanism does not have is left out. */
export function* shapesOf({ mechanism, figures }: Drawn, wanted: readonly string[]): Generator<void, PreviewShape[]> {
  const { parts } = yield* partsInSteps(mechanism, figures, figures.stack);
  const open = new Set(wanted);
  const found: PreviewShape[] = [];
  for (const part of parts) {
    const shape = shapeName(part);
    if (!open.delete(shape)) continue;
    found.push({ shape, ...packed(extrusionOf(part)) });
    yield;
  }
  return found;
}

const names = new WeakMap<PrintedPart, string>();

function shapeName(part: PrintedPart): string {
  const name = names.get(part) ?? `${fingerprintOf(part)}-${labelsOf(part)}`;
  names.set(part, name);
  return name;
}

function seated(m: Mechanism, figures: Figures, part: PrintedPart): PreviewPart[] {
  const { name, kind, place, prisms } = part;
  const { from, to } = extentOf(prisms);
  return part.seats.map((seat): PreviewPart => {
    const { x, y, z, turn } = seat;
    return {
      name,
      kind,
      place,
      means: meansOf(m, figures, part),
      shape: shapeName(part),
      seat: { x, y, z, turn },
      way: wayOf(m, figures, part, seat),
      from,
      to,
      layer: camDepth(figures, seat) ?? z + (seat.moves.with === 'nothing' ? broadest(prisms).from : from),
    };
  });
}

function meansOf(m: Mechanism, figures: Figures, { name, place, seats }: PrintedPart): string[] {
  const [moves] = seats.map((seat) => seat.moves);
  const pieces =
    moves?.with === 'segment' ? figures.cams.find(({ segments }) => segments.includes(moves.name)) : undefined;
  if (pieces) return [...pieces.segments];
  const said = [
    ...m.shafts,
    ...m.gears,
    ...m.cams,
    ...m.segments,
    ...m.ratchets,
    ...m.pushes,
    ...(m.frame ? [m.frame] : []),
  ];
  const owner = said.find(
    (one) => one.place.top === place.top && one.place.from === place.from && one.place.file === place.file,
  );
  return [owner?.name ?? name];
}

/** Of a plate the plate itself: what stands out behind it reaches into other layers. */
const broadest = (prisms: readonly Prism[]): Prism =>
  prisms.reduce((best, one) => (areaOf(one.regions) > areaOf(best.regions) ? one : best));

/** The back of the cam, flange and all, that moves what sits there. */
function camDepth({ cams, stack }: Figures, { moves }: Seat): number | undefined {
  if (moves.with !== 'segment') return undefined;
  const cam = cams.find(({ segments }) => segments.includes(moves.name))?.name;
  const depths = stack.parts.flatMap(({ kind, name, to }) =>
    name === cam && (kind === 'cam' || kind === 'flange') ? [-to] : [],
  );
  return depths.length > 0 ? Math.min(...depths) : undefined;
}
