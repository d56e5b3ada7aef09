import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { camCsv } from '../../../../server/outputs/parts/csv.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { example, mechanismsIn } from '../../../designs.ts';

interface Row {
  readonly angle: number;
  readonly lift: number;
  readonly x: number;
  readonly y: number;
  readonly pressure: number;
}

function rowsOf(m: Mechanism, cam: string): Row[] {
  const csv = camCsv(m, reckon(m), cam);
  if (typeof csv !== 'string') throw new Error(csv.because);
  const records = parse(csv, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
  return records.map((record) => ({
    angle: Number(record['cam angle (deg)']),
    lift: Number(record['lift (mm)']),
    x: Number(record['x (mm)']),
    y: Number(record['y (mm)']),
    pressure: Number(record['pressure angle (deg)']),
  }));
}

/** One cam with two lobes under a follower of the kind that is asked for. */
const board = (follower: string, offset = 0): Mechanism =>
  mechanismsIn(`mechanism Board {
  made with filament
  shaft axle { at 0 mm, 0 mm   turns counterclockwise   bearing 8 mm }
  segment flag { azimuth 0 deg   offset ${offset} mm   stroke 4 mm   ${follower} }
  cam lifter on axle level 1 drives flag {
    base 20 mm   law cycloidal   lobe 40 deg to 70 deg flank 40 deg   lobe 200 deg to 260 deg flank 50 deg
  }
}
`)[0];

const rad = (degrees: number): number => (degrees * Math.PI) / 180;

describe('a cam as CSV', () => {
  it('has a row each half degree, under a heading with units', () => {
    const [berth] = example('berth-sign');
    const csv = camCsv(berth, reckon(berth), 'camE');
    expect(csv).toMatch(/^cam angle \(deg\),lift \(mm\),x \(mm\),y \(mm\),pressure angle \(deg\)\r\n0,/);
    const rows = rowsOf(berth, 'camE');
    expect(rows.map(({ angle }) => angle)).toEqual(Array.from({ length: 720 }, (_, i) => i / 2));
    expect(Math.max(...rows.map(({ lift }) => lift))).toBeCloseTo(3.5, 6);
    expect(Math.min(...rows.map(({ lift }) => lift))).toBeCloseTo(0, 6);
  });

  it('has the contacts of a round nose, which enters the profile nowhere', () => {
    // Base 20 and nose 3: the nose's centre stands √(23² − e²) + lift along the slide, e to its left.
    for (const offset of [0, 4]) {
      const rows = rowsOf(board('nose 3 mm', offset), 'lifter');
      const centres = rows.map(({ angle, lift }) => {
        const [c, s] = [Math.cos(rad(angle)), Math.sin(rad(angle))];
        const along = Math.sqrt(23 ** 2 - offset ** 2) + lift;
        return { x: along * c - offset * s, y: along * s + offset * c };
      });
      for (const [i, { x, y, angle, pressure }] of rows.entries()) {
        const { x: cx, y: cy } = centres[i];
        expect(Math.hypot(cx - x, cy - y)).toBeCloseTo(3, 5);
        expect(Math.min(...centres.map((centre) => Math.hypot(centre.x - x, centre.y - y)))).toBeGreaterThan(3 - 1e-5);
        // The pressure angle: from the slide to the line of contact.
        const line = Math.atan2(cy - y, cx - x);
        expect(Math.sin(rad(angle) - line)).toBeCloseTo(Math.sin(rad(pressure)), 6);
      }
    }
  });

  it('has the contacts of a flat face, under which no point of the profile rises above it', () => {
    const rows = rowsOf(board('follower flat   stem 30 mm'), 'lifter');
    for (const { angle, lift, pressure } of rows) {
      const [c, s] = [Math.cos(rad(angle)), Math.sin(rad(angle))];
      const heights = rows.map(({ x, y }) => x * c + y * s);
      expect(Math.max(...heights)).toBeCloseTo(20 + lift, 4);
      expect(pressure).toBe(0);
    }
  });

  it('says why where there is no profile', () => {
    const bare = board('');
    expect(camCsv(bare, reckon(bare), 'lifter')).toEqual({ because: 'flag does not say its nose' });
  });

  it('is the same to the byte each time', () => {
    const m = board('nose 3 mm');
    expect(camCsv(m, reckon(m), 'lifter')).toBe(camCsv(m, reckon(m), 'lifter'));
  });
});
