import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { radians } from '../../../../server/reckon/motion/angles.ts';
import { boxOf, flattened, placed } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart, Region } from '../../../../server/reckon/parts/part.ts';
import { type Parts, partsOf } from '../../../../server/reckon/parts/parts.ts';
import { engravable, type Pen, sizeOf, textLayers } from '../../../../server/reckon/parts/strokes.ts';
import { example } from '../../../designs.ts';
import { grown, region as outlined, type Region as Section } from '../shape/oracle.ts';

const made = (m: Mechanism): Parts => partsOf(m, reckon(m));
const textRegions = (text: string, pen: Pen): Region[] => textLayers(text, pen).flat();
const section = (regions: readonly Region[]): Section =>
  regions
    .map(({ outer, holes }) =>
      holes.reduce(
        (all, hole) => all.subtract(outlined([...flattened(hole, 1e-3)].reverse())),
        outlined(flattened(outer, 1e-3)),
      ),
    )
    .reduce((all, one) => all.add(one));

describe('the letters', () => {
  const all = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.+/:()?';
  const pen = { width: 0.5, unit: 0.45 };

  it('are there for capitals, digits and a few signs, accents left away', () => {
    expect(engravable('camA-2')).toBe('CAMA-2');
    expect(engravable('éclair_Ö')).toBe('ECLAIR_O');
    expect(engravable('камера')).toBeUndefined();
  });

  it('fill the room that is said, and no more', () => {
    for (const sign of all) {
      const { left, right, bottom, top } = boxOf(textRegions(sign, pen).map(({ outer }) => outer));
      const { width, height } = sizeOf(sign, pen);
      for (const edge of [-left, right]) expect(edge, sign).toBeLessThanOrEqual(width / 2 + 1e-9);
      for (const edge of [-bottom, top]) expect(edge, sign).toBeLessThanOrEqual(height / 2 + 1e-9);
    }
  });

  it('differ from each other', () => {
    const shapes = [...all].map((sign) => section(textRegions(sign, pen)));
    shapes.forEach((one, i) => {
      for (const other of shapes.slice(i + 1))
        expect(one.subtract(other).area() + other.subtract(one).area()).toBeGreaterThan(0.15);
    });
  });

  it('leave a line of the nozzle’s width between them', () => {
    const text = section(textRegions(all, pen));
    const pieces = (of: Section) => of.decompose().length;
    expect(pieces(grown(text, 0.4 / 2 - 0.01))).toBe(pieces(text));
    expect(pieces(grown(text, 0.4 / 2 + 0.01))).toBeLessThan(pieces(text));
  });
});

describe('engraving', () => {
  for (const name of ['berth-sign', 'lock-countdown', 'score-tally', 'weir-gauge']) {
    it(`lies a wall within the part, on its surface, two layers deep: ${name}`, () => {
      for (const m of example(name)) {
        for (const part of made(m).parts) {
          for (const { from, to, regions } of part.engraved) {
            expect(to - from, part.name).toBeCloseTo(0.4, 9);
            const slab =
              part.prisms.find((one) => Math.abs(one.from - from) < 1e-9) ??
              part.prisms.find((one) => Math.abs(one.to - to) < 1e-9)!;
            const back = Math.abs(slab.from - from) < 1e-9;
            expect(back ? slab.from : slab.to, part.name).toBeCloseTo(back ? from : to, 9);
            const strokes = grown(section(regions), 0.8 - 1e-3);
            expect(strokes.subtract(section(slab.regions)).area(), part.name).toBeLessThan(1e-3);
            // What stands out beyond that face, such as a peg, is a wall away too.
            const beyond = part.prisms.filter((one) => (back ? one.to <= from + 1e-9 : one.from >= to - 1e-9));
            for (const one of beyond)
              expect(strokes.intersect(section(one.regions)).area(), part.name).toBeLessThan(1e-3);
          }
        }
      }
    });
  }

  const [berth] = example('berth-sign');
  const parts = made(berth);
  const named = (of: Parts, name: string): PrintedPart => of.parts.find((one) => one.name === name)!;
  const strokesOf = (part: PrintedPart) => section(part.engraved.flatMap(({ regions }) => regions));
  const within = (whole: Section, text: string, width: number, turned: number) => {
    // some size and place of the text covers a piece of what is engraved
    return [2, 1.5, 1].some((size) => {
      const regions = textRegions(text, { width, unit: size * 0.45 });
      const letters = section(
        regions.map(({ outer, holes }) => ({
          outer: placed(outer, { x: 0, y: 0 }, turned),
          holes: holes.map((hole) => placed(hole, { x: 0, y: 0 }, turned)),
        })),
      );
      const first = letters.decompose()[0].bounds();
      return whole.decompose().some((piece) => {
        const here = piece.bounds();
        const moved = letters.translate([here.min[0] - first.min[0], here.min[1] - first.min[1]]);
        return moved.subtract(whole).area() < 1e-2;
      });
    });
  };

  it('says a cam’s name, its number and revision, and the side to the face', () => {
    const strokes = strokesOf(named(parts, 'camA'));
    expect(within(strokes, 'CAMA', 0.5, 0)).toBe(true);
    expect(within(strokes, 'N5 REV A', 0.5, 0)).toBe(true);
    expect(within(strokes, 'FACE', 0.5, 0)).toBe(true);
    expect(within(strokes, 'CAMB', 0.5, 0)).toBe(false);
  });

  it('is mirrored on the back, so that it reads from there', () => {
    const strokes = strokesOf(named(parts, 'a')).mirror([1, 0]);
    expect(within(strokes, 'N12', 0.5, radians(90))).toBe(true);
    expect(within(strokesOf(named(parts, 'a')), 'N12', 0.5, radians(90))).toBe(false);
  });

  it('puts the home marks of all parts of a shaft in one line, at cam angle 0', () => {
    for (const name of ['upper', 'upperGear', 'camA', 'camB', 'camF', 'camG']) {
      const pieces = strokesOf(named(parts, name))
        .decompose()
        .map((piece) => piece.bounds());
      const mark = pieces.filter(
        ({ min, max }) => Math.abs(min[1] + 0.25) < 0.01 && Math.abs(max[1] - 0.25) < 0.01 && min[0] >= -0.3,
      );
      expect(mark.length, name).toBeGreaterThan(0);
    }
  });

  it('puts the timing marks of two gears side by side on their centre line', () => {
    const rim = (name: string, sense: 1 | -1) => {
      const pieces = strokesOf(named(parts, name))
        .decompose()
        .map((piece) => piece.bounds());
      return Math.max(
        ...pieces
          .filter(({ min, max }) => Math.abs(min[0] + max[0]) < 0.01)
          .map(({ min, max }) => sense * (sense > 0 ? max[1] : min[1])),
      );
    };
    // root circles of 33.75 mm, less a wall
    expect(rim('upperGear', -1)).toBeGreaterThan(32.6);
    expect(rim('lowerGear', 1)).toBeGreaterThan(32.6);
    expect(rim('lowerGear', -1)).toBeLessThan(32);
  });

  it('tells what finds no room', () =>
    expect(parts.unmarked.map(({ because }) => because)).toContain(
      'stepper has no room for its home mark, its name, its number and revision, the side that looks to the face',
    ));

  it('finds room for one letter where a line of several has none', () =>
    expect(made(example('lock-countdown')[0]).unmarked.map(({ because }) => because)).toContain(
      'g has no room for its number and revision',
    ));

  it('changes with the revision, and the shape does not', () => {
    const next = made({ ...berth, about: { ...berth.about, revision: 'B' } });
    expect(named(next, 'camA').engraved).not.toEqual(named(parts, 'camA').engraved);
    expect(named(next, 'camA').prisms).toEqual(named(parts, 'camA').prisms);
  });
});
