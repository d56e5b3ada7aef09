import type { Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { type LargePart, sideBySide } from '../reckon/parts/bed.ts';
import { at, type Check, fix, grouped, list, millimetres, placeKey, roundDown, setting } from './check.ts';
import { lampBoard } from './examples.ts';

const long = (bed: string) =>
  lampBoard({
    left: 'segment «left» { azimuth 180 deg   bar 4 mm by 240 mm at -40 mm, 0 mm }',
    more: 'made with printer',
  }).concat(`\nprocess printer { ${bed} }\n`);

export const largePart: Check = {
  code: 'large-part',
  severity: 'warning',
  title: 'A part larger than the bed it is built on',
  means:
    'The parts are laid on as many beds as they take. This one has room on none, however it is turned: it cannot be printed in ' +
    'one piece by the process that it is made with. Where the process does not say how large its bed is, a common size is ' +
    'taken, and this is no more than information.',
  reckoned:
    'The box round the part’s outline against the process’s `bed`: as it is, turned by a quarter, and at every half of a ' +
    'degree of half a turn.',
  source: 'Derived here; 220 mm by 220 mm where the process does not say: common practice.',
  worked:
    'A bar 240 mm long and 4 mm wide lies askew on a bed of 220 mm by 220 mm: at 45° it takes (240 + 4)/√2 = 172.5 mm each ' +
    'way. On one of 160 mm by 160 mm it has no room at any angle.',
  remedy: 'A smaller part (a narrower margin of the frame, a shorter bar), or a process whose bed is larger.',
  late: true,
  examples: [
    { title: 'A bar longer than the bed is askew', text: long('bed 160 mm by 160 mm') },
    { title: 'A bar that lies askew', text: long('bed 220 mm by 220 mm').replace('«left»', 'left') },
  ],
  find(m, f) {
    return grouped(f.large ?? [], ({ place }) => placeKey(place)).map((same) => {
      const [{ bed, process, size, place }] = same;
      const names = same.map(({ part }) => part);
      const stated = bed.by === 'stated';
      const most = {
        width: Math.max(...same.map((one) => one.size.width)),
        depth: Math.max(...same.map((one) => one.size.depth)),
      };
      const would = sideBySide(most, Math.ceil);
      const margin = marginFor(m, f, same);
      const says = stated ? '' : `, which is taken as usual; say the \`bed\` of yours`;
      return {
        severity: stated ? ('warning' as const) : ('information' as const),
        message: `${list(names)} ${names.length === 1 ? 'takes' : 'take'} ${would} mm, more than the bed of ${process}, ${sideBySide(bed.value)} mm${says}: one of ${would} mm would do${margin === undefined ? '' : `, or margin ${margin}`}`,
        place,
        about: [...ownerOf(m, same[0]), ...names],
        figures: { ...size, bedWidth: bed.value.width, bedDepth: bed.value.depth },
        fixes: margin === undefined ? [] : [fix(`Give the frame margin ${margin}`, setting('frame', 'margin', margin))],
        related: stated && bed.place.file === m.place.file ? [at(bed.place, `the bed of ${process}`)] : [],
      };
    });
  },
};

/** The frame, of which plates are parts that the text does not name. */
const ownerOf = ({ frame }: Mechanism, { place }: LargePart): string[] =>
  frame && placeKey(frame.place) === placeKey(place) ? ['frame'] : [];

/** The greatest margin of the frame, in half millimetres, with which its plates have room; undefined where none does. */
function marginFor(m: Mechanism, f: Figures, same: readonly LargePart[]): string | undefined {
  if (!m.frame || !f.frame || ownerOf(m, same[0]).length === 0) return undefined;
  const { width, depth } = same[0].bed.value;
  const beyond = ({ size }: LargePart) =>
    Math.min(Math.max(size.width - width, size.depth - depth), Math.max(size.width - depth, size.depth - width));
  const margin = roundDown(m.frame.margin.value - Math.max(...same.map(beyond)) / 2, 0.5);
  return margin >= 0 ? millimetres(margin) : undefined;
}
