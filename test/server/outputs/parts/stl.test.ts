import { describe, expect, it } from 'vitest';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { stlOf } from '../../../../server/outputs/parts/stl.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { volumeOf } from './drawn.ts';
import { barOnStem, camOnFlange, keyedDisc } from './made.ts';
import { checked } from './surface-check.ts';

const stl = (part: PrintedPart): Buffer => Buffer.from(stlOf(part, meshOf(part)));

/** Binary STL as it was first published for stereolithography: heading, count, then 50 bytes a triangle. */
function read(file: Buffer) {
  const count = file.readUInt32LE(80);
  expect(file.length).toBe(84 + 50 * count);
  return Array.from({ length: count }, (_, i) => {
    const rows = Array.from({ length: 4 }, (_, row) =>
      Array.from({ length: 3 }, (_, k) => file.readFloatLE(84 + 50 * i + 12 * row + 4 * k)),
    );
    expect(file.readUInt16LE(84 + 50 * i + 48)).toBe(0);
    return { normal: rows[0], corners: rows.slice(1) };
  });
}

describe('a binary STL file', () => {
  it('encloses each part of a numeral, with the volume of its prisms', () => {
    const [berth] = example('berth-sign');
    for (const part of [keyedDisc, camOnFlange, barOnStem, ...partsOf(berth, reckon(berth)).parts]) {
      const { openEdges, volume } = checked(read(stl(part)).map(({ corners }) => corners));
      expect(openEdges, part.name).toBe(0);
      expect(Math.abs(volume / volumeOf(slabsOf(part.prisms, part.engraved)) - 1), part.name).toBeLessThan(3e-3);
    }
  });

  it('has normals that point outside', () => {
    for (const { normal, corners } of read(stl(camOnFlange))) {
      const [a, b, c] = corners;
      const [u, v] = [b, c].map((to) => to.map((at, k) => at - a[k]));
      const across = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
      expect(Math.hypot(...normal)).toBeCloseTo(1, 5);
      expect(across[0] * normal[0] + across[1] * normal[1] + across[2] * normal[2]).toBeGreaterThan(0);
    }
  });

  it('lies on its bed side: the bar with its front down', () => {
    const { box } = checked(read(stl(barOnStem)).map(({ corners }) => corners));
    // In its own frame y runs from −35 to 6.
    expect(box).toEqual([-15, -6, 0, 15, 35, 8]);
    const disc = checked(read(stl(keyedDisc)).map(({ corners }) => corners)).box;
    // Chords lie within 10 µm of the arcs.
    for (const [i, at] of [-12, -12, 0, 12, 12, 4].entries()) expect(Math.abs(disc[i] - at)).toBeLessThan(0.01001);
  });

  it('is the same each time, and never looks like the text form, whatever the name', () => {
    expect(stl(camOnFlange).equals(stl(camOnFlange))).toBe(true);
    const file = stl({ ...keyedDisc, name: 'solid é\n🜚 '.repeat(20) });
    expect(file.subarray(0, 5).toString('latin1')).not.toBe('solid');
    expect(file.subarray(0, 80).toString('latin1')).toMatch(/^Lobewright, mm: [\x20-\x7e]{64}$/);
    expect(read(file).length).toBeGreaterThan(0);
  });
});
