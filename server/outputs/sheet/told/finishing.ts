/** Grease, a whole count against its pictures, and what the sheet leaves out. */
import { frictionInUse } from '../../../reckon/force/model.ts';
import { restAt } from '../../chart/view.ts';
import { plain } from '../../chart/words.ts';
import { type Block, drawings, heading, list, quiet, table, text } from '../../document/document.ts';
import { facesOf } from '../pictures.tsx';
import type { Sheet, WorkedStep } from '../sheet.ts';
import { effort, hardest } from './trials.ts';
import { percent, quoted, shownAs } from './words.ts';

export function greasing({ view: { mechanism: m }, grease }: Sheet): Block[] {
  const { name, friction, greased } = m.process.material;
  const spoken =
    friction && greased ? ` (friction of ${name}: ${plain(friction.value)} dry, ${plain(greased.value)} greased)` : '';
  const why =
    frictionInUse(m) === 'greased'
      ? `This build is reckoned greased${spoken}: without grease it pushes harder and comes back worse. Grease first where friction works at most.`
      : `This build is reckoned dry${spoken} and needs no grease; greased it goes more easily, most where friction works at most.`;
  if (grease.length === 0) {
    return [
      heading(2, 'Where to grease'),
      text(
        'Not reckoned: it follows from what draws the bars back and from the shapes of the cams, as far as the text gives them, and from nothing that jams.',
      ),
    ];
  }
  return [
    heading(2, 'Where to grease'),
    text(why),
    ...table(
      'Work of friction in one turn, the most first',
      ['', 'where', 'on', 'N·mm', 'of all'],
      grease.map(({ at, of, cam, work, share }, i) => [
        `${i + 1}`,
        `${at === 'bearing' ? 'bearings' : at} of ${of}`,
        cam ?? '',
        plain(work, 1),
        percent(share),
      ]),
    ),
    quiet(
      'From the forces of every step, slowly turned: all of it at noses and guides, at bearings by what the cams press. Left out: teeth, pawl and push, pivots of arms, the weight of what turns.',
    ),
  ];
}

export function wholeCount(sheet: Sheet): Block[] {
  const { view, steps } = sheet;
  if (view.rests === 0) return [];
  const { positions, forces } = view.figures;
  const hard = hardest(steps);
  const least = forces.stored.reduce((best, energy, i, all) => (energy < all[best] ? i : best), 0);
  return [
    heading(2, 'The last test: a whole count'),
    text('Step once round and hold each rest against its picture, or its card. Nothing may stand half-way.'),
    ...drawings(facesOf(view)),
    ...table(
      'What each rest shows, in the order of the steps',
      ['rest', 'symbol', 'bars shown', 'next step takes', 'wrong in the design'],
      Array.from({ length: view.rests }, (_, across) => {
        const { index, symbol, shown, wrong } = positions[restAt(view, across)];
        return [
          `${index}`,
          shownAs(symbol),
          shown.length > 0 ? shown.join(' ') : 'none',
          takes(steps[across]),
          wrong.join(' '),
        ];
      }),
    ),
    ...list([
      ...(hard ? [`Hardest: ${quoted(hard.from)} → ${quoted(hard.to)}, ${effort(sheet, hard)}.`] : []),
      ...(Math.max(...forces.stored) > forces.stored[least]
        ? [`Leave it standing at ${quoted(positions[least].symbol)}: there springs and loops hold the least.`]
        : []),
    ]),
  ];
}

function takes(step: WorkedStep | undefined): string {
  if (step?.push !== undefined) return `${plain(step.push, 1)} N`;
  return step?.torque === undefined ? '' : `${plain(step.torque, 0)} N·mm`;
}

export function leavingOut({ view: { figures, mechanism } }: Sheet): Block[] {
  return [
    heading(2, 'What this sheet leaves out'),
    ...list([
      mechanism.frame
        ? 'What the frame does not hold is yours: a knob, and what the findings say finds no place in it.'
        : 'The frame: plates, guides, bearings and screws are yours, as far as the text does not give them.',
      'Friction of teeth, bearings and pawl is not in the forces, nor are creep and inertia.',
      ...figures.missing.map(({ figure, wants }) => `Not reckoned: ${figure}; give ${wants}.`),
    ]),
  ];
}
