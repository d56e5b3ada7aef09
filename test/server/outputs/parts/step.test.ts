import { describe, expect, it } from 'vitest';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { stepOf } from '../../../../server/outputs/parts/step.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { boxOf, circle, region } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { volumeOf } from './drawn.ts';
import { barOnStem, camOnFlange, keyedDisc, part, prism, rectangle } from './made.ts';
import { readStep } from './step-reader.ts';

/** What a part's prisms say of it. */
function wanted({ prisms, engraved }: PrintedPart) {
  const slabs = slabsOf(prisms, engraved);
  const { left, right, bottom, top } = boxOf(slabs.flatMap(({ regions }) => regions.map(({ outer }) => outer)));
  return { volume: volumeOf(slabs), box: [left, bottom, slabs[0].from, right, top, slabs.at(-1)!.to] };
}

async function expectSame(made: PrintedPart, solids = 1): Promise<void> {
  const read = await readStep(stepOf(made));
  const { volume, box } = wanted(made);
  expect(read, made.name).toMatchObject({ valid: true, solids });
  expect(Math.abs(read.volume / volume - 1), made.name).toBeLessThan(1e-7);
  for (const [i, at] of box.entries()) expect(read.box[i], made.name).toBeCloseTo(at, 4);
}

const berth = example('berth-sign')[0];
const { parts } = partsOf(berth, reckon(berth));

describe('a STEP file', () => {
  it('holds one valid solid with the volume of the prisms, as a geometry kernel reads it', async () => {
    for (const made of [keyedDisc, camOnFlange, barOnStem]) await expectSame(made);
  }, 180_000);

  it('has true arcs: cylinders and planes, none of them cut into facets', async () => {
    const read = await readStep(stepOf(keyedDisc));
    // Rim and bore have two arcs each.
    expect(read.surfaces).toEqual({ plane: 3, cylinder: 4 });
    // 2 · (π·12² − dee) + 4 · (2π·12 + the dee's rim): all exact.
    const half = Math.acos(3 / 4);
    const dee = 16 * (Math.PI - half) + 3 * Math.sqrt(7);
    const rim = 8 * (Math.PI - half) + 2 * Math.sqrt(7);
    expect(read.area).toBeCloseTo(2 * (144 * Math.PI - dee) + 4 * (24 * Math.PI + rim), 6);
  });

  it('says of every face which way is outside: a reader that mends must not be needed', () => {
    for (const made of [keyedDisc, camOnFlange, barOnStem]) {
      const entities = new Map(
        [...stepOf(made).matchAll(/^(#\d+)=(\w+)\((.*)\);$/gm)].map(([, name, type, text]) => [name, { type, text }]),
      );
      const named = (name: string) => entities.get(name)!;
      const names = (name: string): string[] => [...(named(name).text.match(/#\d+/g) ?? [])];
      const numbers = (name: string) =>
        named(name)
          .text.match(/\(([^)]*)\)/)![1]
          .split(',')
          .map(Number);
      for (const { type, text } of entities.values()) {
        if (type !== 'ADVANCED_FACE') continue;
        const [bound, surface] = [text.match(/#\d+/)![0], text.match(/#\d+(?=,\.[TF]\.$)/)![0]];
        const sense = text.endsWith('.T.') ? 1 : -1;
        const [place] = names(surface);
        const [origin, axis] = names(place);
        // The outer bound's corners and middles, in its order: its area has the outside's normal (Newell's method).
        const points = names(names(bound)[0]).flatMap((side) => {
          const [edge] = names(side);
          const [from, to, curve] = names(edge);
          const [a, b] = [from, to].map((vertex) => numbers(names(vertex)[0]));
          const middle = a.map((at, k) => (at + b[k]) / 2);
          if (named(curve).type === 'CIRCLE') {
            const centre = numbers(names(names(curve)[0])[0]);
            const radius = Number(named(curve).text.split(',').at(-1));
            const [cx, cy] = [b[1] - a[1], a[0] - b[0]];
            const scale = radius / Math.hypot(cx, cy);
            middle[0] = centre[0] + cx * scale;
            middle[1] = centre[1] + cy * scale;
          }
          return named(side).text.endsWith('.T.') ? [a, middle] : [b, middle];
        });
        const area = [0, 0, 0];
        for (const [i, p] of points.entries()) {
          const q = points[(i + 1) % points.length];
          area[0] += p[1] * q[2] - p[2] * q[1];
          area[1] += p[2] * q[0] - p[0] * q[2];
          area[2] += p[0] * q[1] - p[1] * q[0];
        }
        const along = numbers(axis);
        const middle = [0, 1].map((k) => points.reduce((sum, point) => sum + point[k], 0) / points.length);
        const normal = named(surface).type === 'PLANE' ? along : [...middle.map((at, k) => at - numbers(origin)[k]), 0];
        expect(sense * normal.reduce((sum, at, k) => sum + at * area[k], 0), `${made.name} ${text}`).toBeGreaterThan(0);
      }
    }
  });

  it('holds voids, and as many solids as a part falls into', async () => {
    const disc = region(circle(5));
    const hollow = part('hollow', 'spacer', [
      prism(0, 1, disc),
      prism(1, 2, region(circle(5), circle(2))),
      prism(2, 3, disc),
    ]);
    await expectSame(hollow);
    const touching = [region(rectangle(2, 2, -1, -1)), region(rectangle(2, 2, 1, 1))];
    await expectSame(part('two', 'spacer', [prism(0, 1, ...touching)]), 2);
  });

  it('holds a part of every kind, engraved', async () => {
    const kinds = new Map(parts.map((made) => [made.kind, made]));
    expect([...kinds.keys()].sort()).toEqual(
      ['bar', 'button', 'cam', 'gear', 'push arm', 'ratchet wheel', 'shaft', 'spacer'].sort(),
    );
    // A gear's teeth keep the kernel busy enough.
    for (const made of kinds.values()) await expectSame(made.kind === 'gear' ? { ...made, engraved: [] } : made);
  }, 180_000);

  it('is the same to the byte each time, and carries no date of its making', () => {
    expect(stepOf(camOnFlange)).toBe(stepOf(camOnFlange));
    expect(stepOf(camOnFlange)).toContain("'1980-01-01T00:00:00'");
  });

  it('says in millimetres who made what', () => {
    const file = stepOf(keyedDisc, { title: 'Pier', revision: 'C', author: 'N. N.', licence: 'CC BY 4.0' });
    expect(file).toContain('SI_UNIT(.MILLI.,.METRE.)');
    expect(file).toContain("PRODUCT('disc','disc','Pier, spacer, pla'");
    expect(file).toContain("PRODUCT_DEFINITION_FORMATION('C',''");
    expect(file).toMatch(/FILE_DESCRIPTION\(\('disc','CC BY 4.0'\)/);
    expect(file).toMatch(/FILE_NAME\('disc','[^']*',\('N. N.'\)/);
  });

  it('takes any name: quotes, backslashes, line ends, letters of all alphabets', async () => {
    const name = `it's "<a&b>" \\X2\\ ; #1=( */ \n é Ж 🜚`;
    const file = stepOf({ ...keyedDisc, name }, { author: name, title: name, licence: name, revision: name });
    expect(file).not.toMatch(/[^\n\x20-\x7e]/);
    expect(file).toContain(
      `'it''s "<a&b>" \\\\X2\\\\ ; #1=( */ \\X2\\000A\\X0\\ \\X2\\00E9\\X0\\ \\X2\\0416\\X0\\ \\X4\\0001F71A\\X0\\'`,
    );
    expect((await readStep(file)).valid).toBe(true);
  });

  it('is not written of outlines that cross themselves, and says where', () => {
    const bow = [
      { x: 0, y: 0, bulge: 0 },
      { x: 4, y: 4, bulge: 0 },
      { x: 4, y: 0, bulge: 0 },
      { x: 0, y: 6, bulge: 0 },
    ];
    expect(() => stepOf(part('bow', 'spacer', [prism(0, 1, { outer: bow, holes: [] })]))).toThrow(/open at z = 0/);
  });
});
