/** What can hurt whoever builds and turns it. Gaps are those of ISO 13854:2017, and no substitute for local codes. */

import { listed, mm } from '../../chart/words.ts';
import type { Sheet } from '../sheet.ts';
import { counted } from './words.ts';

/** Least gaps that crush no finger and no hand (ISO 13854:2017), mm. */
const fingerGap = 25;
const handGap = 100;

export function cautionsOf({ view, routes, springs }: Sheet): string[] {
  const { mechanism: m } = view;
  return [
    ...(springs.length + m.bands.length > 0
      ? [
          `${springs.length > 0 && routes.length > 0 ? 'Springs and loops hold' : springs.length > 0 ? 'Springs hold' : 'The loop holds'} energy and can throw parts when they let go: wear eye protection while you fit them or take them off, and relieve them before you open anything.`,
        ]
      : []),
    `${pinches(m)} ISO 13854 asks for a gap of at least ${fingerGap} mm where no finger, and ${handGap} mm where no hand is to be crushed (adults; children need an assessment of their own). Gaps in here are smaller: keep fingers, hair and sleeves out while anything turns, and cover what others can reach.`,
    'Small parts and loose loops are nothing for small children.',
    'What is written here is reckoned from the design, slowly pushed by hand; nothing of it proves that the thing is safe. Local codes and licensed practice come first; leave to licensed practice what is driven by a motor or the mains.',
  ];
}

/** Where it pinches: at teeth, at what moves, under what is pushed. */
function pinches({ meshes, segments, pushes }: Sheet['view']['mechanism']): string {
  const strokes = segments.flatMap(({ stroke }) => (stroke ? [stroke.value] : []));
  const most = Math.max(0, ...strokes);
  const places = [
    ...meshes.map(({ gears }) => `the teeth of ${gears[0].name} and ${gears[1].name} draw in`),
    ...(segments.length > 0 && most > 0
      ? [
          `${segments.length === 1 ? 'one bar moves' : `${counted(segments.length, 'bar')} move`} by up to ${mm(most)} against what lies beside`,
        ]
      : []),
    ...pushes.map(({ name, stroke }) => `${name} moves${stroke ? ` by ${mm(stroke.value)}` : ''} under the hand`),
  ];
  return `Where it pinches: ${places.length > 0 ? listed(places) : 'what turns comes near what stands'}.`;
}
