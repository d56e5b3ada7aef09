import type { Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { at, type Check, type Found, fix, millimetres, named, type Told } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape, meshesOf, movesTo, outward } from './meshes.ts';

/** Centres are written with few decimals, and printed with fewer. */
const tolerance = 0.01;

export const centreDistance: Check = {
  code: 'centre-distance',
  severity: 'error',
  title: 'Shafts that are not as far apart as their gears need',
  means:
    'Closer than the teeth allow, they bind; further apart, they have more play and at last miss each other. An error ' +
    'where they bind or hardly reach each other (half a module too wide), otherwise a warning.',
  reckoned:
    'a = m·(z₁ + z₂)/2; with profile shift a = m·(z₁ + z₂)/2 · cos α/cos α_w, inv α_w = inv α + 2·tan α·(x₁ + x₂)/(z₁ + z₂). ' +
    'Within 0.01 mm.',
  source: 'ISO 21771; basic rack ISO 53.',
  worked: 'Module 1 mm with 70 and 70 teeth: 70 mm. Shafts 71 mm apart leave 0.73 mm more backlash.',
  remedy: 'Move one of the shafts, or choose teeth whose sum suits the distance: z₁ + z₂ = 2a/m.',
  notBeside: ['coincident-shafts', 'shaft-drift', 'unlike-gears', 'locked-train'],
  examples: [
    {
      title: 'A millimetre too far',
      text: gearedBoard({ lower: 'shaft lower { at «0 mm, -31 mm»   turns counterclockwise }' }),
    },
    { title: 'Just right', text: gearedBoard() },
  ],
  find(m, f, told) {
    return apartWrong(m, f, told);
  },
};

function apartWrong(m: Mechanism, f: Figures, told: Told): Found[] {
  return meshesOf(m, f).flatMap((whole) => {
    const { figure, mesh, ends } = whole;
    const [first, second] = outward(whole, f);
    const excess = figure.centreDistance - figure.idealCentreDistance;
    const module = first.gear.module?.value ?? 0;
    if (!ends.every(({ gear }) => isClearOfShape(gear))) return [];
    if (Math.abs(excess) <= tolerance || told(...ends.map(({ gear }) => gear.name))) return [];
    const shaft = named(m.shafts, second.gear.shaft?.name);
    if (!shaft?.at) return [];
    const binds = figure.backlash === 0;
    return [
      {
        severity: binds || excess > module / 2 ? 'error' : 'warning',
        message: `${first.gear.name} and ${second.gear.name} stand ${millimetres(figure.centreDistance, 2)} apart, and their teeth need ${millimetres(
          figure.idealCentreDistance,
          2,
        )}: ${millimetres(Math.abs(excess), 2)} too ${excess > 0 ? 'wide' : 'close'}`,
        place: shaft.at.place,
        about: [second.gear.name, first.gear.name, mesh.name, shaft.name],
        figures: { centreDistance: figure.centreDistance, ideal: figure.idealCentreDistance },
        related: [
          ...m.shafts
            .filter(({ name }) => name === first.gear.shaft?.name)
            .flatMap((other) => (other.at ? [at(other.at.place, `shaft ${other.name}`)] : [])),
          ...ends.flatMap(({ gear }) => (gear.teeth ? [at(gear.teeth.place, `the teeth of ${gear.name}`)] : [])),
        ],
        fixes: movesTo(m, f, whole, figure.idealCentreDistance).map(({ words, change }) =>
          fix(`Move ${words}`, change),
        ),
      } as const,
    ];
  });
}
