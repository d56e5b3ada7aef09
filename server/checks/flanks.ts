/** The angles of rise and fall that a cam states, against what lies between two rests. */
import type { Cam, Change, Given, Mechanism } from '../../language/mechanism.ts';
import type { BarFigure, CamFigure, LobeFlank } from '../reckon/figures.ts';
import { liftAt } from '../reckon/motion/lift.ts';
import { seenAs, shareShown } from '../reckon/motion/positions.ts';
import { rewriting } from './check.ts';

/** A stated angle of rise or fall: `travel`, `rise`, `fall` or the `flank` of a stated lobe. */
export interface Width {
  readonly what: 'travel' | 'rise' | 'fall' | 'flank';
  readonly width: Given<number>;
}

/** The stated angles that the cam's lobes use. */
export function widthsOf(cam: Cam, { travel }: CamFigure): Width[] {
  const { lobes } = cam;
  return [
    ...(cam.travel && travel !== undefined ? [{ what: 'travel' as const, width: cam.travel }] : []),
    ...(['rise', 'fall'] as const).flatMap((what) => (cam[what] ? [{ what, width: cam[what].width }] : [])),
    ...(lobes.by === 'angles'
      ? lobes.lobes
          .flatMap(({ before, after }) => [before, after])
          .flatMap((width) => (width ? [{ what: 'flank' as const, width }] : []))
      : []),
  ];
}

/** The angle between two rests. Stated lobes need not serve the rests of all counts, only those of one. */
export const betweenRests = (cam: Cam, { step, spacing }: CamFigure): number =>
  cam.lobes.by === 'angles' ? Math.abs(step) : spacing;

/** The stated angles that are wider than what lies between two rests. */
export function tooWide(cam: Cam, figure: CamFigure): Width[] {
  if (!figure.step || !figure.lift.lobes.length) return [];
  return widthsOf(cam, figure).filter(({ width }) => width.value > betweenRests(cam, figure) + 1e-9);
}

/**
 * Whether a bar would be read as it should at a rest, were no flank wider than what lies between two rests. Lobes that
 * follow from the count always serve it then; of stated ones the ends may be wrong as well.
 */
export function narrowerMends(m: Mechanism, cam: Cam, figure: CamFigure, bar: BarFigure, index: number): boolean {
  if (cam.lobes.by !== 'angles') return true;
  const segment = m.segments.find(({ name }) => name === bar.segment);
  const rest = figure.rests[index];
  if (!segment || rest === undefined) return false;
  const { cut, lobes, ...programmed } = figure.lift;
  const most = betweenRests(cam, figure);
  const narrow = (flank: LobeFlank): LobeFlank => ({ ...flank, width: Math.min(flank.width, most) });
  const lift = {
    ...programmed,
    lobes: lobes.map((one) => ({ ...one, before: narrow(one.before), after: narrow(one.after) })),
  };
  const share = shareShown(m, segment, lift.stroke)(liftAt(lift, rest).lift);
  return bar.wanted === undefined || seenAs(m, share) === bar.wanted;
}

export function rewritingWidth({ what, width }: Width, cam: Cam, text: string): Change {
  return what === 'travel' ? rewriting(width, cam, what, text) : { do: 'replace', place: width.place, text };
}
