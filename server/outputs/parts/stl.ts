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
  const laid = new Float64Array(corners.length);
  for (let i = 0; i < corners.length; i += 3) {
    laid[i] = corners[i];
    laid[i + 1] = over * corners[i + 1];
    laid[i + 2] = over * corners[i + 2] + rise;
  }
  let at = 84;
  const put = (x: number, y: number, z: number) => {
    // Without a negative zero.
    view.setFloat32(at, x + 0, true);
    view.setFloat32(at + 4, y + 0, true);
    view.setFloat32(at + 8, z + 0, true);
    at += 12;
  };
  for (let i = 0; i < triangles.length; i += 3) {
    const a = 3 * triangles[i];
    const b = 3 * triangles[i + 1];
    const c = 3 * triangles[i + 2];
    const ux = laid[b] - laid[a];
    const uy = laid[b + 1] - laid[a + 1];
    const uz = laid[b + 2] - laid[a + 2];
    const vx = laid[c] - laid[a];
    const vy = laid[c + 1] - laid[a + 1];
    const vz = laid[c + 2] - laid[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const length = Math.sqrt(nx * nx + ny * ny + nz * nz) || 1;
    put(nx / length, ny / length, nz / length);
    put(laid[a], laid[a + 1], laid[a + 2]);
    put(laid[b], laid[b + 1], laid[b + 2]);
    put(laid[c], laid[c + 1], laid[c + 2]);
    at += 2;
  }
  return bytes;
}
