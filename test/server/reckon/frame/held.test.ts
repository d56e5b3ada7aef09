/** What a frame holds: springs, pawls and buttons, by the parts as they are made. */
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { metBy, pairsOf } from '../../../../server/outputs/parts/meetings.ts';
import { meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { type Section, sectionsOf } from '../../../../server/outputs/parts/sections.ts';
import { faultsOf } from '../../../../server/outputs/parts/soundness.ts';
import { type Figures, reckon } from '../../../../server/reckon/figures.ts';
import { coilSizeOf } from '../../../../server/reckon/force/coil-size.ts';
import type { SpringMount } from '../../../../server/reckon/frame/spring-mounts.ts';
import { boxOf, circle, flattened, placed, polygon } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { blanksOf, partsOf, processesOf } from '../../../../server/reckon/parts/parts.ts';
import { area, common, hull } from '../../../../server/reckon/shape/convex.ts';
import { framed } from '../../../framed.ts';

interface Held {
  readonly m: Mechanism;
  readonly figures: Figures;
  readonly parts: readonly PrintedPart[];
  readonly frame: NonNullable<ReturnType<typeof blanksOf>['frame']>;
}

function held(name: string, change?: (text: string) => string): Held {
  const m = framed(name, 'frame { }', change);
  const figures = reckon(m);
  return {
    m,
    figures,
    get parts() {
      return partsOf(m, figures).parts;
    },
    frame: blanksOf(m, figures).frame!,
  };
}

const stretched = (text: string) =>
  text.replace(
    /spring coils \{.*\}/,
    'spring coils { returns a b c d e f   coil extension   wire 0.3 mm   mean 4 mm   turns 16   free 11 mm   preload 0.9 N }',
  );

const tally = held('score-tally');
const drawn = held('score-tally', stretched);
const sign = held('berth-sign');

const part = ({ parts }: Held, name: string): PrintedPart => parts.find((one) => one.name === name)!;

const sections = new Map<PrintedPart, Section[]>();
function made(one: PrintedPart) {
  const known = sections.get(one) ?? sectionsOf(one, meshOf(one));
  sections.set(one, known);
  return { part: one, sections: known };
}

/** What comes nearer than `gap`, mm, to some parts over a whole turn. */
const near = ({ m, figures, parts }: Held, own: readonly PrintedPart[], others: readonly string[], gap: number) =>
  own.flatMap((one) =>
    parts
      .filter(({ name }) => others.includes(name))
      .flatMap((other) => pairsOf(m, figures, [made(one), made(other)], gap).flatMap(metBy))
      .map(({ parts: pair, gap: found }) => `${pair.join(' ')} ${found.toFixed(2)}`),
  );

/** A coil where it lies, as long as it ever is, as a box. */
function coilAt({ spring, segment, size, moving, fixed, depth }: SpringMount, stroke: number): PrintedPart {
  const radius = (size.mean + size.wire) / 2;
  const [dx, dy] = [moving.x - fixed.x, moving.y - fixed.y];
  const long = Math.hypot(dx, dy) + (size.kind === 'extension' ? stroke : 0);
  const loop = polygon([
    { x: 0, y: -radius },
    { x: long, y: -radius },
    { x: long, y: radius },
    { x: 0, y: radius },
  ]);
  return {
    name: `spring ${spring} of ${segment}`,
    kind: 'spacer',
    place: { file: '', top: 0, from: 0, to: 0 },
    prisms: [{ from: 0, to: 2 * radius, regions: [{ outer: loop, holes: [] }] }],
    engraved: [],
    bed: 'back',
    process: '',
    material: '',
    seats: [{ ...fixed, z: -depth - radius, turn: Math.atan2(dy, dx), moves: { with: 'nothing' } }],
  };
}

describe('a spring of which the text says rate and preload alone', () => {
  it('gets a coil of that rate that is wound easily, stays straight and is worked no harder than wire bears', () => {
    const [spring] = tally.m.springs;
    const size = coilSizeOf(tally.m, spring!);
    if (!size || 'because' in size) throw new Error('no coil');
    const { kind, wire, mean, turns, free, lowered, raised } = size;
    // Shigley, Mechanical Engineering Design: eqs. 10-9 (rate), 10-5 and 10-7 (stress), 10-13 (buckling), table 10-4.
    expect((81_500 * wire ** 4) / (8 * mean ** 3 * turns)).toBeCloseTo(0.08, 3);
    const index = mean / wire;
    const stress = (((4 * index + 2) / (4 * index - 3)) * 8 * (0.9 + 0.08 * 3.5) * mean) / (Math.PI * wire ** 3);
    expect(stress).toBeLessThan(0.56 * (2211 / wire ** 0.145));
    expect(free).toBeLessThan((2.63 * mean) / 0.5);
    expect(kind).toBe('compression');
    expect(free - lowered).toBeCloseTo(0.9 / 0.08, 9);
    expect(lowered - raised).toBeCloseTo(3.5, 9);
    expect(raised - (turns + 2) * wire).toBeGreaterThan(0.15 * (free - raised) - 0.01);
  });

  it('has it on the list of what to buy, and among the defaults', () => {
    expect(partsOf(tally.m, tally.figures).bought[0]).toEqual({
      what: 'spring coils, 0.08 N/mm, 0.9 N when lowered, compression, wire 0.25 mm, mean diameter 4 mm, 7.8 turns, free length 19.5 mm',
      count: 7,
    });
    const said = tally.figures.defaults.filter(({ of }) => /^coils\.|^click\.arm/.test(of));
    expect(said.map(({ of, value }) => `${of} ${value}`)).toEqual([
      'coils.coil compression',
      'coils.wire 0.25 mm',
      'coils.mean 4 mm',
      'coils.turns 7.8',
      'coils.free 19.5 mm',
      'click.arm 17 mm',
    ]);
  });
});

describe('springs in a frame', () => {
  const slide = ({ m }: Held, { segment }: SpringMount) =>
    m.segments.find(({ name }) => name === segment)!.azimuth!.value;

  it.each([
    ['of compression, from outside', tally, 'abcdefg', 1],
    ['of extension, from inside', drawn, 'abcdef', -1],
  ] as const)('%s, lie along the slide as far apart as rate and preload ask', (_, design, bars, out) => {
    expect(design.frame.springs.map(({ segment }) => segment).join('')).toBe(bars);
    for (const mount of design.frame.springs) {
      const { moving, fixed, size } = mount;
      const along = slide(design, mount);
      const [dx, dy] = [fixed.x - moving.x, fixed.y - moving.y];
      expect(dx * Math.cos(along) + dy * Math.sin(along)).toBeCloseTo(out * size.lowered, 6);
      expect(dy * Math.cos(along) - dx * Math.sin(along)).toBeCloseTo(0, 6);
    }
  });

  it('keep clear of all that moves over a whole turn, and of the frame but for what holds them', () => {
    for (const [design, some] of [
      [tally, 'b'],
      [drawn, 'e'],
    ] as const) {
      for (const mount of design.frame.springs.filter(({ segment }) => some.includes(segment))) {
        const others = design.parts
          .filter(({ name, kind }) => ![mount.bar, mount.plate].includes(name) && kind !== 'pillar' && kind !== 'shaft')
          .map(({ name }) => name);
        expect(near(design, [coilAt(mount, 3.5)], others, 0.2 - 0.01), mount.segment).toEqual([]);
      }
    }
  });

  it('go round a post that stands where the coil would lie, between its two nibs', () => {
    const [first] = tally.frame.springs as [SpringMount];
    // Past the nib on the bar when that is raised, before the nib on the plate.
    const share = 5.9 / first.size.lowered;
    const at = {
      x: first.moving.x + share * (first.fixed.x - first.moving.x),
      y: first.moving.y + share * (first.fixed.y - first.moving.y),
    };
    const post = `post stray { at ${at.x.toFixed(3)} mm, ${at.y.toFixed(3)} mm   radius 0.3 mm }`;
    const { frame } = held('score-tally', (text) => text.replace(/spring coils .*/, `$&\n  ${post}`));
    const { moving, fixed, size } = frame.springs.find(({ segment }) => segment === first.segment)!;
    const along = { x: (fixed.x - moving.x) / size.lowered, y: (fixed.y - moving.y) / size.lowered };
    const from = { x: at.x - moving.x, y: at.y - moving.y };
    const beside = Math.abs(from.x * along.y - from.y * along.x) - (size.mean + size.wire) / 2;
    const ahead = from.x * along.x + from.y * along.y;
    expect(Math.max(beside, -ahead, ahead - size.lowered)).toBeGreaterThanOrEqual(0.3 + 0.2 - 1e-3);
  });

  it('have seats with nibs that their coil goes over, and pegs that their hooks do, with a groove for the wire', () => {
    const [{ size, depth, fixed }] = tally.frame.springs as [SpringMount];
    const face = part(tally, 'face plate');
    const at = ({ seats: [seat], prisms }: PrintedPart, z: number) =>
      prisms
        .find(({ from, to }) => from < z - seat!.z && z - seat!.z < to)!
        .regions.map(({ outer }) => placed(outer, seat!, 0));
    // Bar a goes up: its seat on the plate ends below it with a nib, on the axis of the coil.
    const nib = at(face, -depth)
      .map((loop) => boxOf([loop]))
      .find(({ left, right }) => left < fixed.x && fixed.x < right)!;
    expect(fixed.y - nib.bottom).toBeCloseTo(0.3 * size.raised, 1);

    const [hung] = drawn.frame.springs as [SpringMount];
    const across = (z: number) => {
      const here = at(part(drawn, hung.plate), z).map((loop) => boxOf([loop]));
      const { left, right } = here.find(
        (box) => box.left < hung.fixed.x && hung.fixed.x < box.right && box.right - box.left < 10,
      )!;
      return right - left;
    };
    const [groove, above, below] = [0, 0.36, -0.36].map((off) => across(-hung.depth + off));
    expect(above).toBeLessThan(4 - 0.3 - 0.2);
    expect(below).toBe(above);
    expect(above! - groove!).toBeCloseTo(2 * 0.3, 1);
    expect(across(-hung.depth + 0.34)).toBe(groove);
  });

  it('are held by parts that are sound and meet nothing', () => {
    for (const design of [tally, drawn]) {
      for (const one of design.parts.filter(({ name }) =>
        (design === tally ? ['g', 'back plate'] : ['a', 'face plate']).includes(name),
      )) {
        const process = processesOf(design.m).get(one.process)!;
        expect(faultsOf(one, meshOf(one), process), one.name).toEqual([]);
      }
    }
    const plates = drawn.parts.filter(({ kind }) => kind === 'plate');
    expect(near(drawn, plates, ['a', 'e', 'camA', 'upperGear'], 0.19)).toEqual([]);
  });

  it('that find no room are told with their bar', () => {
    const box = held('signal-box');
    expect(box.frame.unsprung.map(({ segment }) => segment)).toEqual(['g']);
    expect(
      box.frame.springs
        .map(({ segment }) => segment)
        .sort()
        .join(''),
    ).toBe('abcdef');
  });

  it('hook where the text says', () => {
    const hooked = held('score-tally', (text) =>
      stretched(text).replace('segment a { azimuth 90 deg', 'segment a { azimuth 90 deg   hook at 4 mm, 95 mm'),
    );
    const mount = hooked.frame.springs.find(({ segment }) => segment === 'a')!;
    expect([mount.moving.x, mount.moving.y]).toEqual([expect.closeTo(4, 9), expect.closeTo(95, 9)]);
  });
});

describe('the pawl of a ratchet', () => {
  /** Flat outlines of a part at home, turned about a point by an angle. */
  const outlines = ({ prisms, seats: [seat] }: PrintedPart, about = { x: 0, y: 0 }, by = 0) =>
    prisms.at(-1)!.regions.map(({ outer }) => {
      const there = placed(outer, seat!, seat!.turn).map((v) => ({ ...v, x: v.x - about.x, y: v.y - about.y }));
      return flattened(placed(there, about, by), 0.01);
    });

  it.each([
    ['one way', sign, 'stepper', 'upper', -1],
    [
      'the other way about',
      held('berth-sign', (text) =>
        text
          .replaceAll('counterclockwise', 'x')
          .replaceAll('clockwise', 'counterclockwise')
          .replaceAll(/\bx\b/g, 'clockwise'),
      ),
      'stepper',
      'upper',
      1,
    ],
  ] as const)('lets its wheel go %s alone', (_, design, name, shaft, sense) => {
    const wheel = part(design, name);
    const pawl = blanksOf(design.m, design.figures).blanks.find((one) => one.name === `${name} pawl`)!;
    const about = design.m.shafts.find((one) => one.name === shaft)!.at!.value;
    const teeth = 12;
    // The nose is what of the pawl lies within the tips of the wheel.
    const tip = Math.max(...outlines(wheel)[0]!.map(({ x, y }) => Math.hypot(x - about.x, y - about.y)));
    const nose = hull(common(outlines(pawl as unknown as PrintedPart)[0]!, flattened(circle(tip + 0.1, about), 0.001)));
    const [outline] = outlines(wheel);
    const middle = nose.reduce((sum, { x, y }) => ({ x: sum.x + x / nose.length, y: sum.y + y / nose.length }), {
      x: 0,
      y: 0,
    });
    const far = Math.hypot(middle.x - about.x, middle.y - about.y);
    const out = { x: (middle.x - about.x) / far, y: (middle.y - about.y) / far };
    const entered = (turned: number, lifted = 0) => {
      const [c, s] = [Math.cos(turned), Math.sin(turned)];
      const wheelThere = outline!.map(({ x, y }) => ({
        x: about.x + c * (x - about.x) - s * (y - about.y),
        y: about.y + s * (x - about.x) + c * (y - about.y),
      }));
      return area(
        common(
          wheelThere,
          nose.map(({ x, y }) => ({ x: x + lifted * out.x, y: y + lifted * out.y })),
        ),
      );
    };
    expect(entered(0)).toBeLessThan(0.02);
    // Back by a degree it stands against the face of a tooth; on, a tooth lifts it by no more than its height.
    expect(entered((-sense * Math.PI) / 180)).toBeGreaterThan(0.15);
    for (let i = 0; i <= 30; i++) expect(entered((sense * i * Math.PI) / 180, 1.6 + 0.05)).toBeLessThan(0.02);
    expect(entered((sense * 2 * Math.PI) / teeth)).toBeLessThan(0.02);
  });

  it('stands on the back plate with its own screw, clear of all but its wheel', () => {
    const others = sign.parts
      .map(({ name }) => name)
      .filter((name) => !['stepper pawl', 'stepper', 'back plate'].includes(name));
    expect(near(sign, [part(sign, 'stepper pawl')], others, 0.19)).toEqual([]);
    expect(partsOf(sign.m, sign.figures).bought).toContainEqual({
      what: 'M3 x 8 countersunk screw (hexagon socket, ISO 10642)',
      count: 1,
    });
    const [seat] = sign.frame.pawls.seats;
    const { regions } = part(sign, 'back plate').prisms[0]!;
    const holes = regions[0]!.holes.map((hole) => boxOf([placed(hole, part(sign, 'back plate').seats[0]!, 0)]));
    expect(
      holes.some(
        ({ left, right, bottom, top }) =>
          left < seat!.at.x && seat!.at.x < right && bottom < seat!.at.y && seat!.at.y < top,
      ),
    ).toBe(true);
  });
});

describe('a button', () => {
  it('slides between rails and before a stop, with the clearance of the process', () => {
    const [rail] = sign.frame.rails;
    expect(rail!.long).toBeGreaterThan(2 * rail!.wide);
    expect(rail!.stop).toBeDefined();
    expect(near(sign, [part(sign, 'button')], ['back plate', 'face plate'], 0.19)).toEqual([]);
    const touched = near(sign, [part(sign, 'button')], ['back plate', 'face plate'], 0.21);
    expect(touched).toContain('button back plate 0.20');
    expect(touched.some((one) => one.includes('face plate'))).toBe(true);
  });
});
