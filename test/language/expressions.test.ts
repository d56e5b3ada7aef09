import { describe, expect, it } from 'vitest';
import { distance, nearest } from '../../language/near.ts';
import {
  called,
  combine,
  inBase,
  length,
  say,
  sayNumber,
  springRate,
  stress,
  torque,
  units,
  wants,
} from '../../language/units.ts';
import { resolve, told } from './reading.ts';

/** A segment whose offset (a length of either sign) is the expression. */
const withOffset = (expression: string, lets = '') => `mechanism M {\n${lets}\nsegment a { offset ${expression} }\n}`;

function offsetOf(expression: string, lets = ''): number | undefined {
  const { mechanisms, problems } = resolve(withOffset(expression, lets));
  expect(problems).toEqual([]);
  return mechanisms[0]!.segments[0]!.offset.value;
}

function problemsOf(expression: string, lets = ''): [string, string, string][] {
  const text = withOffset(expression, lets);
  const resolved = resolve(text);
  return told(text, resolved.problems, resolved);
}

describe('units', () => {
  // ISO 80000-3: the inch is 25.4 mm, the turn 2π rad; ISO 80000-4: 1 MPa = 1 N/mm².
  it.each([
    ['mm', 1],
    ['um', 0.001],
    ['cm', 10],
    ['in', 25.4],
    ['deg', Math.PI / 180],
    ['rad', 1],
    ['turn', 2 * Math.PI],
    ['N', 1],
    ['mN', 0.001],
    ['N/mm', 1],
    ['Nmm', 1],
    ['MPa', 1],
    ['GPa', 1000],
    ['g', 1],
    ['g/cm3', 0.001],
    ['s', 1],
    ['ms', 0.001],
    ['%', 0.01],
  ])('one %s is %d in base units', (unit, size) => {
    expect(inBase(1, units.get(unit)!)).toBeCloseTo(size, 15);
  });

  it('are no more than the language names', () => {
    expect(units.size).toBe(18);
  });

  it('combine: N by mm² is a modulus, N by mm a rate, N times mm a torque', () => {
    const newton = units.get('N')!.dimension;
    expect(combine(newton, combine(length, length, 1), -1)).toEqual(stress);
    expect(combine(newton, length, -1)).toEqual(springRate);
    expect(combine(newton, length, 1)).toEqual(torque);
    expect(called(combine(length, length, 1))).toBe('a quantity in mm^2');
    expect(called(combine(newton, units.get('s')!.dimension, -1))).toBe('a quantity in N/s');
  });

  it('are written as a maker would', () => {
    expect(say(Math.PI / 6, wants.angle)).toBe('30 deg');
    expect(say(0.9, wants.share)).toBe('90 %');
    expect(say(12, wants.whole)).toBe('12');
    expect(say(0.1 + 0.2, wants.length)).toBe('0.3 mm');
    expect(sayNumber(-0)).toBe('0');
  });
});

describe('expressions', () => {
  it.each([
    ['12 mm', 12],
    ['-3 mm', -3],
    ['1 cm + 2 mm', 12],
    ['1 in', 25.4],
    ['70 mm / 2', 35],
    ['2 * 3 mm + 1 mm', 7],
    ['2 * (3 mm + 1 mm)', 8],
    ['10 mm - 2 mm - 3 mm', 5],
    ['12 mm / 2 / 3', 2],
    ['-(1 mm - 3 mm) * 2', 4],
    ['- -3 mm', 3],
    ['min(3 mm, 1 cm, 2 mm)', 2],
    ['max(3 mm, 1 cm)', 10],
    ['sqrt(9 mm * 4 mm)', 6],
    ['sqrt((3 mm) * (3 mm) + 4 mm * 4 mm)', 5],
    ['10 mm * sin(30 deg)', 5],
    ['10 mm * cos(60 deg)', 5],
    ['10 mm * tan(45 deg)', 10],
    ['10 mm * sin(0.25 turn)', 10],
    ['6 N / 2 N/mm', 3],
    ['60 Nmm / 5 N', 12],
    ['sqrt(8 N / 2 MPa)', 2],
    ['8 N / (2 N/mm) / 1 mm * 1 mm', 4],
    ['50 % * 8 mm', 4],
    ['10 mm * 90 deg / 1 rad', 5 * Math.PI],
    ['2 g / 0.5 g/cm3 / 100 mm / 1 mm', 40],
  ])('%s', (expression, value) => {
    expect(offsetOf(expression)).toBeCloseTo(value, 9);
  });

  it('use names bound by let, in any order, once reckoned', () => {
    expect(offsetOf('half - 1 mm', 'let half = centres / 2  let centres = 70 mm')).toBe(34);
  });

  it('let a name be a unit word', () => {
    expect(offsetOf('m + 1 mm', 'let m = 2 mm')).toBe(3);
    expect(offsetOf('12 mm / N', 'let N = 4')).toBe(3);
  });

  it('carry tolerances to first order, worst case', () => {
    const tolerance = (expression: string, lets = '') =>
      resolve(withOffset(expression, lets)).mechanisms[0]!.segments[0]!.offset.tolerance;
    expect(tolerance('10 mm +/- 0.1 mm')).toBeCloseTo(0.1);
    expect(tolerance('10 mm ± 100 um')).toBeCloseTo(0.1);
    expect(tolerance('10 mm')).toBeUndefined();
    expect(tolerance('d', 'let d = 10 mm +/- 0.1 mm')).toBeCloseTo(0.1);
    expect(tolerance('d / 2 + e', 'let d = 10 mm +/- 0.1 mm  let e = 1 mm +/- 0.2 mm')).toBeCloseTo(0.25);
    expect(tolerance('d * f', 'let d = 10 mm +/- 0.1 mm  let f = 2 +/- 0.01')).toBeCloseTo(0.3);
    expect(tolerance('10 mm * sin(t)', 'let t = 60 deg +/- 1 deg')).toBeCloseTo((10 * 0.5 * Math.PI) / 180);
    expect(tolerance('sqrt(d * 10 mm)', 'let d = 10 mm +/- 0.1 mm')).toBeCloseTo(0.05);
    expect(tolerance('d + 1 mm +/- 0.5 mm', 'let d = 10 mm +/- 0.1 mm')).toBeCloseTo(0.5);
  });

  it.each([
    ['30 deg', 'wrong-dimension', 'expected a length such as 12 mm, found an angle', '30 deg'],
    ['12', 'wrong-dimension', 'expected a length such as 12 mm, found a plain number', '12'],
    ['-12', 'wrong-dimension', 'expected a length such as 12 mm, found a plain number', '-12'],
    ['3 N', 'wrong-dimension', 'expected a length such as 12 mm, found a force', '3 N'],
    ['2 mm * 3 mm', 'wrong-dimension', 'expected a length such as 12 mm, found a quantity in mm^2', '2 mm * 3 mm'],
    ['12 mm + 30 deg', 'wrong-dimension', 'expected a length such as 12 mm, found an angle', '30 deg'],
    ['12 mm - 3', 'wrong-dimension', 'expected a length such as 12 mm, found a plain number', '3'],
    ['3 + 12 mm', 'wrong-dimension', 'expected a length such as 12 mm, found a plain number', '3'],
    [
      '1 mm + 2 mm * 3 mm',
      'wrong-dimension',
      'expected a length such as 12 mm, found a quantity in mm^2',
      '2 mm * 3 mm',
    ],
    ['1 mm + (2 deg - 1 deg)', 'wrong-dimension', 'expected a length such as 12 mm, found an angle', '2 deg - 1 deg'],
    ['1 mm * sin(3 mm)', 'wrong-dimension', 'expected an angle such as 30 deg, found a length', '3 mm'],
    ['1 mm * sin(30)', 'wrong-dimension', 'expected an angle such as 30 deg, found a plain number', '30'],
    ['max(1 mm, 2 deg)', 'wrong-dimension', 'expected a length such as 12 mm, found an angle', '2 deg'],
    [
      '10 mm * 90 deg',
      'wrong-dimension',
      'expected a length such as 12 mm, found a quantity in mm rad; divide it by 1 rad',
      '10 mm * 90 deg',
    ],
    ['1 mm +/- 1 deg', 'wrong-dimension', 'expected a length such as 12 mm, found an angle', '1 deg'],
    ['1 mm +/- -1 mm', 'bad-value', 'a tolerance is given without a sign: it counts either way', '-1 mm'],
    ['1 mm / 0', 'bad-value', 'this is zero, and nothing can be divided by zero', '0'],
    ['1 mm / (2 - 2)', 'bad-value', 'this is zero, and nothing can be divided by zero', '2 - 2'],
    ['sqrt(1 mm * -4 mm)', 'bad-value', 'this is negative, and a negative number has no square root', '1 mm * -4 mm'],
    ['min()', 'bad-value', 'min takes one value or more, found none', 'min()'],
    ['sqrt(1 mm, 2 mm)', 'bad-value', 'sqrt takes one value, found 2', 'sqrt(1 mm, 2 mm)'],
    ['sinn(30 deg) * 1 mm', 'unknown-function', "unknown function 'sinn'; did you mean sin?", 'sinn'],
    ['floor(30 mm)', 'unknown-function', "unknown function 'floor'; there are min, max, sqrt, sin, cos, tan", 'floor'],
    ['12 degs', 'unknown-unit', "unknown unit 'degs'; did you mean deg?", 'degs'],
    ['12 Mm', 'unknown-unit', "unknown unit 'Mm'; did you mean mm?", 'Mm'],
    ['12 inches', 'unknown-unit', "unknown unit 'inches'; did you mean in?", 'inches'],
    [
      '12 furlong',
      'unknown-unit',
      "unknown unit 'furlong'; units are mm, um, cm, in, deg, rad, turn, N, mN, N/mm, Nmm, MPa, GPa, g, g/cm3, s, ms, %",
      'furlong',
    ],
    [`1${'0'.repeat(400)} mm`, 'bad-value', 'this is too large a number to reckon with', `1${'0'.repeat(400)} mm`],
  ])('%s is told once, at the culprit', (expression, code, message, at) => {
    expect(problemsOf(expression)).toEqual([[code, message, at]]);
  });

  it('tells of a let that leads back to itself, where the circle closes', () => {
    expect(problemsOf('a', 'let a = b + 1 mm  let b = c  let c = a')).toEqual([
      [
        'circular-let',
        'a is reckoned from itself: a needs b needs c needs a; give one of them a value of its own',
        'a',
      ],
    ]);
    expect(problemsOf('1 mm', 'let a = 2 * a')).toEqual([
      ['circular-let', 'a is reckoned from itself; give it a value of its own', 'a'],
    ]);
  });

  it('tells of a mistake in a let once, however often it is used', () => {
    expect(problemsOf('a + a + a', 'let a = 1 mm + 1 deg  let b = a')).toHaveLength(1);
  });

  it('offers the unit that a bare number lacks, and the unit that was meant', () => {
    const { problems } = resolve(withOffset('12'));
    expect(problems[0]!.fixes.map(({ changes }) => changes[0])).toMatchObject([{ do: 'replace', text: '12 mm' }]);
    const unit = resolve(withOffset('12 inches')).problems;
    expect(unit[0]!.fixes.map(({ changes }) => changes[0])).toMatchObject([{ do: 'replace', text: 'in' }]);
  });

  it('reckons long sums and long chains of lets', () => {
    const sum = Array.from({ length: 900 }, () => '1 mm').join(' + ');
    expect(offsetOf(sum)).toBe(900);
    const lets = Array.from({ length: 5000 }, (_, i) => `let a${i} = ${i === 4999 ? '1 mm' : `a${i + 1} + 1 mm`}`);
    expect(offsetOf('a0', lets.join('\n'))).toBe(5000);
  });
});

describe('near names', () => {
  it('count letters put in, left out, changed or swapped', () => {
    expect(distance('travel', 'travle')).toBe(1);
    expect(distance('', 'abc')).toBe(3);
    expect(distance('kitten', 'sitting')).toBe(3);
    expect(nearest('uper', ['upper', 'lower', 'outer'])).toEqual(['upper']);
    expect(nearest('zzz', ['upper'])).toEqual([]);
  });
});
