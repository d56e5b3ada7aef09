import type { Cam, Key, Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import {
  at,
  azimuth,
  type Check,
  counted,
  fix,
  grouped,
  inDegrees,
  list,
  millimetres,
  named,
  placeKey,
  rewriting,
  roundDown,
  roundUp,
  setting,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { baseFixes, baseRoundKey, hasGuess, leastBase, thinWall } from './sizes.ts';

const keyed = {
  shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { shape flat   outer 24 mm }',
};

export const thinCam: Check = {
  code: 'thin-cam',
  severity: 'warning',
  title: 'A cam with too little material round its key',
  means:
    'Between the keyed bore and the cam’s profile there is less material than the process makes a wall of: the cam comes ' +
    'out weak, or breaks where its key turns it. An error where the bore breaks out of the profile, so that there is no ' +
    'cam at all. A cam that is too steep or undercut as well is told as that, with a base that does for all. Where a key ' +
    'leaves too little in cams of more than one base, it is told once, at the key.',
  reckoned:
    'The least distance between the bore with its clearance and the profile, all round, against the process’s `wall`. A ' +
    'base that surely does is that of the bore’s farthest point and the wall: outer/2 + clearance + wall for a spline and ' +
    'a flat; (across/2 + clearance)/cos 45° + wall for a square, with cos 30° for a hexagon.',
  source: 'Derived here; the wall is the process’s.',
  worked: 'A flat of 24 mm with a clearance of 0.1 mm reaches out 12.1 mm; a wall of 0.8 mm more makes base 12.9 mm.',
  remedy: 'A greater base, or a smaller key.',
  notBeside: ['shaft-drift', 'wide-offset', 'steep-cam', 'undercut-cam'],
  alsoOn: (rest) =>
    `, and so it is for ${counted(
      'cam',
      rest.map(({ about }) => about[0]),
    )}`,
  examples: [
    {
      title: 'A wall of less than two lines',
      text: lampBoard({ ...keyed, camL: 'cam camL on axle level 1 drives left { base «12.5 mm» }' }),
    },
    {
      title: 'A base smaller than the key',
      text: lampBoard({ ...keyed, camL: 'cam camL on axle level 1 drives left { base «11 mm» }' }),
    },
    {
      title: 'A key too large for cams of two bases',
      text: lampBoard({
        shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { shape flat   outer «46 mm» }',
        camL: 'cam camL on axle level 1 drives left { base 22 mm }',
      }),
    },
    {
      title: 'A base that will do',
      text: lampBoard({ ...keyed, camL: 'cam camL on axle level 1 drives left { base 13 mm }' }),
    },
  ],
  find(m, f, told) {
    const thin = m.cams.flatMap((cam) => (told(cam.name) ? [] : (thinOf(m, f, cam) ?? [])));
    return grouped(thin, ({ key }) => key.name)
      .flatMap((same) =>
        grouped(same, ({ base }) => placeKey(base.place)).length > 1
          ? [ofKey(m, f, same)]
          : same.map((one) => ofBase(m, f, one, same)),
      )
      .sort((a, b) => b.figures.smallestBase - a.figures.smallestBase);
  },
};

type Thin = NonNullable<ReturnType<typeof thinOf>>;

function thinOf(m: Mechanism, f: Figures, cam: Cam) {
  const [thin, figure, { base }] = [thinWall(m, f, cam), named(f.cams, cam.name), cam];
  if (!base || !thin || !figure || hasGuess(cam)) return undefined;
  const reach = named(f.keyed.keys, thin.key.name)!.boreRadius;
  return { cam, base, ...thin, reach, enough: leastBase(m, f, figure) ?? baseRoundKey(m, f, cam.name)! };
}

/** Told at the base, which one number may give to several cams. */
const ofBase = (m: Mechanism, f: Figures, thin: Thin, same: readonly Thin[]) => ({
  ...saying(thin, '', `base ${millimetres(roundUp(thin.enough, 0.5))} would do`),
  place: thin.base.place,
  about: [thin.cam.name, thin.key.name],
  related: [atSize(thin.key)],
  fixes: [...baseFixes(m, thin.cam, thin.enough), ...keyFix(smallerKey(m, f, same))],
});

/** Told at the key, where it leaves too little in cams of more than one base: its size is the one number at fault. */
function ofKey(m: Mechanism, f: Figures, same: readonly Thin[]) {
  const worst = same.reduce((least, one) => (one.wall.value < least.wall.value - 1e-6 ? one : least));
  const rest = same.filter((one) => one !== worst);
  const { key } = worst;
  const names = same.map(({ cam }) => cam.name);
  const enough = Math.max(...same.map((one) => one.enough));
  const base = millimetres(roundUp(enough, 0.5));
  const smaller = smallerKey(m, f, same);
  const bases = grouped(same, ({ base }) => placeKey(base.place)).map(([one]) => one);
  const others = `, and so it is for ${counted(
    'cam',
    rest.map(({ cam }) => cam.name),
  )}`;
  return {
    ...saying(
      { ...worst, enough },
      others,
      smaller ? `${smaller.words} of key ${key.name} would do, or base ${base}` : `base ${base} would do`,
    ),
    place: atSize(key).place,
    about: [worst.cam.name, ...rest.map(({ cam }) => cam.name), key.name],
    related: bases.map(({ base, cam }) => at(base.place, `the base of ${cam.name}`)),
    fixes: [
      ...keyFix(smaller),
      fix(`Give ${list(names)} base ${base}`, ...bases.map((one) => rewriting(one.base, one.cam, 'base', base))),
    ],
  };
}

/** What is wrong, and the numbers that would do. */
function saying({ cam, base, key, wall, least, reach, enough }: Thin, others: string, mends: string) {
  const breaksOut = wall.value <= 0;
  const what = breaksOut
    ? `the bore of key ${key.name} breaks out of ${cam.name}: it reaches ${millimetres(reach)} from the centre, and the base is ${millimetres(base.value)}`
    : `${cam.name} has ${millimetres(wall.value, 2)} of material left between its bore and its profile at ${azimuth(wall.at, 0)} (wall ${millimetres(least, 2)})`;
  return {
    severity: breaksOut ? ('error' as const) : ('warning' as const),
    message: `${what}${others}; ${mends}`,
    figures: { wall: wall.value, at: inDegrees(wall.at), least, smallestBase: enough },
    angles: [wall.at],
  };
}

const sizeOf = (key: Key) =>
  key.outer ? { word: 'outer', given: key.outer } : key.across && { word: 'across', given: key.across };

const atSize = (key: Key) => at((sizeOf(key)?.given ?? key).place, `key ${key.name}`);

const keyFix = (smaller: ReturnType<typeof smallerKey>) =>
  smaller ? [fix(`Give ${smaller.key.name} ${smaller.words}`, ...smaller.changes)] : [];

/** The greatest size of a key, down to half a millimetre, that leaves enough in all cams and gears on it. */
function smallerKey(m: Mechanism, f: Figures, same: readonly Thin[]) {
  const [{ key, reach }] = same;
  const size = sizeOf(key);
  if (!size) return undefined;
  const tooFar = Math.max(
    ...same.map(({ cam, base }) => baseRoundKey(m, f, cam.name)! - base.value),
    ...f.keyed.parts.flatMap(({ kind, name, key: on, wall }) =>
      kind === 'gear' && on === key.name && wall ? [(named(m.gears, name)?.process.wall.value ?? 0) - wall.value] : [],
    ),
  );
  const { word, given } = size;
  // The bore reaches out by so much for each millimetre of half the size and the clearance: more at corners.
  const slope = (given.value / 2 + key.clearance.value) / reach;
  const smaller = roundDown(given.value - 2 * slope * tooFar, 0.5);
  if (!(smaller > 0)) return undefined;
  // Only as small as it must be, to stay within the outer one.
  const inner =
    key.inner?.by === 'stated' && key.inner.value >= smaller
      ? roundDown((key.inner.value * smaller) / given.value, 0.1)
      : undefined;
  const sizes = [[word, smaller], ...(inner === undefined ? [] : [['inner', inner] as const])] as const;
  return {
    key,
    words: list(sizes.map(([property, value]) => `${property} ${millimetres(value)}`)),
    changes: sizes.map(([property, value]) => setting(key.name, property, millimetres(value))),
  };
}
