import type { Gear, Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { filletReach, gearSize, idealCentreDistance, leastShift, tipClearance } from '../reckon/shape/gears.ts';
import { at, type Check, fix, list, millimetres, plain, roundDown, roundUp, setting } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape, meshesOf, movesTo, type WholeMesh } from './meshes.ts';
import { isUndercut } from './undercut-gear.ts';

/** In modules; common practice: about half of the basic rack's 0.25. Below it tips are shortened, or shifts lessened. */
const least = 0.12;

/** In modules along the line of action: as far as undercut that is not worth a word (a hundredth of a module) reaches. */
const tolerance = 0.03;

const coarse = (centres: number, shift: string) =>
  gearedBoard({
    lower: `shaft lower { at 0 mm, ${30 - centres} mm   turns counterclockwise }`,
    upperGear: `gear upperGear on upper { module 4 mm   teeth 12   width 5 mm   mark 270 deg   ${shift} }`,
    lowerGear: `gear lowerGear on lower { module 4 mm   teeth 12   width 5 mm   mark 90 deg   ${shift.replace(/[«»]/g, '')} }`,
    camR: '',
    right: '',
    count: 'count off low',
    table: 'glyphs lamps { segments left   off = blank   low = left }',
  });

export const tightTips: Check = {
  code: 'tight-tips',
  severity: 'warning',
  title: 'Tips of teeth that reach the roots of the other gear',
  means:
    'Profile shift makes tips higher, and the centres at which shifted teeth mesh without play do not grow by as much. What ' +
    'is left between the tips of one gear and the roots of the other is too little for dirt, wear and the roughness of a ' +
    'print: a warning; so it is where tips reach past the start of the other’s involute, into the fillets at its roots, on ' +
    'which they ride up. Where nothing is left the tips run into the roots, and the gears do not go together: an error.',
  reckoned:
    'c = a − r_a1 − r_f2, and the same the other way, with r_a = m·(z/2 + 1 + x) and r_f = m·(z/2 − 1.25 + x), at the ' +
    'centres as they stand, or at those that the teeth need where they stand too close, which is told by itself. The basic rack leaves 0.25·m; less than 0.12·m is told. ' +
    'Fillets: a rack cuts the involute down to r·sin α − m·(1 − x)/sin α from the base circle, along the line of action; the ' +
    'other’s tips reach to a·sin α_w − √(r_a² − r_b²). More than 0.03·m past it is told (as much as 0.01·m of undercut).',
  source:
    'ISO 53 (bottom clearance 0.25·m of the basic rack), ISO 21771 (tip alteration; root form diameter d_Ff against the ' +
    'diameter d_Nf at which the active flank starts); the limit of 0.12·m is common practice.',
  worked:
    'Module 4 mm, 12 and 12 teeth, shift 1 each: they mesh without play at 53.96 mm. r_a = 32 mm, r_f = 23 mm: c = 53.96 − ' +
    '32 − 23 = −1.04 mm.',
  remedy:
    'Less shift, with the shafts moved to the centres that suit it. Centres that are only wider clear the tips too, but leave ' +
    'play between the teeth. Tips that are cut lower cannot be written in a design.',
  notBeside: ['shaft-drift', 'locked-train', 'unlike-gears'],
  alsoOn: (rest) => `, and so it is for ${list(rest.map(({ about }) => `${about[0]} with ${about[1]}`))}`,
  examples: [
    { title: 'Twelve teeth, shifted out by a whole module', text: coarse(53.957, 'shift «1»') },
    { title: 'Shifted as far as twelve teeth want', text: coarse(50.097, 'shift 0.3') },
  ],
  find(m, f, told) {
    return meshesOf(m, f).flatMap((whole) => {
      const { figure, mesh, ends } = whole;
      const gears = ends.map(({ gear }) => gear);
      const module = gears[0].module!.value;
      if (figure.tipClearance === undefined) return [];
      const distance = Math.max(figure.centreDistance, figure.idealCentreDistance);
      const pair = gears.map(({ shift }) => shift.value) as [number, number];
      const { clear, past } = between(gears, pair, distance);
      const into = Math.max(...past);
      if ((clear >= least - 1e-9 && into <= tolerance) || !gears.every(isClearOfShape)) return [];
      if (told(...gears.map(({ name }) => name))) return [];
      const [culprit, other] = [...gears].sort((a, b) => Math.abs(b.shift.value) - Math.abs(a.shift.value));
      const mends = lessShift(m, f, whole);
      const [tips, roots] = past[0] > past[1] ? [gears[1], gears[0]] : gears;
      const both = `the tips of ${gears[0].name} and ${gears[1].name}`;
      return [
        {
          severity: clear > 0 ? ('warning' as const) : ('error' as const),
          message: `${
            clear <= 0
              ? `${both} reach ${millimetres(-clear * module, 2)} into each other’s roots`
              : clear < least - 1e-9
                ? `${both} come within ${millimetres(clear * module, 2)} of each other’s roots (at least ${millimetres(least * module, 2)})`
                : `the tips of ${tips.name} reach ${millimetres(into * module, 2)} past the involute of ${roots.name}, into the fillets at its roots`
          }${mends ? `; ${mends.words} would do` : ''}`,
          place: placeOfShift(culprit),
          about: [culprit.name, other.name, mesh.name],
          figures: {
            clearance: clear * module,
            least: least * module,
            ...(into > tolerance && { past: into * module }),
          },
          related: [at(placeOfShift(other), `${isShifted(other) ? 'the shift' : 'the teeth'} of ${other.name}`)],
          fixes: mends?.fixes ?? [],
        },
      ];
    });
  },
};

/** Of two gears with these shifts, so far apart, in modules: between tips and roots, and how far past each one's involute its mate's tips reach. */
function between(gears: readonly Gear[], shifts: readonly [number, number], distance: number) {
  const [module, alpha] = [gears[0].module!.value, gears[0].pressureAngle.value];
  const [one, two] = gears.map(({ teeth }, i) => gearSize(module, teeth!.value, alpha, shifts[i]));
  const past = [
    filletReach(one, shifts[0], two, module, alpha, distance),
    filletReach(two, shifts[1], one, module, alpha, distance),
    // Teeth that come out undercut, which is told by itself, have no such involute.
  ].map((reach, i) => (isUndercut(gears[i], shifts[i]) ? 0 : (reach ?? 0) / module));
  return { clear: tipClearance(one, two, distance) / module, past };
}

const isShifted = (gear: Gear): boolean => gear.shift.by !== 'default';

const placeOfShift = (gear: Gear) => (isShifted(gear) ? gear.shift.place : gear.teeth!.place);

/**
 * The greatest shifts, no greater than they are, that leave enough, and the centres that suit them. What is too much is
 * taken from each gear by what it has to spare: above nothing, and above what keeps its teeth from being undercut.
 */
function lessShift(m: Mechanism, f: Figures, whole: WholeMesh) {
  const gears = whole.ends.map(({ gear }) => gear);
  const [module, alpha] = [gears[0].module!.value, gears[0].pressureAngle.value];
  const teeth = gears[0].teeth!.value + gears[1].teeth!.value;
  const centres = (shifts: number) => idealCentreDistance(module, teeth, alpha, shifts);
  const spare = gears.map(({ shift, teeth }) =>
    Math.max(0, shift.value - Math.max(0, roundUp(leastShift(teeth!.value, alpha), 0.01))),
  );
  const less = (share: number) =>
    gears.map(({ shift }, i) => (spare[i] > 0 ? roundDown(shift.value - share * spare[i], 0.01) : shift.value)) as [
      number,
      number,
    ];
  const enough = (share: number) => {
    const shifts = less(share);
    const { clear, past } = between(gears, shifts, centres(shifts[0] + shifts[1]));
    return clear >= least && past.every((one) => one <= tolerance);
  };
  if (spare[0] + spare[1] === 0 || enough(0) || !enough(1)) return undefined;
  let [low, high] = [0, 1];
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (enough(middle)) high = middle;
    else low = middle;
  }
  const shifts = less(high);
  const changed = gears.flatMap((gear, i) => (spare[i] > 0 ? [{ gear, text: plain(shifts[i], 2) }] : []));
  const distance = centres(shifts[0] + shifts[1]);
  const words = list(changed.map(({ gear, text }) => `${gear.name} shift ${text}`));
  return {
    words: `${words} on centres ${millimetres(distance, 2)} apart`,
    fixes: movesTo(m, f, whole, distance).map(({ words: move, change }) =>
      fix(
        `Give ${words}, and move ${move}`,
        ...changed.map(({ gear, text }) => setting(gear.name, 'shift', text)),
        change,
      ),
    ),
  };
}
