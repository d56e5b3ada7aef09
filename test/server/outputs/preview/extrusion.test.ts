import { describe, expect, it } from 'vitest';
import { extrusionOf, type Surface } from '../../../../server/outputs/preview/extrusion.ts';
import { packed, unpacked } from '../../../../server/outputs/preview/packing.ts';
import { areaOf, circle, polygon, region } from '../../../../server/reckon/parts/loop.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { reckonedExample } from '../chart/designs.ts';
import { camOnFlange, prism, rectangle } from '../parts/made.ts';

/** Volume inside a closed surface by the divergence theorem, mm³; negative where it is turned inside out. */
function volumeIn({ corners, triangles }: Surface): number {
  let six = 0;
  const at = (i: number) => [corners[3 * i], corners[3 * i + 1], corners[3 * i + 2]];
  for (let i = 0; i < triangles.length; i += 3) {
    const [[ax, ay, az], [bx, by, bz], [cx, cy, cz]] = [0, 1, 2].map((k) => at(triangles[i + k]));
    six += ax * (by * cz - bz * cy) - ay * (bx * cz - bz * cx) + az * (bx * cy - by * cx);
  }
  return six / 6;
}

/** The greatest angle, rad, between a triangle and the directions that its corners say they face. */
function worstFacing({ corners, normals, triangles }: Surface): number {
  let worst = 0;
  const at = (i: number) => [corners[3 * i], corners[3 * i + 1], corners[3 * i + 2]];
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => at(triangles[i + k]));
    const [u, v] = [b.map((value, k) => value - a[k]), c.map((value, k) => value - a[k])];
    const square = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const long = Math.hypot(...square);
    // In single precision a sliver faces anywhere.
    if (long < 1e-3) continue;
    for (let k = 0; k < 3; k++) {
      const normal = [0, 1, 2].map((axis) => normals[3 * triangles[i + k] + axis] / 127);
      const cosine = normal.reduce((sum, value, axis) => sum + value * square[axis], 0) / long / Math.hypot(...normal);
      worst = Math.max(worst, Math.acos(Math.min(1, cosine)));
    }
  }
  return worst;
}

describe('an extrusion', () => {
  it('holds what its prisms hold, and faces outwards', () => {
    for (const { prisms, engraved, name } of partsOf(...designed('berth-sign')).parts) {
      const { body } = extrusionOf({ prisms, engraved });
      const volume = prisms.reduce((sum, { from, to, regions }) => sum + areaOf(regions) * (to - from), 0);
      expect(Math.abs(volumeIn(body) / volume - 1), name).toBeLessThan(3e-3);
      // 12.5° to a chord beside: what is called smooth, halved.
      expect(worstFacing(body), name).toBeLessThan((13 * Math.PI) / 180);
    }
  });

  it('has the lines of a box, and none where a wall runs on from slab to slab', () => {
    const whole = region(rectangle(10, 6));
    expect(extrusionOf({ prisms: [prism(0, 4, whole)], engraved: [] }).lines).toHaveLength(6 * 12);
    const two = extrusionOf({ prisms: [prism(0, 2, whole), prism(2, 4, whole)], engraved: [] });
    // Its four edges up are in two pieces.
    expect(two.lines).toHaveLength(6 * (8 + 8));
    expect([...two.lines].filter((value, i) => i % 3 === 2 && value === 2)).toHaveLength(8);
  });

  it('has no line along a smooth curve', () => {
    const { lines, body } = extrusionOf({ prisms: [prism(0, 4, region(circle(12), circle(4)))], engraved: [] });
    for (let i = 0; i < lines.length; i += 6) expect(lines[i + 2]).toBe(lines[i + 5]);
    expect(volumeIn(body)).toBeCloseTo(Math.PI * (144 - 16) * 4, -1);
  });

  it('keeps holes open, whichever way they are cut up', () => {
    const frame = region(rectangle(40, 40), rectangle(10, 10, -8, 0), circle(6, { x: 10, y: 2 }));
    const { body } = extrusionOf({ prisms: [prism(0, 1, frame)], engraved: [] });
    expect(volumeIn(body)).toBeCloseTo(1600 - 100 - Math.PI * 36, -0.5);
  });

  it('lays what is engraved on the faces', () => {
    const { engraved } = extrusionOf(camOnFlange);
    const levels = new Set([...engraved.corners].filter((_, i) => i % 3 === 2).map((z) => Math.round(10 * z) / 10));
    expect([...levels].sort()).toEqual([5.6, 6]);
  });

  it('bears what is no outline', () => {
    const flat = polygon([
      { x: 0, y: 0 },
      { x: 1, y: 0 },
    ]);
    const { body } = extrusionOf({ prisms: [prism(0, 1, region(flat))], engraved: [] });
    expect(volumeIn(body)).toBe(0);
    expect([...body.corners, ...body.normals].every(Number.isFinite)).toBe(true);
  });
});

it('shapes come out of the text as they went in', () => {
  const made = extrusionOf(camOnFlange);
  const { body, lines } = packed(made);
  expect(new Float32Array(unpacked(body.corners))).toEqual(made.body.corners);
  expect(new Int8Array(unpacked(body.normals))).toEqual(made.body.normals);
  expect(new Uint32Array(unpacked(body.triangles))).toEqual(made.body.triangles);
  expect(new Float32Array(unpacked(lines))).toEqual(made.lines);
  // More bytes than a call takes arguments.
  const long = Float32Array.from({ length: 300_000 }, (_, i) => i / 7);
  expect(new Float32Array(unpacked(packed({ long }).long))).toEqual(long);
});

function designed(name: string): Parameters<typeof partsOf> {
  const { mechanism, figures } = reckonedExample(name);
  return [mechanism, figures, figures.stack];
}
