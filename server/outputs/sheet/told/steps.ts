/** What to do with one part, in a sentence. */
import { listed, mm, plain } from '../../chart/words.ts';
import type { Sheet } from '../sheet.ts';
import type { Step } from '../stages.ts';
import { towards } from './words.ts';

export function stepText(sheet: Sheet, step: Step): string {
  const { mechanism: m, figures } = sheet.view;
  const { part, seat, of, at, way } = step;
  const name = of > 1 ? `${part} (${seat + 1} of ${of})` : part;
  const from = way === 'back' ? ' from the back' : '';
  const on = shaftUnder(sheet, step);
  const onto = on === undefined ? '' : ` on ${on}`;
  switch (step.kind) {
    case 'shaft': {
      const shaft = m.shafts.find((one) => one.name === part);
      const journal =
        shaft?.key && shaft.bearing ? `, its round journal of ${mm(shaft.bearing.value)} to the back` : '';
      return `Stand shaft ${name}${from} at x ${plain(at.x)}, y ${plain(at.y)} mm${journal}.`;
    }
    case 'gear':
      return `Put gear ${name}${onto}${from}${gearPose(sheet, step)}${closed(step)}.`;
    case 'cam': {
      const flange = figures.stack.parts.some((one) => one.kind === 'flange' && one.name === part);
      return `Put cam ${name}${onto}${from}${flange ? ', flange to the back' : ''}${closed(step)}.`;
    }
    case 'bar': {
      const cam = figures.cams.find(({ segments }) => segments.includes(part));
      const moved = {
        front: 'lay it in from the front',
        slide: `slide it in from ${towards(at.turn)}, against the way it rises`,
        back: 'bring it in from the back',
      }[way];
      return `Bar ${name}: ${moved}, its nose against ${cam?.name ?? 'its cam'}${closed(step)}.`;
    }
    default:
      return `Put ${name}${name === step.kind ? '' : ` (${step.kind})`}${onto || ' in'}${from}${closed(step)}.`;
  }
}

/** The shaft that a part goes on; a pushed arm turns on the one that it pushes. */
function shaftUnder({ view: { mechanism } }: Sheet, { at: { moves }, kind }: Step): string | undefined {
  if (moves.with === 'shaft') return moves.name;
  if (moves.with !== 'push' || kind !== 'push arm') return undefined;
  return mechanism.pushes.find(({ name }) => name === moves.name)?.shaft?.name;
}

/** Where its marks stand, and what it goes into mesh with. */
function gearPose({ view: { figures }, stages }: Sheet, step: Step): string {
  const marks = figures.gears.find(({ name }) => name === step.part)?.marks ?? [];
  const steps = stages.flatMap((stage) => stage.steps);
  const before = steps.slice(0, steps.indexOf(step));
  const mates = figures.meshes
    .filter(({ gears }) => gears.includes(step.part))
    .flatMap(({ gears }) => gears.filter((one) => one !== step.part))
    .filter((one) => before.some(({ part }) => part === one));
  return [
    ...(marks.length > 0 ? [`, its mark at ${marks.map(towards).join(' and ')}`] : []),
    ...(mates.length > 0 ? [`, into the teeth of ${listed(mates)}: mark to mark on the line of the shafts`] : []),
  ].join('');
}

/** What would lie in its way, where that is more than the next part on the same shaft. */
function closed({ kind, before: [next], way }: Step): string {
  return next !== undefined && (kind === 'bar' || way !== 'front')
    ? ` (before ${next}, which would be in its way)`
    : '';
}
