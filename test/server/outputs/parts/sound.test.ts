/** What was generated is checked as it was generated: surfaces, volumes, walls, and what meets over a turn. */
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { type Meeting, metBy, pairsOf } from '../../../../server/outputs/parts/meetings.ts';
import { meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { type Section, sectionsOf } from '../../../../server/outputs/parts/sections.ts';
import { faultsOf, shapeFaults, thinWalls } from '../../../../server/outputs/parts/soundness.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { degrees, radians } from '../../../../server/reckon/motion/angles.ts';
import { joined } from '../../../../server/reckon/parts/joining.ts';
import { boxOf, circle, flattened, loopArea, polar, polygon, region } from '../../../../server/reckon/parts/loop.ts';
import type { Loop, PrintedPart, Prism, Seat } from '../../../../server/reckon/parts/part.ts';
import { partsOf, processesOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { filament } from '../../../mechanisms.ts';
import { solidFrom, solidKernel, solidOf } from './solids.ts';

const kernel = await solidKernel();
const [berth] = example('berth-sign');
const partsIn = (m: Mechanism) => partsOf(m, reckon(m)).parts;
const named = (parts: readonly PrintedPart[], name: string) => parts.find((part) => part.name === name)!;
const meetings = (m: Mechanism, parts: readonly PrintedPart[], near = 0.2): Meeting[] => {
  const made = parts.map((part) => ({ part, sections: sectionsOf(part, meshOf(part)) }));
  return pairsOf(m, reckon(m), made, near).flatMap(metBy);
};
const pair = (met: readonly Meeting[], one: string, other: string) =>
  met.find(({ parts }) => parts.includes(one) && parts.includes(other));

/** What a solids library makes of the slabs by booleans of its own: pieces less holes, less those of what slabs share. */
function holesThrough({ prisms }: PrintedPart): number {
  const sections = prisms.map(({ regions }) => {
    const loops = regions.flatMap(({ outer, holes }) => [outer, ...holes]);
    const polygons = loops.map((loop) => flattened(loop, 0.01).map(({ x, y }): [number, number] => [x, y]));
    return new kernel.CrossSection(polygons, 'Positive');
  });
  const shared = sections.slice(1).map((section, i) => section.intersect(sections[i]));
  const pieces = (all: typeof sections) =>
    all
      .flatMap((section) => section.toPolygons())
      .reduce((sum, loop) => sum + Math.sign(loopArea(polygon(loop.map(([x, y]) => ({ x, y }))))), 0);
  const holes = 1 - pieces(sections) + pieces(shared);
  for (const section of [...sections, ...shared]) section.delete();
  return holes;
}

describe('a generated part', () => {
  for (const name of ['berth-sign', 'lock-countdown', 'pier-flag', 'score-tally', 'signal-box', 'weir-gauge']) {
    it(`is closed, of the shape and volume of its slabs, no wall too thin: ${name}`, () => {
      for (const m of example(name)) {
        for (const part of partsIn(m)) {
          const mesh = meshOf(part);
          expect(faultsOf(part, mesh, processesOf(m).get(part.process)!)).toEqual([]);
          const solid = solidFrom(kernel, mesh);
          expect([solid.status(), solid.genus()], part.name).toEqual(['NoError', holesThrough(part)]);
          solid.delete();
        }
      }
    });
  }

  const camA = named(partsIn(berth), 'camA');
  const faults = (part: PrintedPart, made: PrintedPart) => shapeFaults(part, meshOf(made)).map(({ what }) => what);

  it('is told where a hole or some material is not as it should be', () => {
    const drilled = (prism: Prism): Prism => ({
      ...prism,
      regions: prism.regions.map(({ outer, holes }) => ({
        outer,
        holes: [...holes, ...region(outer, circle(1, { x: -15, y: 0 })).holes],
      })),
    });
    expect(faults(camA, camA)).toEqual([]);
    expect(faults(camA, { ...camA, prisms: camA.prisms.map(drilled) })).toEqual(['other shape', 'other volume']);
    expect(faults(camA, { ...camA, prisms: [camA.prisms[0], drilled(camA.prisms[1])] })).toEqual(['other volume']);
    expect(faults(camA, { ...camA, prisms: [] })).toEqual(['not closed']);
    const { corners, triangles } = meshOf(camA);
    const holed = { corners, triangles: triangles.slice(3) };
    expect(shapeFaults(camA, holed).map(({ because }) => because)).toEqual([
      'the surface of camA is open along 3 edges',
    ]);
    const turned = Uint32Array.from(triangles);
    turned.set([triangles[1], triangles[0]]);
    expect(shapeFaults(camA, { corners, triangles: turned }).map(({ what }) => what)).toEqual(['not closed']);
  });

  it('is told where a wall is thinner than the process makes one, but for tips of teeth', () => {
    const box = (width: number, height: number, x: number) =>
      polygon([
        { x, y: 0 },
        { x: x + width, y: 0 },
        { x: x + width, y: height },
        { x, y: height },
      ]);
    const walled = (width: number): PrintedPart => ({
      ...camA,
      engraved: [],
      prisms: [{ from: 0, to: 2, regions: [region(box(10, 10, 0)), region(box(width, 10, 20))] }],
    });
    expect(thinWalls(walled(0.7), filament)).toEqual([
      {
        part: 'camA',
        what: 'thin wall',
        because: 'camA has a wall thinner than 0.8 mm',
        at: { x: expect.closeTo(20.35, 2), y: expect.any(Number) },
      },
    ]);
    expect(thinWalls(walled(0.85), filament)).toEqual([]);
    // the tips of module 1 are 0.7 mm wide
    expect(thinWalls(named(partsIn(berth), 'upperGear'), filament)).toEqual([]);
  });
});

describe('a section of a generated part', () => {
  /** Signed by which way each outline runs. */
  const areaOf = ({ points, outlines }: Section) => {
    let twice = 0;
    for (let k = 0; k + 1 < outlines.length; k++)
      for (let i = 2 * outlines[k]; i + 3 < 2 * outlines[k + 1]; i += 2)
        twice += points[i] * points[i + 3] - points[i + 2] * points[i + 1];
    return twice / 2;
  };

  it('is what a solids library cuts of it', () => {
    for (const part of [...partsIn(berth), ...partsIn(example('score-tally')[0])]) {
      const solid = solidOf(kernel, part);
      for (const section of sectionsOf(part, meshOf(part))) {
        const isBeside = (height: number) => !part.engraved.some(({ from, to }) => from <= height && height <= to);
        const height = [0.5, 0.35, 0.65, 0.2, 0.8]
          .map((share) => section.from + share * (section.to - section.from))
          .find(isBeside)!;
        const cut = solid.slice(height);
        expect(areaOf(section) / cut.area(), part.name).toBeCloseTo(1, 5);
        expect(section.outlines.length - 1, part.name).toBe(cut.numContour());
        cut.delete();
      }
      solid.delete();
    }
  });
});

describe('generated parts over a full turn', () => {
  const parts = partsIn(berth);

  it('meet nowhere but where they work on each other', () => {
    const met = meetings(berth, parts);
    const beyond = met.filter(({ gap, contact }) => gap < (contact ? -0.03 : 0));
    expect(beyond).toEqual([]);
    expect(met.filter(({ contact }) => contact).map(({ parts: [one, other] }) => `${one} ${other}`)).toEqual([
      'upperGear lowerGear',
      'camA a',
      'camB b',
      'camF f',
      'camG g',
      'camD d',
      'camC c',
      'camE e',
    ]);
  });

  it('come as near as the solids themselves do there', () => {
    const met = meetings(berth, parts, 0.5);
    const passing = met.filter(({ along }) => along).map(({ parts: names }) => names.join(' '));
    expect(met.length).toBeGreaterThan(passing.length + 4);
    for (const { parts: names, gap, turn } of met) {
      if (turn !== 0 || passing.includes(names.join(' '))) continue;
      const [one, other] = names.map((name) => {
        const part = named(parts, name);
        const [seat] = part.seats;
        return solidOf(kernel, part).rotate(0, 0, degrees(seat.turn)).translate(seat.x, seat.y, seat.z);
      });
      expect(one.minGap(other, 1), names.join(' ')).toBeCloseTo(Math.max(0, gap), 1);
    }
  });

  /** A thorn on camA's rim and a pin beside it that it hits when the leading shaft has turned so far. */
  const planted = (turned: number): PrintedPart[] => {
    const [flange, profile] = camA.prisms;
    const out = 27;
    const thorn = polygon([
      { x: out - 2, y: -0.05 },
      { x: out + 3, y: -0.05 },
      { x: out + 3, y: 0.05 },
      { x: out - 2, y: 0.05 },
    ]);
    const spiked = { ...flange, regions: [...flange.regions, region(thorn)] };
    const [{ x, y, z }] = camA.seats;
    const at = polar(out + 2.5, radians(-turned));
    const pin: PrintedPart = {
      ...camA,
      name: 'pin',
      kind: 'spacer',
      engraved: [],
      prisms: [{ from: 0, to: flange.to, regions: [region(circle(0.05))] }],
      seats: [{ x: x + at.x, y: y + at.y, z, turn: 0, moves: { with: 'nothing' } }],
    };
    return [{ ...camA, prisms: [spiked, profile] }, pin];
  };
  const camA = { ...named(parts, 'camA'), engraved: [] };

  it('are found to meet at 217.4°, for less than half a degree', () => {
    const found = pair(meetings(berth, planted(217.4)), 'camA', 'pin')!;
    expect(found.gap).toBeLessThan(0);
    expect(degrees(found.turn)).toBeCloseTo(217.4, 0.5);
    expect(found.contact).toBe(false);
    // a thorn and a pin of 0.1 mm at 29.5 mm: they touch for 0.4° in all
    const beside = pair(meetings(berth, [planted(217.4)[0], planted(217.9)[1]]), 'camA', 'pin')!;
    expect(Math.abs(degrees(beside.turn) - 217.9)).toBeLessThan(0.2);
  });

  it('are found wherever the clash is planted', () => {
    for (const turned of [0.3, 44.9, 90.5, 133.3, 271.7, 359.6]) {
      const found = pair(meetings(berth, planted(turned)), 'camA', 'pin');
      expect(found?.gap, `${turned}`).toBeLessThan(0);
      expect(Math.abs(degrees(found!.turn) - turned), `${turned}`).toBeLessThan(0.2);
    }
  });

  it('are followed where a bore, or what turns in it, is not round', () => {
    const [seat] = camA.seats;
    const standing = (name: string, outline: Loop[], bore: Loop[], moves: Seat['moves']): PrintedPart => ({
      ...camA,
      name,
      kind: 'spacer',
      prisms: [{ from: 0, to: 2, regions: joined(outline).map(({ outer }) => region(outer, ...bore)) }],
      seats: [{ ...seat, turn: 0, moves }],
    });
    const disc = (...nubs: Loop[]) => standing('disc', [circle(5), ...nubs], [], seat.moves);
    const bush = (bore: number) => standing('bush', [circle(9)], [circle(bore)], { with: 'nothing' });
    const met = (one: PrintedPart, other: PrintedPart) => meetings(berth, [one, other])[0];
    expect(met(disc(), bush(5.1))).toMatchObject({ gap: expect.closeTo(0.1, 1), turn: 0 });
    expect(met(disc(), bush(5.5))).toBeUndefined();
    const nub = circle(0.4, { x: 5, y: 0 });
    expect(met(disc(nub), bush(5.5)).gap).toBeCloseTo(0.1, 1);
    // A peg that the nub comes to when the leading shaft, clockwise, has turned by 133.3°.
    const peg = standing('peg', [circle(0.2, polar(5.5, radians(-133.3)))], [], { with: 'nothing' });
    expect(met(disc(), peg)).toBeUndefined();
    const { gap, turn } = met(disc(nub), peg);
    expect(gap).toBeLessThan(-0.05);
    expect(Math.abs(degrees(turn) - 133.3)).toBeLessThan(3);
  });

  it('are told where one passes before another too closely, along the shafts', () => {
    const lid = (gap: number, x: number): PrintedPart => {
      const [seat] = camA.seats;
      const z = seat.z + camA.prisms.at(-1)!.to + gap;
      const disc = [{ from: 0, to: 1, regions: [region(circle(2))] }];
      const stands = { ...seat, x: seat.x + x, z, moves: { with: 'nothing' } as const };
      return { ...camA, name: 'lid', kind: 'spacer', prisms: disc, seats: [stands] };
    };
    const [found, ...others] = meetings(berth, [camA, lid(0.05, 15)]);
    expect(others).toEqual([]);
    expect(found).toMatchObject({ parts: ['camA', 'lid'], along: true, contact: false, gap: expect.closeTo(0.05, 6) });
    expect(meetings(berth, [camA, lid(0.25, 15)])).toEqual([]);
    // Beside the cam, at whatever height.
    expect(meetings(berth, [camA, lid(0.05, 40)])).toEqual([]);
    // Before the lobe alone, which comes by.
    const reach = boxOf(camA.prisms.at(-1)!.regions.map(({ outer }) => outer)).right;
    expect(meetings(berth, [camA, lid(0.05, reach + 1.5)])).toHaveLength(1);
  });

  it('are followed past the first tooth where one tooth is not like the others', () => {
    const [upper, lower] = ['upperGear', 'lowerGear'].map((name) => ({ ...named(parts, name), engraved: [] }));
    const clean = pair(meetings(berth, [upper, lower]), 'upperGear', 'lowerGear')!;
    expect(clean.turn).toBeLessThanOrEqual(radians(360 / 70));
    const [{ outer, holes }] = upper.prisms[0].regions;
    // A burr on a flank, 150° before the centre line, which lies at 270°; the shaft turns clockwise.
    const burr = circle(0.2, polar(34.6, radians(270 + 150) + 0.4 / 35));
    const burred = joined([outer, burr]).map((one) => ({ ...one, holes }));
    const found = pair(
      meetings(berth, [{ ...upper, prisms: [{ ...upper.prisms[0], regions: burred }] }, lower]),
      'upperGear',
      'lowerGear',
    )!;
    expect(found.gap).toBeLessThan(clean.gap - 0.02);
    expect(Math.abs(degrees(found.turn) - 150)).toBeLessThan(6);
  });

  it('are told where a design lets them clash', () => {
    const [tide] = example('wrong-on-purpose');
    expect(pair(meetings(tide, partsIn(tide)), 'camB', 'camF')!.gap).toBeLessThan(-1);
  });
});
