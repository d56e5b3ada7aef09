import type { Cam, Fix, Mechanism, Segment } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import type { PostGapFigure, SliderName } from '../reckon/shape/posts.ts';
import { isAstray } from './bar-astray.ts';
import {
  type Check,
  fix,
  isUnique,
  millimetres,
  named,
  rewriting,
  roundDown,
  roundUp,
  setting,
  type Told,
} from './check.ts';
import {
  alsoInWords,
  anglesOf,
  byCause,
  type Cause,
  camFigureOf,
  clearOf,
  depthInWords,
  followsFromCentres,
  followsFromKey,
  followsFromShape,
  inWords,
  isAccepted,
  isClear,
  isSlider,
  kin,
  type Meeting,
  meets,
  momentOf,
  nameOf,
  noseBehind,
  placeOfReach,
  relatedTo,
  settingFlange,
  smallerFlange,
} from './clashes.ts';
import { lampBoard } from './examples.ts';
import { isUndercut } from './sizes.ts';

export const postClash: Check = {
  code: 'post-clash',
  severity: 'error',
  title: 'A post, stem, arm or guide in the way of something',
  means:
    'From its cam’s level every follower reaches to the face: through the levels before it, past cams, flanges, shafts and ' +
    'other posts. Its stem slides in the plane of its cam, and its guide hangs on the face. A swinging ' +
    'arm, its nose and its pivot lie at the level of its cam. Here one of them meets something.',
  reckoned:
    'Posts (without `post` the bar’s outline), stems (from nose tip to the far end of the guide or to the post) and guides ' +
    '(as wide as the stem, `fit` and the process’s wall), moved along their slides by their lift, against everything at the ' +
    'same depth, and pivots (as round as the nose), over all that it takes until all is home. Arms (`stem` wide, straight ' +
    'from the pivot to the nose’s centre) swing with their lift, against the same and against their own cam, which only the nose ' +
    'may touch. Depth: how far a point of one enters the other at most.',
  source: 'Derived here.',
  worked:
    'Base 20 mm, stroke 3 mm, nose 1.5 mm: the flange before it reaches to 24.5 mm. A post whose inner edge slides from ' +
    '23 mm is 1.5 mm in its way.',
  remedy:
    'A post that stands outside the flanges before it (`post 4 mm by 6 mm at 30 mm, 0 mm`), a shorter guide, a narrower ' +
    'arm (`stem 3 mm`) or a pivot elsewhere, or a smaller flange.',
  notBeside: [
    'undriven-segment',
    'twice-driven-segment',
    'unlike-segments',
    'level-clash',
    'coincident-shafts',
    'shaft-drift',
    'unmeshed-shaft',
    'locked-train',
    'wide-offset',
    'short-arm',
  ],
  alsoOn: (rest) =>
    `; the same number brings ${rest.map(({ about }) => `${about[0]} and ${about[1]}`).join(', ')} together`,
  examples: [
    {
      title: 'A bar over the flange before it',
      text: lampBoard({ right: 'segment right { azimuth 0 deg   bar «8 mm by 20 mm at 27 mm, 0 mm» }' }),
    },
    {
      title: 'A pivot inside its own cam',
      text: lampBoard({
        left: 'segment left { azimuth 180 deg   «follower pivoted at -15 mm, 0 mm arm 25 mm» }',
        more: 'limits { pressure angle 70 deg }',
      }),
    },
    {
      title: 'An arm that lies on its own cam beside the nose',
      text: lampBoard({
        everyCam: 'every cam { base 40 mm   travel 90 deg }',
        left: 'segment left { azimuth 180 deg   «follower pivoted at 0 mm, 60 mm arm 60 mm»   stem 2 mm }',
        right: 'segment right { azimuth 0 deg }',
      }),
    },
    {
      title: 'An arm square to the cam’s radius',
      text: lampBoard({
        everyCam: 'every cam { base 40 mm   travel 90 deg }',
        left: 'segment left { azimuth 180 deg   follower pivoted at -41.5 mm, 60 mm arm 60 mm   stem 2 mm }',
        right: 'segment right { azimuth 0 deg }',
      }),
    },
    {
      title: 'The same bar with a post of its own',
      text: lampBoard({
        right: 'segment right { azimuth 0 deg   bar 8 mm by 20 mm at 27 mm, 0 mm   post 4 mm by 20 mm at 29 mm, 0 mm }',
      }),
    },
  ],
  find(m, f, told) {
    const clashes = f.encounters.posts.filter(
      (one) => meets(one) && isOfPosts(m, f, one, told) && !noseBehind(m, [one.of, one.against], one),
    );
    return byCause(
      clashes,
      ({ of, against }) => [of.segment, nameOf(against)],
      ({ of }) => of.segment,
    ).map((cause) => {
      const [deepest] = cause.clashes;
      const [one, other] = chiefFirst(cause, deepest);
      const pairs = cause.clashes.map((clash) => chiefFirst(cause, clash));
      const sliding = slidingIn(deepest);
      const moment = momentOf(m, f, deepest, sliding);
      const angles = anglesOf(f, nameOf(one), deepest);
      const cams = pairs.flatMap((pair) => pair.flatMap((each) => camFigureOf(f, nameOf(each))?.name ?? []));
      return {
        message: `${inWords(one)} and ${inWords(other)} run into each other, ${depthInWords(deepest)} deep ${
          moment.words
        }${alsoInWords(pairs)}`,
        place: placeOfReach(m, one),
        about: [nameOf(one), ...pairs.map(([, each]) => nameOf(each)), ...cams].filter(isUnique),
        figures: { depth: -deepest.gap, ...moment.figures },
        ...(sliding ? moment.positions.length > 0 && { positions: moment.positions } : angles && { angles }),
        related: relatedTo(
          m,
          pairs.map(([, each]) => each),
        ),
        fixes: remedies(m, cause),
      };
    });
  },
};

/** Whether a clash of what slides has no cause that another finding tells, a nose apart. */
export function isOfPosts(m: Mechanism, f: Figures, clash: PostGapFigure, told: Told): boolean {
  const { of, against } = clash;
  const names = [of.segment, nameOf(against), ...(isSlider(against) ? [] : [against.shaft])].filter(isUnique);
  if (areBars(m, f, clash) || clash.byDesign) return false;
  if ([of, against].some((one) => followsFromShape(m, f, one))) return false;
  // The profile and the guides both follow from a nose that is too large.
  const cam = against.kind === 'cam' ? named(f.cams, against.name) : undefined;
  if (cam && isUndercut(cam) && !isAccepted(m, 'undercut-cam', [cam.name])) return false;
  if (followsFromCentres(m, f, kin(f, names), clash)) return false;
  if (followsFromKey(m, f, against)) return false;
  return isClear(m, f, names) && !names.some((name) => isAstray(m, name)) && !told(...kin(f, names));
}

/** The segments whose lifts alone say whether two things touch; none where the turn of a cam or shaft does as well. */
function slidingIn({ of, against }: PostGapFigure): string[] | undefined {
  if (isSlider(against)) return [of.segment, against.segment];
  return against.kind === 'flange' || against.kind === 'gear' ? [of.segment] : undefined;
}

/** Whether they are but the bars themselves, which meet already on the face. */
function areBars(m: Mechanism, f: Figures, { of, against }: PostGapFigure): boolean {
  if (!isSlider(against)) return false;
  const bars = [of, against].every(
    ({ kind, segment }) => kind === 'post' && named(m.segments, segment)?.post?.by === 'default',
  );
  const both = (names: readonly string[]) => names.includes(of.segment) && names.includes(against.segment);
  return bars && f.encounters.bars.some((one) => both(one.segments) && meets(one));
}

function chiefFirst({ chief }: Cause<PostGapFigure>, { of, against }: PostGapFigure): [Meeting, Meeting] {
  return of.segment === chief ? [of, against] : [against, of];
}

// ---- what would mend it --------------------------------------------------------------------------------------

function remedies(m: Mechanism, { chief, clashes }: Cause<PostGapFigure>): Fix[] {
  const by = Math.max(...clashes.map(clearOf));
  const segment = named(m.segments, chief);
  const sliders = clashes.flatMap(({ of, against }) =>
    [of, against].filter((one): one is SliderName => isSlider(one) && one.segment === chief),
  );
  const has = (kind: SliderName['kind']) => sliders.some((one) => one.kind === kind);
  const flanged = clashes
    .flatMap(({ against }) => (!isSlider(against) && against.kind === 'flange' ? [against.name] : []))
    .filter(isUnique)
    .flatMap((name) => named(m.cams, name) ?? []);
  return [
    ...(segment && has('post') ? trimmedPosts(segment, by) : []),
    ...(segment && (has('guide') || has('stem')) ? shorterGuides(segment, by) : []),
    ...(segment && has('arm') ? narrowerArm(segment, by) : []),
    ...smallerFlanges(m, flanged, by),
  ];
}

function smallerFlanges(m: Mechanism, cams: readonly Cam[], by: number): Fix[] {
  const flanges = cams.map((cam) => ({ cam, radius: smallerFlange(m, cam, by) }));
  if (flanges.length === 0 || flanges.some(({ radius }) => radius === undefined)) return [];
  const names = cams.map(({ name }) => name);
  return [
    fix(
      names.length === 1
        ? `Give the flange of ${names[0]} radius ${flanges[0].radius}`
        : `Give ${names.join(', ')} smaller flanges`,
      ...flanges.map(({ cam, radius }) => settingFlange(cam, radius!)),
    ),
  ];
}

/** A post cut by so much on the side of its shaft, or on both sides of its slide, where that is along an axis. */
function trimmedPosts({ name, post, azimuth }: Segment, by: number): Fix[] {
  if (!post || !azimuth || post.value.tilt) return [];
  const [along, across] = [Math.cos(azimuth.value), Math.sin(azimuth.value)].map((one) => Math.round(one * 1e9) / 1e9);
  if (along * across !== 0) return [];
  const { width, height, at } = post.value;
  const cut = roundUp(by, 0.1);
  const least = 2;
  const inner = {
    width: width - Math.abs(along) * cut,
    height: height - Math.abs(across) * cut,
    at: { x: at.x + (along * cut) / 2, y: at.y + (across * cut) / 2 },
  };
  const narrow = { width: width - Math.abs(across) * 2 * cut, height: height - Math.abs(along) * 2 * cut, at };
  return [inner, narrow]
    .filter((one) => one.width >= least && one.height >= least)
    .map((one) => {
      const text = `${millimetres(one.width)} by ${millimetres(one.height)} at ${millimetres(one.at.x, 2)}, ${millimetres(one.at.y, 2)}`;
      return fix(`Give ${name} a post ${text}`, setting(name, 'post', text));
    });
}

/** An arm that leaves so much on both sides, where its process can still make it. */
function narrowerArm(segment: Segment, by: number): Fix[] {
  const { name, stem, process } = segment;
  const width = stem ? roundDown(stem.value - 2 * by, 0.1) : 0;
  if (!stem || width < process.wall.value) return [];
  const text = millimetres(width);
  return [fix(`Make the arm of ${name} ${text} wide`, rewriting(stem, segment, 'stem', text))];
}

/** A guide that ends earlier, or that begins and ends as much later. */
function shorterGuides(segment: Segment, by: number): Fix[] {
  const { name, guide, overhang } = segment;
  if (!guide) return [];
  const length = millimetres(roundDown(guide.value - by, 0.5));
  const later = overhang && millimetres(roundUp(overhang.value + by, 0.5));
  return [
    ...(Number.parseFloat(length) > 0
      ? [fix(`Make the guide of ${name} ${length} long`, rewriting(guide, segment, 'guide', length))]
      : []),
    ...(later ? [fix(`Let the guide of ${name} begin ${later} from the nose`, setting(name, 'overhang', later))] : []),
  ];
}
