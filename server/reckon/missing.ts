/** What a half-written mechanism lacks: which figure is not reckoned, and which property would allow it. */
import { isUnclear, type Mechanism, type Part, type UsedDefault } from '../../language/mechanism.ts';
import type { MissingFigure } from './figures.ts';

/** What reckoning has to tell beside its figures. */
export interface Told {
  readonly defaults: UsedDefault[];
  readonly missing: MissingFigure[];
}

/** What each list tells already: a long text may lack very much. */
const wanted = new WeakMap<MissingFigure[], Set<string>>();

function wantedBy(missing: MissingFigure[]): Set<string> {
  const known = wanted.get(missing) ?? new Set(missing.map(({ wants }) => wants));
  wanted.set(missing, known);
  return known;
}

/** Says once that `figure` wants a property, unless the text says that property in a way not understood. */
export function want({ missing }: Told, of: Part | Mechanism, figure: string, property: string): void {
  if (isUnclear(of, property)) return;
  const wants = 'kind' in of ? `${of.name}.${property}` : property;
  const already = wantedBy(missing);
  if (already.has(wants)) return;
  already.add(wants);
  missing.push({ figure, wants, place: of.place });
}

/** What the centre distances and the train want. */
export function wantForMeshes(m: Mechanism, told: Told): void {
  for (const mesh of m.meshes) {
    for (const reference of mesh.gears) {
      const gear = m.gears.find((one) => one.name === reference.name);
      if (!gear) continue;
      if (!gear.teeth) want(told, gear, 'gear train', 'teeth');
      if (!gear.module) want(told, gear, 'centre distance', 'module');
      const shaft = m.shafts.find((one) => one.name === gear.shaft?.name);
      if (!gear.shaft) want(told, gear, 'gear train', 'on');
      else if (shaft && !shaft.at) want(told, shaft, 'centre distance', 'at');
    }
  }
}
