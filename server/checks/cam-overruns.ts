import { frictionInUse } from '../reckon/force/model.ts';
import { at, type Check, fix, named, plain, rewriting, roundUp } from './check.ts';
import { pushedBoard } from './examples.ts';
import { casesInUse, positionAfter, stepInWords } from './forces.ts';

const board = (hold: string) =>
  pushedBoard(
    'push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }\nspring coils { returns left right   rate 0.3 N/mm   preload 3 N }\nassembled greased',
    `ratchet click on axle { teeth 12   play 0.5 deg   ${hold} }`,
  ).replace('every segment { ', 'every segment { guide 12 mm   ');

export const camOverruns: Check = {
  code: 'cam-overruns',
  severity: 'warning',
  title: 'Falling bars that turn the shaft on',
  means:
    'In this step the bars that come down drive the cams harder than the others hold them: the shaft runs on ahead of the hand, ' +
    'and may pass the rest position if nothing holds it. A hint where the design says no `hold`.',
  reckoned:
    'The least torque over the step, all bars together, at the ratchet’s shaft, against its `hold`; friction as assembled, that of ' +
    'meshes, bearings and pawl neglected (which would hold, too).',
  source: 'Balance of forces, derived.',
  worked: 'Four bars of 2 N that fall 6 mm together in 45° give 96 N·mm without friction.',
  remedy: 'A firmer detent (`hold`), softer springs, fewer bars that fall together, more friction on the shaft.',
  examples: [
    { title: 'A hold too weak', text: board('hold «2 Nmm»') },
    { title: 'No hold given', text: board('').replace('ratchet click', 'ratchet «click»') },
    { title: 'Held', text: board('hold 120 Nmm') },
  ],
  find(m, f) {
    const [ratchet] = m.ratchets;
    const shaft = named(f.shafts, ratchet?.shaft?.name);
    const ratio = shaft?.ratio ? Math.abs(shaft.ratio.num) / shaft.ratio.den : 1;
    const hold = ratchet?.hold;
    const running = casesInUse(f)
      .flatMap(({ steps, direction }) =>
        steps.map((step) => ({ step, direction, drives: -(step.leastTorque ?? 0) / ratio })),
      )
      .filter(({ drives }) => drives > (hold?.value ?? 0) + 1e-6)
      .sort((a, b) => b.drives - a.drives);
    const place = hold?.place ?? ratchet?.place;
    if (!running.length || !place) return [];
    const [{ step, direction, drives }] = running;
    const text = `${plain(roundUp(drives * 1.05, 5), 0)} Nmm`;
    const others = running
      .slice(1, 4)
      .map((one) => `${stepInWords(f, one.step, one.direction)} (${plain(one.drives, 0)})`);
    return [
      {
        severity: hold ? 'warning' : 'hint',
        message: `the falling bars drive ${shaft?.name ?? 'the shaft'} on with ${plain(drives, 1)} N·mm in the step ${stepInWords(f, step, direction)}, ${frictionInUse(m)}${
          hold
            ? `, more than the ${plain(hold.value, 1)} N·mm that ${ratchet.name} holds`
            : `, and ${ratchet.name} does not say what it holds`
        }${others.length ? `; next ${others.join(', ')}` : ''}; hold ${text} would do`,
        place,
        about: [ratchet.name, ...(shaft ? [shaft.name] : [])],
        figures: { torque: drives, ...(hold && { limit: hold.value }), steps: running.map((one) => one.step.index) },
        positions: running.map((one) => positionAfter(f, one.step, one.direction)),
        related: hold ? [at(ratchet.place, ratchet.name)] : [],
        fixes: hold ? [fix(`Give ${ratchet.name} hold ${text}`, rewriting(hold, ratchet, 'hold', text))] : [],
      },
    ];
  },
};
