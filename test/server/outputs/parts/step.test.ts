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
