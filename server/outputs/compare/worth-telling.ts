/** The figures whose change a maker wants to hear of, and the least change that is one. */
import type { Mechanism } from '../../../language/mechanism.ts';
import { plain, symbol } from '../../checks/check.ts';
import type { CamFigure, Figures, Fraction, MeshFigure, ShaftFigure } from '../../reckon/figures.ts';
import { degrees } from '../../reckon/motion/angles.ts';
import { effortOf, measureOf } from '../../search/effort.ts';
import { type Entry, inUnit } from './entries.ts';
import type { Unit } from './said.ts';

interface Worth {
  readonly unit: Unit;
  readonly decimals: number;
  /** In the unit. */
  readonly within: number;
}

const angle: Worth = { unit: '°', decimals: 1, within: 0.05 };
const force: Worth = { unit: 'N', decimals: 1, within: 0.05 };
const torque: Worth = { unit: 'N·mm', decimals: 0, within: 0.5 };
const ratio: Worth = { unit: '', decimals: 2, within: 0.005 };
const depth: Worth = { unit: 'mm', decimals: 2, within: 0.005 };

function figure(property: string, value: number | undefined, { unit, decimals, within }: Worth, at?: string): Entry[] {
  if (value === undefined || !Number.isFinite(value)) return [];
  const said = { number: inUnit(value, unit), unit };
  return [{ property, said, by: 'reckoned', within, decimals, ...(at !== undefined && { at }) }];
}

export function camFigures(cam: CamFigure): Entry[] {
  const { pressureAngle, lostLift, restMargin, restError } = cam;
  return [
    ...figure('pressure angle', pressureAngle?.value, angle, pressureAngle && `at ${bearing(pressureAngle.at)}`),
    ...figure('lost lift', lostLift?.value, depth),
    ...figure('rest margin', restMargin, angle),
    ...figure('rest error', restError && !restError.partial ? restError.rss : undefined, angle),
  ];
}

const bearing = (at: number): string => `${plain(degrees(at), 0)}°`;

export const meshFigures = (mesh: MeshFigure | undefined): Entry[] =>
  mesh
    ? [
        ...figure('centre distance', mesh.centreDistance, depth),
        ...figure('contact ratio', mesh.contactRatio, ratio),
        ...figure('free play', mesh.backlash, { ...angle, decimals: 2, within: 0.005 }),
      ]
    : [];

export const shaftFigures = (shaft: ShaftFigure | undefined): Entry[] =>
  shaft?.ratio && !shaft.leads
    ? [{ property: 'turns for one of the leading shaft', said: { words: inTurns(shaft.ratio) }, by: 'reckoned' }]
    : [];

const inTurns = ({ num, den }: Fraction): string => (den === 1 ? String(num) : `${num}/${den}`);

export function mechanismFigures(m: Mechanism, figures: Figures): Entry[] {
  const rests = figures.positions.length;
  return [
    ...(rests ? figure('rests a turn', rests, { unit: '', decimals: 0, within: 0 }) : []),
    ...effortFigures(m, figures),
    ...returnFigure(figures),
    ...figure('depth of the stacks', figures.stack.depth || undefined, depth),
  ];
}

/** The hardest of all steps. */
function effortFigures(m: Mechanism, figures: Figures): Entry[] {
  if (!figures.forces.cases.some(({ steps }) => steps.length)) return [];
  const { peak, steps } = effortOf(m, figures, figures.forces);
  const push = measureOf(m, figures) === 'push';
  const hardest = steps.find(({ peakPush, peakTorque }) => (push ? peakPush : peakTorque) === peak);
  const at = hardest && `from ${symbol(hardest.from)} to ${symbol(hardest.to)}`;
  return push ? figure('peak push', peak, force, at) : figure('peak torque', peak, torque, at);
}

function returnFigure({ forces, positions }: Figures): Entry[] {
  const used = forces.cases.filter(({ usedByFindings }) => usedByFindings).flatMap(({ steps }) => steps);
  const margins = used.flatMap(({ returnMargin, index }) => (returnMargin ? [{ ...returnMargin, index }] : []));
  if (!margins.length) return [];
  const least = margins.reduce((worst, one) => (one.ratio < worst.ratio ? one : worst));
  const [from, to] = [least.index, (least.index + 1) % positions.length].map((i) => symbol(positions[i].symbol));
  return figure('least return', least.ratio, ratio, `bar ${least.segment}, between ${from} and ${to}`);
}
