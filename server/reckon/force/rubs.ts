/**
 * Where friction works, and how much: what to grease first. Over one turn of the leading shaft, as the build runs and is
 * assembled. A bearing bears what its shaft's cams are pressed with; what meshes, the pawl and the hand add is neglected,
 * as are the teeth themselves, pivots and weights of what turns.
 */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { turn } from '../motion/angles.ts';
import { positive } from '../shape/followers.ts';
import { type Rubbing, rubbing } from './contact.ts';
import { momentAt } from './courses.ts';
import { type Direction, type ForceModel, forceModel, frictionInUse, frictionOf, runs, turningOf } from './model.ts';
import { looksPerStep } from './steps.ts';

export interface RubFigure {
  readonly at: 'nose' | 'guide' | 'bearing';
  /** The segment of a nose and a guide, the shaft of a bearing. */
  readonly of: string;
  /** That the nose slides on. */
  readonly cam?: string;
  /** N·mm in one turn of the leading shaft. */
  readonly work: number;
}

/** The contacts whose numbers are known, the hardest worked first; none where something jams. */
export function rubsOf(m: Mechanism, figures: MotionFigures): RubFigure[] {
  const model = forceModel(m, figures, { defaults: [], missing: [] });
  const steps = figures.positions.length;
  if (!model || steps < 2) return [];
  const direction: Direction = runs(m, 'forward') ? 'forward' : 'reverse';
  const looks = steps * looksPerStep(steps);
  const works = new Map<string, RubFigure>();
  const add = (at: RubFigure['at'], of: string, cam: string | undefined, work: number) => {
    const key = `${at} ${of}`;
    const so = works.get(key)?.work ?? 0;
    works.set(key, { at, of, ...(cam !== undefined && { cam }), work: so + work });
  };
  const bearings = bearingsOf(m, figures);
  for (let i = 0; i < looks; i++) {
    const rubs = rubsAt(m, model, ((i + 0.5) / looks) * steps, direction);
    if (!rubs) return [];
    for (const [k, { segment, cam, ratio }] of model.pieces.entries()) {
      const by = (turn / looks) * ratio;
      add('nose', segment, cam.name, rubs[k].nose * by);
      add('guide', segment, undefined, rubs[k].guide * by);
    }
    for (const { shaft, friction, radius, ratio } of bearings) {
      const load = { x: 0, y: 0 };
      for (const [k, { cam }] of model.pieces.entries()) {
        if (cam.shaft !== shaft) continue;
        const { x, y } = rubs[k].onShaft;
        load.x += x * Math.cos(cam.azimuth) - y * Math.sin(cam.azimuth);
        load.y += x * Math.sin(cam.azimuth) + y * Math.cos(cam.azimuth);
      }
      add('bearing', shaft, undefined, friction * Math.hypot(load.x, load.y) * radius * (turn / looks) * ratio);
    }
  }
  return [...works.values()].filter(({ work }) => work > 0).sort((a, b) => b.work - a.work);
}

/** What rubs at every piece, `t` steps from home; undefined where one of them jams. */
function rubsAt(m: Mechanism, model: ForceModel, t: number, direction: Direction): Rubbing[] | undefined {
  const { stands, loads } = momentAt(model, t);
  const rubs = model.pieces.map((piece, i) =>
    rubbing(stands[i], loads[i], piece.friction[frictionInUse(m)], turningOf(piece, direction)),
  );
  return rubs.every((rub) => rub !== undefined) ? rubs : undefined;
}

/** The bearings of shafts that carry cams: T = μ·W·r of a journal (Shigley, plain bearings). */
function bearingsOf(m: Mechanism, { shafts, cams }: MotionFigures) {
  return m.shafts.flatMap(({ name, bearing, process }) => {
    const ratio = shafts.find((shaft) => shaft.name === name)?.ratio;
    const diameter = positive(bearing);
    if (!ratio || diameter === undefined || !cams.some((cam) => cam.shaft === name)) return [];
    const friction = frictionOf(process.material, m.process.material)[frictionInUse(m)];
    return [{ shaft: name, friction, radius: diameter / 2, ratio: Math.abs(ratio.num) / ratio.den }];
  });
}
