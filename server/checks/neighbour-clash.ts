import { type Cam, type Fix, isUnclear, type Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { type BodyName, flangeRadius } from '../reckon/shape/bodies.ts';
import type { ClearanceFigure } from '../reckon/shape/clearance.ts';
import {
  type Check,
  type Found,
  fix,
  grouped,
  isUnique,
  list,
  named,
  placeKey,
  rewriting,
  type Told,
} from './check.ts';
import {
  alsoInWords,
  anglesOf,
  byCause,
  type Cause,
  clearOf,
  depthInWords,
  followsFromCentres,
  followsFromKey,
  followsFromShape,
  inWords,
  isClear,
  kin,
  meets,
  momentOf,
  noseBehind,
  placeOfReach,
  relatedTo,
  settingBase,
  settingFlange,
  smallerBase,
  smallerFlange,
} from './clashes.ts';
import { gearedBoard } from './examples.ts';

export const neighbourClash: Check = {
  code: 'neighbour-clash',
  severity: 'error',
  title: 'Parts of two shafts that run into each other',
  means:
    'Cams, flanges, gears and shafts that lie at one depth pass each other on every turn. Here two of them want the same ' +
    'place at the same time: the mechanism stops there, or breaks.',
  reckoned:
    'Both shafts turn together through all that it takes until they are home; at every angle the true profiles of what ' +
    'lies at one depth are compared. Depth: how far a point of one enters the other at most. Gears count as their tip ' +
    'circles, gears in mesh not at all. While one types to half a degree, then until 0.005 mm are sure.',
  source: 'Derived here.',
  worked:
    'Shafts 60 mm apart, base 27 mm, stroke 3 mm, nose 1.5 mm: flanges of radius 31.5 mm would need 63 mm, so they are ' +
    '3 mm too deep in each other.',
  remedy:
    'A smaller base or a smaller flange (`flange 1.2 mm to radius 28 mm`), shafts further apart, or another level for ' +
    'one of the two.',
  notBeside: ['level-clash', 'coincident-shafts', 'shaft-drift', 'unmeshed-shaft', 'locked-train'],
  alsoOn: (rest) =>
    `; the same number makes ${list(rest.map(({ about }) => `${about[0]} and ${about[1]}`))} run into each other`,
  examples: [
    {
      title: 'A flange that reaches too far',
      text: gearedBoard({
        camL: 'cam camL on upper level 1 drives left { flange 1 mm to radius «36 mm» }',
      }),
    },
    {
      title: 'A gear at the level of the cams',
      text: gearedBoard({
        more: [
          'shaft third { at 75 mm, 30 mm }',
          'gear thirdGear on third { module 1 mm   teeth 90   width 5 mm   mark 180 deg }',
          'mesh upperGear thirdGear',
          'gear spare on third { module 1 mm   teeth 104   width 3 mm   level «1» }',
        ].join('\n'),
        upperGear: 'gear upperGear on upper { module 1 mm   teeth 60   width 5 mm   mark 270 deg, 0 deg }',
      }),
    },
    { title: 'Room for all', text: gearedBoard() },
  ],
  find(m, f, told) {
    const clashes = f.encounters.clearances.filter(
      (one) => meets(one) && isOfShafts(m, f, one, told) && !noseBehind(m, one.between, one),
    );
    const causes = byCause(
      clashes,
      ({ between }) => [between[0].name, between[1].name],
      ({ between }) => farther(m, f, between)[0].name,
    );
    const placed = causes.map((cause) => ({ cause, place: placeOf(m, f, cause) }));
    return grouped(placed, ({ place }) => placeKey(place)).flatMap((same) => {
      const fixes = remedies(
        m,
        f,
        same.map(({ cause }) => cause),
      );
      return same.map(({ cause }) => findingOf(m, f, cause, fixes));
    });
  },
};

/** Whether a clash of what turns has no cause that another finding tells, a nose apart. */
export function isOfShafts(m: Mechanism, f: Figures, clash: ClearanceFigure, told: Told): boolean {
  const { between } = clash;
  // A mesh that is not understood leaves its gears to look like strangers.
  if (between.every(({ kind }) => kind === 'gear') && isUnclear(m, 'mesh')) return false;
  if (between.some((one) => followsFromShape(m, f, one) || followsFromKey(m, f, one))) return false;
  const names = between.flatMap(({ name, shaft }) => [name, shaft]).filter(isUnique);
  if (followsFromCentres(m, f, names, clash)) return false;
  return isClear(m, f, names) && !told(...kin(f, names));
}

/** Two parts, the one that reaches farther from its shaft first. */
function farther(m: Mechanism, f: Figures, [one, other]: ClearanceFigure['between']): [BodyName, BodyName] {
  return reachOf(m, f, other) > reachOf(m, f, one) ? [other, one] : [one, other];
}

function reachOf(m: Mechanism, f: Figures, { kind, name }: BodyName): number {
  if (kind === 'flange') return flangeRadius(m, name) ?? 0;
  if (kind === 'gear') return named(f.gears, name)?.tipRadius ?? 0;
  const cam = named(m.cams, name);
  return (cam?.base?.value ?? 0) + (named(f.cams, name)?.lift.stroke ?? 0);
}

/** The two parts of a clash, that which all clashes of the cause are about first. */
function chiefFirst({ chief }: Cause<ClearanceFigure>, { between: [one, other] }: ClearanceFigure) {
  return one.name === chief ? ([one, other] as const) : ([other, one] as const);
}

const placeOf = (m: Mechanism, _: Figures, cause: Cause<ClearanceFigure>) =>
  placeOfReach(m, chiefFirst(cause, cause.clashes[0])[0]);

function findingOf(m: Mechanism, f: Figures, cause: Cause<ClearanceFigure>, fixes: readonly Fix[]): Found {
  const [deepest] = cause.clashes;
  const [one, other] = chiefFirst(cause, deepest);
  const moment = momentOf(m, f, deepest);
  const pairs = cause.clashes.map((clash) => chiefFirst(cause, clash));
  const angles = anglesOf(f, one.name, deepest);
  return {
    message: `${inWords(one)} and ${inWords(other)} run into each other, ${depthInWords(deepest)} deep ${
      moment.words
    }${alsoInWords(pairs)}`,
    place: placeOf(m, f, cause),
    about: [one.name, ...pairs.map(([, each]) => each.name), one.shaft, other.shaft].filter(isUnique),
    figures: { depth: -deepest.gap, ...moment.figures },
    related: relatedTo(
      m,
      pairs.map(([, each]) => each),
    ),
    ...(angles && { angles }),
    fixes,
  };
}

/** Numbers that may mend all clashes that one number causes. */
function remedies(m: Mechanism, f: Figures, causes: readonly Cause<ClearanceFigure>[]): Fix[] {
  const all = causes.flatMap(({ chief, clashes }) => clashes.map((clash) => ({ chief, clash })));
  const by = Math.max(...all.map(({ clash }) => clearOf(clash)));
  const flanged = all.flatMap(({ clash }) => {
    const flange = farther(m, f, clash.between).find(({ kind }) => kind === 'flange');
    return named(m.cams, flange?.name) ?? [];
  });
  const flanges = flanged.filter(isUnique).map((cam) => ({ cam, radius: smallerFlange(m, cam, by) }));
  const radii = flanges.flatMap(({ radius }) => radius ?? []);
  const bases = causes
    .flatMap(({ chief }) => named(m.cams, chief) ?? [])
    .map((cam) => ({ cam, base: smallerBase(f, cam, by) }));
  const names = (cams: readonly { readonly cam: Cam }[]) => list(cams.map(({ cam }) => cam.name));
  return [
    ...(radii.length === flanges.length && radii.length > 0
      ? [
          fix(
            radii.filter(isUnique).length === 1
              ? `Give the flange${flanges.length === 1 ? '' : 's'} of ${names(flanges)} radius ${radii[0]}`
              : `Give ${names(flanges)} smaller flanges`,
            ...flanges.map(({ cam, radius }) => settingFlange(cam, radius!)),
          ),
        ]
      : []),
    ...(bases.length > 0 && bases.every(({ base }) => base !== undefined)
      ? [
          fix(
            `Give ${names(bases)} base ${bases[0].base}`,
            ...bases
              .map(({ cam, base }) => settingBase(cam, base!))
              .filter(
                (one, i, others) => others.findIndex((other) => JSON.stringify(other) === JSON.stringify(one)) === i,
              ),
          ),
        ]
      : []),
    ...(causes.length === 1 ? otherLevels(m, f, causes[0]) : []),
  ];
}

/** Levels at which either part of a clash would be alone. */
function otherLevels(m: Mechanism, f: Figures, { clashes }: Cause<ClearanceFigure>): Fix[] {
  const used = f.stack.levels.map(({ level }) => level);
  const last = Math.max(0, ...used) + 1;
  return clashes[0].between.flatMap((body): Fix[] => {
    const part = named(m.cams, body.name) ?? named(m.gears, body.name);
    if (!part?.level) return [];
    const here = f.stack.parts.filter(({ shaft, kind }) => shaft === body.shaft && kind !== 'spacer');
    const others = f.stack.parts.filter(({ shaft, kind }) => shaft !== body.shaft && kind !== 'spacer');
    const taken = (level: number) => [...here, ...others].some((one) => one.level === level);
    const free = [...Array(last).keys()].map((i) => i + 1).filter((level) => !taken(level));
    return free.slice(0, 2).map((level) => {
      return fix(`Put ${part.name} at level ${level}`, rewriting(part.level!, part, 'level', String(level)));
    });
  });
}
