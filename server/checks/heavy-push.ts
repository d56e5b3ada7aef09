import { frictionInUse } from '../reckon/force/model.ts';
import { at, type Check, fix, newtons, setting } from './check.ts';
import { pushedBoard } from './examples.ts';
import { casesInUse, positionAfter, stepInWords } from './forces.ts';

const pushed = (limit: string, more = '') =>
  pushedBoard(
    `push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }\nspring coils { returns left right   rate 0.1 N/mm   preload 0.9 N }\nlimits { push ${limit} }${more}`,
  ).replace('every segment { ', 'every segment { guide 12 mm   ');

export const heavyPush: Check = {
  code: 'heavy-push',
  severity: 'warning',
  title: 'A push that is too heavy',
  means:
    'At its heaviest moment the step asks more of the hand than the limit: all bars that rise together against their returns, ' +
    'the friction of their noses and guides, and that of the noses that rest on their cams.',
  reckoned:
    'Torque of all bars at the push’s shaft / (arm·cos θ), θ = start + the angle into the step; each bar’s torque from the ' +
    'balance of its follower with the nose sliding and the guide’s reactions. Friction is what `assembled` says; that of meshes, ' +
    'bearings and the pawl is neglected.',
  source: 'Balance of forces, derived; without friction the work of a step is the change of what the springs store.',
  worked:
    'Four bars with 2 N each that rise 6 mm together in 45° by a simple harmonic take 96 N·mm without friction: 6.9 N at an arm of 14 mm.',
  remedy:
    'Softer springs or less preload, as far as the bars still return; grease; a longer arm with a longer stroke; bars shown ' +
    'lowered where that lets fewer of them rise in one step; a gentler law or longer travel.',
  examples: [
    { title: 'More than the limit', text: pushed('«2 N»') },
    { title: 'Within it', text: pushed('30 N') },
  ],
  find(m, f) {
    const limit = m.limits.push;
    const [push] = m.pushes;
    if (!limit || !push) return [];
    const heavy = casesInUse(f)
      .flatMap(({ steps, direction }) =>
        steps.flatMap((step) => (step.peakPush === undefined ? [] : [{ step, direction, force: step.peakPush }])),
      )
      .filter(({ force }) => force > limit.value + 1e-9)
      .sort((a, b) => b.force - a.force);
    if (!heavy.length) return [];
    const [{ step, direction, force }] = heavy;
    const whole = step.peakTorque ?? 0;
    const shares = step.shares
      .filter(({ torque }) => torque > 0.02 * whole)
      .map(({ segment, torque }) => `${segment} ${newtons((torque / whole) * force, 1)}`);
    const others = heavy
      .slice(1, 4)
      .map((one) => `${stepInWords(f, one.step, one.direction)} (${newtons(one.force, 1)})`);
    return [
      {
        message: `${push.name} takes ${newtons(force, 1)} in the step ${stepInWords(f, step, direction)}, ${frictionInUse(m)} (limit ${newtons(limit.value, 1)}): bars ${shares.join(', ')}${
          others.length ? `; next heaviest ${others.join(', ')}` : ''
        }`,
        place: limit.place,
        about: [push.name],
        figures: { force, limit: limit.value, steps: heavy.map((one) => one.step.index) },
        positions: heavy.map((one) => positionAfter(f, one.step, one.direction)),
        related: [at(push.place, push.name)],
        fixes: frictionInUse(m) === 'dry' ? [fix('Grease it', setting('', 'assembled', 'greased'))] : [],
      },
    ];
  },
};
