import DxfParser, { type ICircleEntity, type IDxf, type ILwpolylineEntity } from 'dxf-parser';
import { describe, expect, it } from 'vitest';
import { dxfOf } from '../../../../server/outputs/parts/dxf.ts';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { areaOf, circle, region } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { barOnStem, camOnFlange, keyedDisc, part, prism } from './made.ts';

const read = (text: string): IDxf => new DxfParser().parseSync(text)!;
const drawn = async (made: PrintedPart): Promise<IDxf> => read(await dxfOf(made));

const isPolyline = (entity: { type: string }): entity is ILwpolylineEntity => entity.type === 'LWPOLYLINE';
const isCircle = (entity: { type: string }): entity is ICircleEntity => entity.type === 'CIRCLE';

/**
 * Inside a closed polyline, counter-clockwise positive: its chords' polygon and the segments on them. A bulge is the
 * tangent of a quarter of the arc's angle (DXF reference, group 42).
 */
function areaInside({ vertices }: ILwpolylineEntity): number {
  return vertices.reduce((sum, { x, y, bulge }, i) => {
    const next = vertices[(i + 1) % vertices.length];
    const angle = 4 * Math.atan(bulge ?? 0);
    const chord = Math.hypot(next.x - x, next.y - y);
    const radius = angle === 0 ? 0 : chord / (2 * Math.sin(angle / 2));
    return sum + (x * next.y - next.x * y) / 2 + (radius * radius * (angle - Math.sin(angle))) / 2;
  }, 0);
}

/** Area on every layer; a circle in another outline of its layer is a hole. */
function areasOf({ entities }: IDxf): Record<string, number> {
  const areas: Record<string, number> = {};
  for (const entity of entities) {
    const first = !(entity.layer in areas);
    const area = isPolyline(entity) ? areaInside(entity) : isCircle(entity) ? Math.PI * entity.radius ** 2 : NaN;
    areas[entity.layer] = (areas[entity.layer] ?? 0) + (isCircle(entity) && !first ? -area : area);
  }
  return areas;
}

describe('a DXF of outlines', () => {
  it('has closed outlines with the area of each slab on a layer of its own', async () => {
    const [berth] = example('berth-sign');
    for (const made of [keyedDisc, camOnFlange, barOnStem, ...partsOf(berth, reckon(berth)).parts]) {
      const dxf = await drawn(made);
      const slabs = [...slabsOf(made.prisms), ...slabsOf(made.engraved)];
      const areas = Object.values(areasOf(dxf));
      expect(areas).toHaveLength(slabs.length);
      for (const [i, area] of areas.entries())
        expect(Math.abs(area / areaOf(slabs[i].regions) - 1), `${made.name} ${i}`).toBeLessThan(1e-6);
      for (const entity of dxf.entities) if (isPolyline(entity)) expect(entity.shape).toBe(true);
    }
  });

  it('has arcs as bulges and circles as circles', async () => {
    const { entities, tables } = await drawn(camOnFlange);
    expect(Object.keys(tables.layer.layers)).toEqual([
      '0',
      'cam z 0 to 2 mm',
      'cam z 2 to 6 mm',
      'engraved z 5.6 to 6 mm',
    ]);
    const told = entities.map((entity) =>
      isPolyline(entity) ? entity.vertices.filter(({ bulge }) => bulge).length : (entity as ICircleEntity).radius,
    );
    // The flange's rim is a circle; the bore has two arcs and a flat, the cam's rim three arcs and two tangents.
    expect(told).toEqual([25, 2, 3, 2, 0]);
  });

  it('is in millimetres, at its place', async () => {
    const { header, entities } = await drawn(part('two', 'spacer', [prism(0, 1, region(circle(3, { x: 10, y: -4 })))]));
    expect(header).toMatchObject({ $INSUNITS: 4, $MEASUREMENT: 1, $ACADVER: 'AC1021' });
    expect(header.$EXTMIN).toMatchObject({ x: 7, y: -7 });
    expect(header.$EXTMAX).toMatchObject({ x: 13, y: -1 });
    expect(entities[0]).toMatchObject({ center: { x: 10, y: -4 }, radius: 3 });
  });

  it('is written in plain numbers and lines, whatever the name', async () => {
    const name = 'a"\n0\nEOF\r\n<b>;?*|=` é Ж 🜚\u2028';
    const text = await dxfOf({ ...camOnFlange, name });
    const { header, entities } = read(text);
    expect(header.$PROJECTNAME).toBe('a" 0 EOF  <b>;?*|=` é Ж 🜚');
    expect(entities).toHaveLength(5);
    const lines = text.trimEnd().split('\n');
    expect(lines.length % 2).toBe(0);
    for (let i = 0; i < lines.length; i += 2) {
      expect(lines[i]).toMatch(/^\d+$/);
      if (/^(1[0-9]|2[0-9]|3[0-9]|4[0-9]|210|220|230)$/.test(lines[i])) expect(lines[i + 1]).toMatch(/^-?\d+(\.\d+)?$/);
    }
  });

  it('is the same to the byte each time, and names no one', async () => {
    expect(await dxfOf(camOnFlange)).toBe(await dxfOf(camOnFlange));
    expect((await drawn(camOnFlange)).header.$LASTSAVEDBY).toBe('Lobewright');
  });
});
