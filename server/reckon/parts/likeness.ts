/** Parts that are alike but for a turn or a mirror, so that one is easily taken for another. */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { FollowedLift, MotionFigures } from '../figures.ts';
import { turn, wrapped } from '../motion/angles.ts';
import { riderOn } from '../shape/bodies.ts';
import type { Rider } from '../shape/cutting.ts';
import { isImage } from '../shape/keyed-parts.ts';
import { keyFigure } from '../shape/keys.ts';
import { type Blank, engrave } from './engraving.ts';
import { fingerprintOf } from './fingerprint.ts';
import { turnedOver } from './loop.ts';
import type { Prism } from './part.ts';
import { processesOf } from './parts.ts';

export interface Likeness {
  readonly how: 'turned' | 'mirrored';
  readonly kind: Blank['kind'];
  /** Two or more, by name. */
  readonly parts: readonly string[];
  /** Of these, those on which the export finds no room to engrave the name. */
  readonly nameless: readonly string[];
}

/** Groups of parts, each like the first of its group. */
export function likenessesOf(m: Mechanism, figures: MotionFigures, blanks: readonly Blank[]): Likeness[] {
  const looks = blanks.map((blank) => lookOf(m, figures, blank));
  const processes = processesOf(m);
  // By name, so that the order of the text does not count.
  const order = [...blanks.keys()].sort((a, b) => (blanks[a].name < blanks[b].name ? -1 : 1));
  const left = new Set(order);
  const found: Likeness[] = [];
  for (const i of order) {
    if (!left.delete(i)) continue;
    for (const how of ['turned', 'mirrored'] as const) {
      const like = [...left].filter((k) => k !== i && looks[i] && looks[k] && howAlike(looks[i], looks[k]) === how);
      if (like.length === 0) continue;
      for (const k of like) left.delete(k);
      const group = [i, ...like];
      const nameless = group.filter(
        (k) => !engrave(blanks[k], k + 1, m.about.revision, processes.get(blanks[k].process)!).named,
      );
      const namesOf = (numbers: readonly number[]) => numbers.map((k) => blanks[k].name);
      found.push({ how, kind: blanks[i].kind, parts: namesOf(group), nameless: namesOf(nameless) });
    }
  }
  return found;
}

// ---- what is compared ------------------------------------------------------------------------------------

/** What a part looks like: of a cam its lift and what rides on it, of others their shape. */
interface Look {
  /** Parts that differ in this are not alike. */
  readonly same: string;
  /** The same of its mirror image. */
  readonly mirror: string;
  readonly lift?: FollowedLift;
  readonly prisms?: readonly Prism[];
  /** In how many ways it goes onto its key, evenly turned. */
  readonly ways: number;
}

function lookOf(m: Mechanism, figures: MotionFigures, blank: Blank): Look | undefined {
  const { kind, name, prisms, process, seats } = blank;
  const heights = prisms.map(({ from, to }) => (to - from).toFixed(6)).join(' ');
  const shaft = m.shafts.find((one) => seats.some(({ moves }) => moves.with === 'shaft' && moves.name === one.name));
  const key = m.keys.find((one) => one.name === shaft?.key?.name);
  const keyed = key && keyFigure(key, m.process);
  const ways = keyed && !('because' in keyed) ? keyed.waysOn.turned : 0;
  const on = `${kind} ${process} ${heights} ${key?.name ?? shaft?.bearing?.value ?? ''}`;
  if (kind === 'cam') {
    const figure = figures.cams.find((cam) => cam.name === name);
    const rider = riderOn(m, figures, name);
    if (!figure || 'because' in rider || ways === 0) return undefined;
    const flange = prisms.length > 1 ? JSON.stringify(prisms[0].regions[0].outer) : '';
    const { stroke } = figure.lift;
    const look = (one: Rider) => `${on} ${flange} ${stroke} ${JSON.stringify(one)}`;
    return { same: look(rider), mirror: look(mirrorImage(rider)), lift: figure.lift, ways };
  }
  // Timing marks tell gears apart.
  if (kind === 'gear') return undefined;
  return { same: on, mirror: on, prisms, ways: 0 };
}

function mirrorImage(rider: Rider): Rider {
  if (rider.kind === 'round') return { ...rider, offset: -rider.offset || 0 };
  return rider.kind === 'pivoted' ? { ...rider, pivot: { x: rider.pivot.x, y: -rider.pivot.y || 0 } } : rider;
}

function howAlike(one: Look, other: Look): Likeness['how'] | undefined {
  if (one.lift && other.lift) return camsAlike(one, one.lift, other, other.lift);
  if (!one.prisms || !other.prisms || one.same !== other.same) return undefined;
  // One alike in itself and its mirror image is no twin.
  const print = fingerprintOf({ prisms: other.prisms });
  if (fingerprintOf({ prisms: one.prisms }) === print) return undefined;
  const mirrored = one.prisms.map((prism) => ({ ...prism, regions: prism.regions.map(turnedOver) }));
  return fingerprintOf({ prisms: mirrored }) === print ? 'mirrored' : undefined;
}

function camsAlike(a: Look, lift: FollowedLift, b: Look, other: FollowedLift): Likeness['how'] | undefined {
  const [first] = lift.lobes;
  if (!first || lift.lobes.length !== other.lobes.length) return undefined;
  if (a.same === b.same) {
    const turns = other.lobes
      .map((lobe) => lobe.from - first.from)
      .filter((angle) => isImage(lift, (psi) => psi + angle, other));
    const isWay = (angle: number) => {
      const ways = (wrapped(angle) / turn) * a.ways;
      return Math.abs(ways - Math.round(ways)) < 1e-6;
    };
    // Turned by a way of the key they are one.
    if (turns.some(isWay)) return undefined;
    if (turns.length > 0) return 'turned';
  }
  const angles = a.mirror === b.same ? other.lobes.map((lobe) => lobe.from + first.to) : [];
  return angles.some((angle) => isImage(lift, (psi) => angle - psi, other)) ? 'mirrored' : undefined;
}
