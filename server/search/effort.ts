/** What the steps of a mechanism take in the cases in use: what ease makes less. */
import type { Mechanism } from '../../language/mechanism.ts';
import type { MotionFigures } from '../reckon/figures.ts';
import { drivenOn, type Forces, pushAt } from '../reckon/force/steps.ts';

/** What a step takes at most, of the directions in use; torques at the leading shaft, N·mm. */
export interface StepEase {
  readonly index: number;
  readonly from: string;
  readonly to: string;
  /** Absent where bars jam. */
  readonly peakTorque?: number;
  /** Negative where falling bars drive the shaft on. */
  readonly leastTorque?: number;
  /** N. */
  readonly peakPush?: number;
}

export interface Effort {
  /** N of a push, N·mm of the leading shaft where there is no push; infinite where bars jam. */
  readonly peak: number;
  /** With which falling bars drive the ratchet's shaft, else the leading one, on, N·mm. */
  readonly runningOn: number;
  readonly steps: readonly StepEase[];
}

const isUsed = ({ usedByFindings }: Forces['cases'][number]): boolean => usedByFindings;

/** What the steps of a mechanism take in the cases in use. */
export function effortOf(m: Mechanism, figures: MotionFigures, forces: Forces): Effort {
  const cases = forces.cases.filter(isUsed);
  const steps = (cases[0]?.steps ?? []).map(({ index }): StepEase => {
    const ways = cases.map(({ steps }) => steps[index]);
    const most = (values: readonly (number | undefined)[]) =>
      values.some((value) => value === undefined) ? undefined : Math.max(...(values as number[]));
    const peakTorque = most(ways.map((way) => way.peakTorque));
    const ease = most(ways.map(({ leastTorque }) => leastTorque && -leastTorque));
    const peakPush = most(ways.map((way) => way.peakPush));
    const [from, to] = [index, (index + 1) % figures.positions.length].map((i) => figures.positions[i].symbol);
    return {
      index,
      from,
      to,
      ...(peakTorque !== undefined && { peakTorque }),
      ...(ease !== undefined && { leastTorque: -ease }),
      ...(peakPush !== undefined && { peakPush }),
    };
  });
  const measure = measureOf(m, figures) === 'push' ? 'peakPush' : 'peakTorque';
  const peak = Math.max(...steps.map((step) => step[measure] ?? Number.POSITIVE_INFINITY));
  return { peak, runningOn: drivenOn(m, figures, forces), steps };
}

/** A push is what is eased, where its lever is known all through the step. */
export function measureOf({ pushes: [push] }: Mechanism, figures: MotionFigures): 'push' | 'torque' {
  return push && [0, 1].every((share) => pushAt(push, figures, 1, share) !== undefined) ? 'push' : 'torque';
}
