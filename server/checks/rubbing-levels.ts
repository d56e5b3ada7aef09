import type { Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { flangeRadius } from '../reckon/shape/bodies.ts';
import type { StackedPart } from '../reckon/shape/stack.ts';
import { at, type Check, fix, millimetres, named } from './check.ts';
import { inWords, placeOfReach, settingFlange, smallerFlange } from './clashes.ts';
import { gearedBoard } from './examples.ts';

/** Nearer along the shafts by less, mm, is as near. */
const almost = 1e-6;

const lower = (flange: string) => `cam camR on lower level 1 drives right { base «25 mm»${flange} }`;

export const rubbingLevels: Check = {
  code: 'rubbing-levels',
  severity: 'information',
  title: 'Parts of two shafts that lie on each other along the shafts',
  means:
    'What is stacked on one shaft turns together and may lie on each other. Levels go across all shafts without a gap, so that a ' +
    'flange, a cam or a gear of one shaft lies on what another shaft has at the next level wherever the two cover each other, ' +
    'seen from the front: they turn apart, and rub over their whole faces.',
  reckoned:
    'Depths from the stack, and the greatest radii of cams, flanges and gears against the distance of their shafts. The clearance of the ' +
    'process has to be between them along the shafts, or beside each other.',
  source: 'Derived here; the clearance is the process’s.',
  worked:
    'A flange of 29.5 mm and, at the next level of a shaft 60 mm away, a gear whose tips reach 31 mm: they cover each other by 0.5 mm.',
  remedy:
    'A smaller flange, or none (`flange 0 mm`) where something else of the shaft lies behind the cam; another order of levels, so that ' +
    'a spacer comes between; shafts farther apart.',
  last: true,
  notBeside: ['neighbour-clash', 'level-clash', 'coincident-shafts', 'centre-distance', 'large-nose'],
  examples: [
    { title: 'A flange that reaches over the next shaft’s gear', text: gearedBoard({ camR: lower('') }) },
    {
      title: 'A flange that ends before it',
      text: gearedBoard({ camR: lower('   flange 1.2 mm to radius 28.5 mm').replace(/[«»]/g, '') }),
    },
  ],
  find(m, f) {
    const clearance = m.process.clearance.value;
    const parts = f.stack.parts.flatMap((part) => {
      const radius = radiusOf(m, f, part);
      const where = named(m.shafts, part.shaft)?.at?.value;
      return radius !== undefined && where ? [{ part, radius, where }] : [];
    });
    return parts.flatMap((one, i) =>
      parts.slice(i + 1).flatMap((other) => {
        if (one.part.shaft === other.part.shaft) return [];
        const along = Math.max(one.part.from - other.part.to, other.part.from - one.part.to);
        if (along < -almost || along >= clearance - almost) return [];
        const apart = Math.hypot(one.where.x - other.where.x, one.where.y - other.where.y);
        const cover = one.radius + other.radius - apart;
        if (cover <= almost) return [];
        const both = [one.part, other.part].map(meeting);
        const flanged = [one, other].flatMap(({ part }) => {
          const cam = part.kind === 'flange' ? named(m.cams, part.name) : undefined;
          const radius = cam && smallerFlange(m, cam, cover + clearance);
          return cam && radius ? [{ cam, radius }] : [];
        });
        const [first, second] = both;
        const near = along > almost ? `pass each other ${millimetres(along, 2)} apart` : 'lie on each other';
        const would = flanged.map(({ cam, radius }) => `; a flange of ${cam.name} of ${radius} would do`)[0] ?? '';
        return [
          {
            message: `${inWords(first)} and ${inWords(second)} ${near} along the shafts, where they cover each other by ${millimetres(cover, 2)}${would}`,
            place: placeOfReach(m, both.find(({ kind }) => kind === 'flange') ?? first),
            about: both.map(({ name }) => name),
            figures: { along, cover },
            related: both.map((each) => at(placeOfReach(m, each), inWords(each))),
            fixes: flanged.map(({ cam, radius }) =>
              fix(`Make the flange of ${cam.name} ${radius} in radius`, settingFlange(cam, radius)),
            ),
          },
        ];
      }),
    );
  },
};

const meeting = ({ kind, name, shaft }: StackedPart) => ({ kind: kind as 'cam' | 'flange' | 'gear', name, shaft });

/** The greatest radius of what turns there; of shafts and spacers none is told. */
function radiusOf(m: Mechanism, f: Figures, { kind, name }: StackedPart): number | undefined {
  if (kind === 'flange') return flangeRadius(m, name);
  if (kind === 'gear') return f.gears.find((gear) => gear.name === name)?.tipRadius;
  if (kind !== 'cam') return undefined;
  const base = named(m.cams, name)?.base?.value;
  const lift = f.cams.find((cam) => cam.name === name)?.lift;
  if (base === undefined || !lift || lift.relative) return undefined;
  return base + (lift.always || lift.lobes.length > 0 ? lift.stroke : 0);
}
