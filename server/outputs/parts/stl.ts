/** One part as a binary STL file, mm, its bed side down on z = 0 and otherwise in its own frame. */
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { extentOf, type Mesh } from './mesh.ts';

/** 80 bytes of heading, the number of triangles, and 50 bytes for each: normal, three corners, two bytes of nothing. */
export function stlOf({ name, bed }: PrintedPart, { corners, triangles }: Mesh): Uint8Array {
  const count = triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * count);
  // A heading that began with "solid" would pass for the text form.
  const heading = `Lobewright, mm: ${name}`.replace(/[^\x20-\x7e]/g, '?').slice(0, 80);
  bytes.set(new TextEncoder().encode(heading.padEnd(80)));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);

  const over = bed === 'front' ? -1 : 1;
  const { least, most } = extentOf({ corners, triangles });
  const rise = bed === 'front' ? most[2] : -least[2];
  const corner = (i: number): [number, number, number] => [
    corners[3 * i],
    over * corners[3 * i + 1],
    over * corners[3 * i + 2] + rise,
  ];
  for (let i = 0; i < count; i++) {
    const [a, b, c] = [0, 1, 2].map((k) => corner(triangles[3 * i + k]));
    for (const [row, point] of [normalOf(a, b, c), a, b, c].entries())
      for (const [column, value] of point.entries())
        view.setFloat32(84 + 50 * i + 12 * row + 4 * column, value + 0, true);
  }
  return bytes;
}

function normalOf(a: readonly number[], b: readonly number[], c: readonly number[]): number[] {
  const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const [vx, vy, vz] = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  const across = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const length = Math.hypot(...across);
  return length > 0 ? across.map((one) => one / length) : [0, 0, 0];
}
