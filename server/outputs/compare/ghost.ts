/** The older version of a mechanism, as the chart draws it behind the newer: each row's motion, and what changed on it. */
import type { Reckoned } from '../../protocol.ts';
import type { CamFigure } from '../../reckon/figures.ts';
import { type Difference, differencesOf } from './differences.ts';
import { sheetOf } from './sheet.ts';
import { changeInBrief, differencesInWords } from './wording.ts';

export interface Ghost {
  /** The mechanism that it stands behind, by its name now. */
  readonly mechanism: string;
  /** What the older version is called: "HEAD", "v1:sign.lobe". */
  readonly of: string;
  /** Rest positions of a count, and the sense in which it steps. */
  readonly rests: number;
  readonly direction: 1 | -1;
  readonly rows: readonly GhostRow[];
  /** What changed beside the rows, in sentences. */
  readonly beside: readonly string[];
}

export interface GhostRow {
  /** By its name now. */
  readonly cam: string;
  /** As it was; absent where it moves as it does now, and where there was none. */
  readonly was?: CamFigure;
  /** In a maker's words: "stroke 3.5 → 4 mm". */
  readonly changes: readonly string[];
}

const directionOf = ({ mechanism }: Reckoned): 1 | -1 => (mechanism.runs.value === 'reverse' ? -1 : 1);

/** `old` may lack the mechanism: then all of it is new. */
export function ghostOf(old: Reckoned | undefined, now: Reckoned, of: string): Ghost {
  const { mechanism, figures } = now;
  if (!old) {
    const rows = mechanism.cams.map(({ name }) => ({ cam: name, changes: ['new'] }));
    return { mechanism: mechanism.name, of, rests: 0, direction: 1, rows, beside: [`all of ${mechanism.name} is new`] };
  }
  const { differences, matched } = differencesOf(sheetOf(old), sheetOf(now));
  const before = new Map(old.figures.cams.map((cam) => [matched.nowCalled(cam.name, 'part'), cam]));
  const told = new Set<Difference>();
  const rows = mechanism.cams.map((cam): GhostRow => {
    const parts = [cam.name, ...cam.segments.map(({ name }) => name)];
    const own = differences.filter(({ kind, name }) => (kind === 'cam' || kind === 'segment') && parts.includes(name));
    for (const one of own) told.add(one);
    const figure = figures.cams.find(({ name }) => name === cam.name);
    const was = before.get(cam.name);
    const moved = was && figure && motionOf(was, old) !== motionOf(figure, now);
    return { cam: cam.name, ...(moved && { was }), changes: onRow(own) };
  });
  const beside = differences.filter((one) => !told.has(one) && one.by !== 'follows');
  return {
    mechanism: mechanism.name,
    of,
    rests: old.figures.positions.length,
    direction: directionOf(old),
    rows,
    beside: differencesInWords(beside),
  };
}

/** What is said otherwise first, then the figures; of what follows just where the follower is up. */
function onRow(differences: readonly Difference[]): string[] {
  const kept = differences.filter(({ by, property }) => by !== 'follows' || property === 'raised at');
  const [said, reckoned] = [false, true].map((figures) => kept.filter(({ by }) => (by === 'reckoned') === figures));
  return [...new Set([...said, ...reckoned].map(changeOnRow))];
}

function changeOnRow(one: Difference): string {
  if (one.what === 'added') return one.kind === 'cam' ? 'new' : `bar ${one.name} is new`;
  return one.what === 'renamed' ? `was ${one.was}` : changeInBrief({ ...one, because: undefined });
}

/** The same text for the same motion over the turn. */
const motionOf = ({ lift, azimuth, step }: CamFigure, of: Reckoned): string =>
  JSON.stringify([lift, azimuth, step, of.figures.positions.length, directionOf(of)], (_, value) =>
    typeof value === 'number' ? Math.round(value * 1e6) : value,
  );
