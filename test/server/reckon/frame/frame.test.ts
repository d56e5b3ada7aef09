/** Frames: what they are made of, and that nothing of them is in the way of what moves, by the parts as they are made. */
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { type Meeting, metBy, pairsOf } from '../../../../server/outputs/parts/meetings.ts';
import { meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { type Section, sectionsOf } from '../../../../server/outputs/parts/sections.ts';
import { faultsOf } from '../../../../server/outputs/parts/soundness.ts';
import { type Figures, reckon } from '../../../../server/reckon/figures.ts';
import { facePlate } from '../../../../server/reckon/frame/parts.ts';
import { assemblyOf } from '../../../../server/reckon/parts/assembly.ts';
import { areaOf, boxOf, flattened, placed } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { blanksOf, partsOf, processesOf } from '../../../../server/reckon/parts/parts.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { distanceTo } from '../../../../server/reckon/shape/convex.ts';
import { slidersOf } from '../../../../server/reckon/shape/posts.ts';
import { mechanismsIn } from '../../../designs.ts';
import { framed } from '../../../framed.ts';

interface Built {
  readonly m: Mechanism;
  readonly figures: Figures;
  readonly parts: readonly PrintedPart[];
}

function built(m: Mechanism): Built {
  const figures = reckon(m);
  return { m, figures, parts: partsOf(m, figures).parts };
}

const named = ({ parts }: Built, name: string): PrintedPart => parts.find((part) => part.name === name)!;
const isOfFrame = ({ kind }: PrintedPart) => kind === 'plate' || kind === 'pillar';

/** Some bars, and all that turns but the shafts, which stand still in their bearings. */
const looked =
  (bars: string) =>
  ({ name, kind }: PrintedPart) =>
    kind === 'bar' ? bars.includes(name) : kind !== 'shaft';

/** What comes nearer to a part of the frame than `near`, mm, over a whole turn. */
function meetings({ m, figures, parts }: Built, near: number, still = isOfFrame, moving = looked('g')): Meeting[] {
  const known = new Map<PrintedPart, Section[]>();
  const made = (part: PrintedPart) => {
    const sections = known.get(part) ?? sectionsOf(part, meshOf(part));
    known.set(part, sections);
    return { part, sections };
  };
  const pairs = parts
    .filter(still)
    .flatMap((plate) => parts.filter((part) => !isOfFrame(part) && moving(part)).map((part) => [plate, part]));
  const met = pairs.flatMap((pair) => pairsOf(m, figures, pair.map(made), near).flatMap(metBy));
  return met;
}

const tally = built(framed('score-tally'));

describe('the frame of a numeral', () => {
  it('is a face plate, a back plate and four pillars, with screws for both ends of each', () => {
    const own = tally.parts.filter(isOfFrame);
    expect(own.map(({ name, seats }) => [name, seats.length])).toEqual([
      ['face plate', 1],
      ['back plate', 1],
      ['pillar', 4],
    ]);
    expect(partsOf(tally.m, tally.figures).bought).toContainEqual({
      what: 'M3 x 10 countersunk screw (hexagon socket, ISO 10642)',
      count: 8,
    });
  });

  it('is of sound parts, no wall too thin', () => {
    for (const part of tally.parts.filter(isOfFrame)) {
      expect(faultsOf(part, meshOf(part), processesOf(tally.m).get(part.process)!)).toEqual([]);
    }
  });

  it('lets every part through a full turn, with as much room as the process wants', () => {
    const near = meetings(tally, 0.2 - 0.01, isOfFrame, looked('abg'));
    expect(near.map(({ parts, gap }) => `${parts.join(' ')} ${gap.toFixed(3)}`)).toEqual([]);
  });

  it('has countersinks as wide at the face as the theoretical head and the clearance, and holes of ISO 273', () => {
    const { prisms } = named(tally, facePlate);
    const narrowest = (i: number) => {
      const across = prisms
        .at(i)!
        .regions[0]!.holes.map((hole) => boxOf([hole]))
        .map(({ left, right }) => right - left);
      return Math.min(...across);
    };
    // ISO 10642, M3: 6.72 mm; 0.2 mm of clearance a side. ISO 273, medium: 3.4 mm.
    expect(narrowest(-1)).toBeCloseTo(6.72 + 0.4, 6);
    expect(Math.min(...prisms.map((_, i) => narrowest(i)))).toBeCloseTo(3.4, 6);
  });

  it('closes the bores in front, and leaves the leading shaft an end to turn it by where nothing pushes', () => {
    const z = ({ prisms, seats: [seat] }: PrintedPart) => [seat!.z, seat!.z + prisms.at(-1)!.to];
    const [face, back] = [named(tally, facePlate), named(tally, 'back plate')].map(z) as [number[], number[]];
    const [upper, lower] = [named(tally, 'upper'), named(tally, 'lower')].map(z) as [number[], number[]];
    expect(upper[1]).toBeLessThan(face[1]! - 0.8);
    expect(upper[0]).toBeCloseTo(back[0]! - 10, 6);
    expect(lower[0]).toBeGreaterThan(back[0]! + 0.8);
  });
});

describe('a frame for a design not written for it', () => {
  for (const [name, turns] of [['berth-sign', 'a push'], ['signal-box', 'windows'], ['weir-gauge', 'a band']] as const) {
    it(`keeps clear of every part: ${name}, ${turns}`, () => {
      const met = meetings(built(framed(name)), 0);
      expect(met.filter(({ gap }) => gap < -0.02).map(({ parts, gap }) => `${parts.join(' ')} ${gap}`)).toEqual([]);
    });
  } // biome-ignore format: a table

  it('goes together, the face plate first and the back plate last of what lies behind it', () => {
    for (const name of ['berth-sign', 'score-tally', 'signal-box', 'weir-gauge']) {
      const m = framed(name);
      const { blanks } = blanksOf(m, reckon(m));
      const { order, deadlocks } = finished(assemblyOf(blanks));
      expect(deadlocks, name).toEqual([]);
      expect(order[0]!.part).toBe(facePlate);
      const rest = order.filter(({ way }) => way === 'back');
      expect(rest.at(-1)!.part).toBe('back plate');
    }
  });

  it('has a plate with the windows before bars that have windows', () => {
    const box = built(framed('signal-box'));
    const area = (name: string) => areaOf(named(box, name).prisms[0]!.regions);
    expect(area('window plate')).toBeLessThan(area('back plate'));
    expect(box.parts.map(({ name }) => name)).toContain('front spacer');
  });

  it('tells a bar that is wider than its way in, and the bearing in its way', () => {
    const m = framed('lock-countdown');
    expect(blanksOf(m, reckon(m)).frame!.wide).toEqual([{ bar: 'g', shaft: 'drum' }]);
  });

  it('stands on any place and azimuth: a face turned on its side', () => {
    const turned = (text: string) =>
      text
        .replaceAll(/azimuth (\d+) deg/g, (_, deg) => `azimuth ${Number(deg) + 90} deg`)
        .replaceAll(/mark (\d+) deg/g, (_, deg) => `mark ${Number(deg) + 90} deg`)
        .replaceAll(/bar (\d+ mm) by (\d+ mm) at (-?[\d.]+) mm, (-?[\d.]+) mm/g, 'bar $2 by $1 at -($4 mm), $3 mm')
        .replaceAll(/shaft (\w+) \{ at (-?[\d.]+) mm, (-?[\d.]+) mm/g, 'shaft $1 { at -($3 mm), $2 mm');
    const [one, other] = [tally.m, framed('score-tally', 'frame { }', turned)].map(
      (m) => blanksOf(m, reckon(m)).frame!,
    );
    expect(other!.box.right - other!.box.left).toBeCloseTo(one!.box.top - one!.box.bottom, 6);
    expect(other!.guides.map(({ left }) => left)).toEqual(one!.guides.map(({ left }) => expect.closeTo(left, 6)));
    expect(other!.clashes).toEqual([]);
  });
});

describe('a screw in the way', () => {
  it('of a bar that reaches it when it is raised is found, by its layout and by the parts', () => {
    // Bar a is 6 mm high at y 62 mm and rises by 3.5 mm: its upper edge goes from 65 to 68.5 mm. The pillar of M3 is
    // 7.5 mm thick, so that it begins 3.75 mm below its screw.
    const m = framed('score-tally', 'frame { screw at 15 mm, 71.5 mm   screw at -44 mm, -79 mm }');
    const hit = built(m);
    const { clashes } = blanksOf(m, hit.figures).frame!;
    expect(clashes.map(({ with: name, gap }) => [name, gap])).toEqual([
      ['a', expect.closeTo(71.5 - 3.75 - 68.5 - 0.2, 6)],
    ]);
    const met = meetings(
      hit,
      0,
      ({ name }) => name === 'pillar',
      ({ name }) => name === 'a',
    );
    expect(met.map(({ gap }) => gap)).toEqual([expect.closeTo(71.5 - 3.75 - 68.5, 1)]);
  });
});

it('a frame round a slip of the finger is not laid out, and that is told', () => {
  const slip = (text: string) => text.replace('module 1 mm', 'module 1000 mm');
  const m = framed('score-tally', 'frame { }', slip);
  const { frame, oversize, missing } = blanksOf(m, reckon(m));
  expect(frame).toBeUndefined();
  // 70 teeth of 1000 mm: a tip circle of 72 m.
  expect(oversize!.width).toBeGreaterThan(72_000);
  expect(oversize!.by).toMatch(/Gear$/);
  expect(missing.map(({ because }) => because)).toContain('the frame would be larger than 1000 mm: it is not laid out');
});

it('a frame goes round swinging arms, of which nothing is made, and leaves them room', () => {
  const text = (stem: string) => `mechanism Arm {
  made with filament
  glyphs t
  count A B
  frame { }
  shaft s { at 0 mm, 0 mm   turns counterclockwise   leads   key dee   bearing 8 mm }
  key dee { shape flat   outer 10 mm   clearance 0.1 mm }
  segment a { azimuth 90 deg   stroke 4 mm   nose 5 mm   bar 30 mm by 4 mm at 0 mm, 60 mm   follower pivoted at 70 mm, 32 mm arm 70 mm   ${stem} }
  cam ca on s level 1 drives a { base 30 mm   travel 80 deg }
}
glyphs t { segments a   A = a   B = blank }
`;
  const [m] = mechanismsIn(text('stem 6 mm'));
  const held = built(m!);
  const [arm, pivot] = ['arm', 'pivot'].map(
    (kind) => slidersOf(m!, held.figures, held.figures.stack).sliders.find((one) => one.kind === kind)!,
  );
  const plate = named(held, facePlate);
  const { right } = boxOf(plate.prisms[0]!.regions.map(({ outer }) => outer));
  expect(plate.seats[0]!.x + right).toBeGreaterThan(70 + 5);
  let nearest = Infinity;
  for (const { prisms, seats } of held.parts.filter(isOfFrame))
    for (const seat of seats)
      for (const { from, to, regions } of prisms) {
        if (seat.z + from >= -arm!.depth.from - 1e-6 || seat.z + to <= -arm!.depth.to + 1e-6) continue;
        for (const { x, y } of regions.flatMap(({ outer }) => flattened(placed(outer, seat, seat.turn), 0.01)))
          for (const { region, round } of [arm!, pivot!]) nearest = Math.min(nearest, distanceTo(region, x, y) - round);
      }
  // The process's clearance, but for the chords of what is drawn round.
  expect(nearest).toBeGreaterThan(0.17);
  expect(nearest).toBeLessThan(60);
});
