/** What to do with one part, in a sentence. */
import type { Mechanism } from '../../../../language/mechanism.ts';
import { listed, mm, plain } from '../../chart/words.ts';
import type { Sheet } from '../sheet.ts';
import type { Step } from '../stages.ts';
import { towards } from './words.ts';

export function stepText(sheet: Sheet, step: Step): string {
  const { mechanism: m, figures } = sheet.view;
  const { part, seat, of, at, way } = step;
  const name = of > 1 ? `${part} (${seat + 1} of ${of})` : part;
  // Into a frame all goes from the back, which need not be said each time.
  const usual = m.frame ? 'back' : 'front';
  const from = way === usual || way === 'slide' ? '' : ` from the ${way}`;
  const on = shaftUnder(sheet, step);
  const onto = on === undefined ? '' : ` on ${on}`;
  const first = closed(step, usual);
  switch (step.kind) {
    case 'shaft': {
      const shaft = m.shafts.find((one) => one.name === part);
      const round = m.frame ? 'face' : 'back';
      const journal =
        shaft?.key && shaft.bearing ? `, its round journal of ${mm(shaft.bearing.value)} to the ${round}` : '';
      return `Stand shaft ${name}${from} at x ${plain(at.x)}, y ${plain(at.y)} mm${journal}.`;
    }
    case 'gear':
      return `Put gear ${name}${onto}${from}${gearPose(sheet, step)}${first}.`;
    case 'cam': {
      const flange = figures.stack.parts.some((one) => one.kind === 'flange' && one.name === part);
      return `Put cam ${name}${onto}${from}${flange ? ', flange to the back' : ''}${first}.`;
    }
    case 'bar': {
      const cam = figures.cams.find(({ segments }) => segments.includes(part));
      const arm = armText(m, part, cam?.name);
      const moved = {
        front: 'lay it in from the front',
        slide: `slide it in from ${towards(at.turn)}, against the way it rises`,
        back: !m.frame
          ? 'bring it in from the back'
          : `let it down through its slot${arm ? '' : ', its stem into its guide'}`,
      }[way];
      if (arm) return `Bar ${name}: ${moved}${first}. ${arm}`;
      return `Bar ${name}: ${moved}, its nose against ${cam?.name ?? 'its cam'}${first}.`;
    }
    case 'pawl':
      return seated(sheet, part);
    case 'plate':
    case 'pillar':
      return framed(sheet, step, name);
    default:
      return `Put ${name}${name === step.kind ? '' : ` (${step.kind})`}${onto || ' in'}${from}${first}.`;
  }
}

/** What is to be made by hand of a bar that hangs on a swinging arm: no file of parts has it. */
function armText(m: Mechanism, part: string, cam: string | undefined): string | undefined {
  const { follower, stem, nose } = m.segments.find(({ name }) => name === part) ?? {};
  if (follower?.value.kind !== 'pivoted') return undefined;
  const { at, arm } = follower.value;
  const wide = stem ? `, ${mm(stem.value)} wide` : '';
  const round = nose ? ` of ${mm(nose.value)} radius` : '';
  return `Its arm is not among the parts: make one ${mm(arm)} from pivot to nose${wide}, its pivot at x ${plain(at.x)}, y ${plain(at.y)} mm, its nose${round} against ${cam ?? 'its cam'}.`;
}

/** A pawl is screwed onto the back plate before that goes on. */
function seated({ view: { mechanism, figures } }: Sheet, part: string): string {
  const { frame } = figures;
  const pawl = frame?.pawls.find(({ ratchet }) => `${ratchet} pawl` === part);
  const place = pawl ? ` at x ${plain(pawl.at.x, 1)}, y ${plain(pawl.at.y, 1)} mm` : '';
  const screw = pawl ? `M${frame!.screw.diameter} x ${pawl.length}` : 'a screw';
  const wheel = mechanism.ratchets.find(({ name }) => `${name} pawl` === part)?.name ?? 'its wheel';
  return `Set ${part} between its ribs on the back plate${place} and screw it on through the plate, ${screw}. It goes in with that plate, its nose between two teeth of ${wheel}: lift it over with a thin blade.`;
}

/** Plates and pillars, and the screws that hold them. */
function framed({ view: { figures } }: Sheet, { part, kind, at }: Step, name: string): string {
  const { frame } = figures;
  const screws = (length: number | undefined) =>
    frame ? `M${frame.screw.diameter}${length === undefined ? '' : ` x ${length}`}` : 'screw';
  const all = `${frame?.screws.length ?? 0} screws ${screws(frame?.lengths.back)}`;
  const place = `at x ${plain(at.x)}, y ${plain(at.y)} mm`;
  if (kind === 'pillar') {
    if (part !== 'pillar') return `Lay ${name} on the face plate ${place}.`;
    return frame?.windowed
      ? `Stand ${name} ${place}.`
      : `Stand ${name} ${place} and screw it on from the front, ${screws(frame?.lengths.front)}.`;
  }
  if (part === 'face plate')
    return 'Lay the face plate on its face, on two strips high enough for the bars to stand out between them.';
  if (part === 'back plate')
    return `Lay the back plate over the journals and screw it onto the pillars with ${all}: hand-tight, as they cut their thread in the pillars.`;
  return `Turn it over, lay the ${name} on the spacers and screw it through them into the pillars with ${frame?.screws.length ?? 0} screws ${screws(frame?.lengths.front)}.`;
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
function closed({ kind, before: [next], way }: Step, usual: 'front' | 'back'): string {
  return next !== undefined && (kind === 'bar' || way !== usual) ? ` (before ${next}, which would be in its way)` : '';
}
