/** What the checks of a push share: how far it should go, and what would make it. */
import type { Fix } from '../../language/mechanism.ts';
import { pushTurn, type Stepping, strokeFor } from '../reckon/force/push.ts';
import { degreesWritten, fix, millimetres, plain, rewriting, roundUp } from './check.ts';

/** The sweeps that step once: past the play behind the next tooth, and short of the play before the one after. */
export function windowOf({ step, play }: Stepping): { readonly least: number; readonly most: number } {
  return { least: step + play, most: 2 * step - play };
}

/** A tenth of a step past the least, but no further than the middle of what steps once. */
function wishedSweep(stepping: Stepping): number {
  const { least, most } = windowOf(stepping);
  return Math.min(least + stepping.step / 10, (least + most) / 2);
}

interface Remedy {
  /** In a clause: "stroke 8.2 mm would do". */
  readonly says: string;
  readonly fixes: readonly Fix[];
}

/** Strokes, arms and starts that would carry it on by one step; none where no straight push can. */
export function remedyFor(stepping: Stepping): Remedy {
  const { push } = stepping;
  const [arm, start, stroke] = [push.arm!, push.start!, push.stroke!];
  const sweep = wishedSweep(stepping);
  const steps = (length: number, from: number, along: number) => stepsOnce(stepping, pushTurn(length, from, along));
  const fixes: Fix[] = [];
  let says = '';
  const along = strokeFor(arm.value, start.value, sweep);
  const better = along === undefined ? undefined : roundUp(along, 0.1);
  if (better !== undefined && steps(arm.value, start.value, better)) {
    says = `; stroke ${millimetres(better)} would do`;
    fixes.push(
      fix(`Give ${push.name} stroke ${millimetres(better)}`, rewriting(stroke, push, 'stroke', millimetres(better))),
    );
  }
  const share = Math.sin(start.value + sweep) - Math.sin(start.value);
  const length = share > 0 ? Math.round((10 * stroke.value) / share) / 10 : 0;
  if (length > 0 && steps(length, start.value, stroke.value)) {
    says ||= `; arm ${millimetres(length)} would do`;
    fixes.push(fix(`Give ${push.name} arm ${millimetres(length)}`, rewriting(arm, push, 'arm', millimetres(length))));
  }
  const half = Math.round((sweep * 90) / Math.PI) * (Math.PI / 180);
  const chord = roundUp(2 * arm.value * Math.sin(sweep / 2), 0.1);
  if (!fixes.length && half < Math.PI / 2 && steps(arm.value, -half, chord)) {
    says = `; start ${degreesWritten(-half)} and stroke ${millimetres(chord)} would do`;
    fixes.push(
      fix(
        `Push ${push.name} as far before as behind the middle`,
        rewriting(start, push, 'start', degreesWritten(-half)),
        rewriting(stroke, push, 'stroke', millimetres(chord)),
      ),
    );
  }
  return { says, fixes };
}

function stepsOnce(stepping: Stepping, sweep: number | undefined): boolean {
  const { least, most } = windowOf(stepping);
  return sweep !== undefined && sweep > least && sweep < most;
}

/** "30°, and click may rest 0.5° from its place". */
export function stepSaid({ step, play, ratchet }: Stepping): string {
  const degrees = (angle: number) => `${plain((angle * 180) / Math.PI, 2)}°`;
  return `a step is ${degrees(step)}${play > 0 ? ` and ${ratchet!.name} may rest ${degrees(play)} from its place` : ''}`;
}

/** Findings of the train after which a push says nothing new. */
export const trainFaults = ['step-mismatch', 'shaft-drift', 'short-count', 'long-count', 'unmeshed-shaft'] as const;
