/** What the page on which one clicks what one sees is drawn from: small plain data of one mechanism. */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import type { Reckoned } from '../../protocol.ts';
import type { Figures } from '../../reckon/figures.ts';
import type { Box } from '../../reckon/shape/convex.ts';
import { type NoTable, type SymptomTable, symptomsOf } from '../../search/symptoms.ts';
import { type FaceBar, facePlanOf } from '../chart/view.ts';

/** A bar, and how far along its slide it stands when it is shown and when it is hidden, mm. */
export interface SeenBar extends FaceBar {
  readonly shownAt: number;
  readonly hiddenAt: number;
}

export interface SymptomPage {
  readonly table: SymptomTable | NoTable;
  readonly face: Box;
  /** Those that can be drawn. */
  readonly bars: readonly SeenBar[];
}

/** Alike for one mechanism, however its figures have been refined. */
const known = new WeakMap<Mechanism, SymptomPage>();

export function pageOf({ mechanism, figures }: Pick<Reckoned, 'mechanism' | 'figures'>): SymptomPage {
  const page = known.get(mechanism) ?? pageAnew(mechanism, figures);
  known.set(mechanism, page);
  return page;
}

function pageAnew(mechanism: Mechanism, figures: Figures): SymptomPage {
  const { face, bars } = facePlanOf(mechanism);
  return {
    table: symptomsOf(mechanism, figures),
    face: { left: tenths(face.left), right: tenths(face.right), bottom: tenths(face.bottom), top: tenths(face.top) },
    bars: bars.map(({ segment, outline, slide, window }) => {
      const raised = segment.stroke?.value ?? 0;
      const lowered = segment.shown.value === 'lowered';
      return {
        segment: { name: segment.name },
        outline: outline.map(rounded),
        slide,
        ...(window && { window: window.map(rounded) }),
        shownAt: lowered ? 0 : raised,
        hiddenAt: lowered ? raised : 0,
      };
    }),
  };
}

const tenths = (value: number): number => Math.round(value * 10) / 10;
const rounded = ({ x, y }: Point): Point => ({ x: Math.round(x * 100) / 100, y: Math.round(y * 100) / 100 });
