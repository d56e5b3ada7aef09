import { readdirSync } from 'node:fs';
import DxfParser from 'dxf-parser';
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { threeMfOf } from '../../../../server/outputs/parts/3mf.ts';
import { laidOut } from '../../../../server/outputs/parts/beds.ts';
import { camCsv } from '../../../../server/outputs/parts/csv.ts';
import { dxfOf } from '../../../../server/outputs/parts/dxf.ts';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { partSurface } from '../../../../server/outputs/parts/shells.ts';
import { stepOf } from '../../../../server/outputs/parts/step.ts';
import { svgOf } from '../../../../server/outputs/parts/svg.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { partsOf, processesOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { offences, readModel, unpacked } from './3mf-reader.ts';
import { volumeInside, volumeOf } from './drawn.ts';
import { checked } from './surface-check.ts';

const names = readdirSync(new URL('../../../../examples/', import.meta.url))
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => name.replace('.lobe', ''));
const mechanisms: readonly (readonly [string, Mechanism])[] = names.flatMap((name) =>
  example(name).map((m) => [`${name} ${m.name}`, m] as const),
);

describe.each(mechanisms)('the parts of %s', (_, m) => {
  const figures = reckon(m);
  const { parts } = partsOf(m, figures);

  it('are one solid each, with what their prisms hold, in STEP', () => {
    expect(parts.length).toBeGreaterThan(3);
    for (const part of parts) {
      const surface = partSurface(part);
      expect(surface.solids, part.name).toHaveLength(1);
      expect(volumeInside(surface), part.name).toBeCloseTo(volumeOf(slabsOf(part.prisms, part.engraved)), 4);
      const file = stepOf(part);
      expect(file.match(/MANIFOLD_SOLID_BREP/g), part.name).toHaveLength(1);
      expect(file).not.toMatch(/NaN|Infinity|undefined/);
    }
  });

  it('are in lawful 3MF files, one a bed, closed, as many as are built in', async () => {
    const built: string[] = [];
    for (const { laid } of laidOut(parts, processesOf(m))) {
      const bytes = threeMfOf(laid, meshOf, m.about);
      const model = (await unpacked(bytes)).get('3D/3dmodel.model')!.text;
      expect(await offences(model)).toEqual([]);
      const { objects, items } = readModel(model);
      built.push(...items.map(({ object }) => object.name));
      for (const { name, triangles, vertices } of objects)
        expect(checked(triangles.map((corners) => corners.map((i) => vertices[i]))).openEdges, name).toBe(0);
    }
    const wanted = parts.flatMap(({ name, seats }) => seats.map(() => name));
    expect(built.sort()).toEqual(wanted.sort());
  });

  it('have outlines in DXF and SVG, and their cams rows in CSV', async () => {
    for (const part of parts) {
      expect(new DxfParser().parseSync(await dxfOf(part))!.entities.length, part.name).toBeGreaterThan(0);
      expect(svgOf(part), part.name).not.toMatch(/NaN|Infinity|undefined/);
    }
    for (const { name, kind } of parts)
      if (kind === 'cam') expect(String(camCsv(m, figures, name)).split('\r\n'), name).toHaveLength(722);
  });
});
