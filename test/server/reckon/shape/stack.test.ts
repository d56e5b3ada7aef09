import { describe, expect, it } from 'vitest';
import { stackOf } from '../../../../server/reckon/shape/stack.ts';
import { cam, gear, given, mechanism, mesh, numeral, shaft } from '../../../mechanisms.ts';

const at = (stack: ReturnType<typeof stackOf>, kind: string, name: string) =>
  stack.parts.filter((part) => part.kind === kind && part.name === name).map(({ from, to }) => [from, to]);

describe('the stacks of a numeral', () => {
  const stack = stackOf(numeral());

  it('puts level behind level, flange behind cam, gears behind the deepest cam level', () => {
    expect(stack.levels.map(({ level, from, to }) => [level, from, to])).toEqual([
      [1, 0, 4.2],
      [2, 4.2, 8.4],
      [3, 8.4, expect.closeTo(12.6)],
      [4, expect.closeTo(12.6), expect.closeTo(16.8)],
      [5, expect.closeTo(16.8), expect.closeTo(21.8)],
    ]);
    expect(at(stack, 'cam', 'camB')).toEqual([[4.2, expect.closeTo(7.2)]]);
    expect(at(stack, 'flange', 'camB')).toEqual([[expect.closeTo(7.2), 8.4]]);
    expect(at(stack, 'gear', 'lowerGear')).toEqual([[expect.closeTo(16.8), expect.closeTo(21.8)]]);
    expect(stack.clashes).toEqual([]);
    expect(stack.depth).toBeCloseTo(21.8);
  });

  it('fills the shaft with fewer cams with a spacer, and no other', () => {
    expect(stack.parts.filter((part) => part.kind === 'spacer')).toEqual([
      expect.objectContaining({ shaft: 'lower', level: 4 }),
    ]);
  });

  it('lets both shafts reach from the face to their last gear', () => {
    expect(at(stack, 'shaft', 'upper')).toEqual([[0, expect.closeTo(21.8)]]);
  });

  it('puts every stem into the plane of its cam', () => {
    expect(stack.followers.find(({ segment }) => segment === 'e')).toMatchObject({ cam: 'camE', level: 3 });
    expect(stack.followers.find(({ segment }) => segment === 'e')!.stem.to).toBeCloseTo(11.4);
  });
});

it('gives a level the height of its thickest cam, and shims the thinner one', () => {
  const stack = stackOf(
    mechanism({
      shafts: [shaft('one', [0, 0]), shaft('two', [60, 0])],
      cams: [
        cam('thick', 'one', 'a', { thickness: given(5) }),
        cam('thin', 'two', 'b'),
        cam('behind', 'two', 'c', { level: given(2) }),
      ],
    }),
  );
  expect(at(stack, 'cam', 'behind')).toEqual([[6.2, 9.2]]);
  expect(at(stack, 'spacer', 'two')).toEqual([[4.2, 6.2]]);
});

it('leaves a shaft without cams empty in front of its gears', () => {
  const stack = stackOf(
    mechanism({
      shafts: [shaft('drum', [0, 0]), shaft('idler', [40, 0])],
      cams: [cam('one', 'drum', 'a')],
      gears: [gear('drumGear', 'drum', 40), gear('idlerGear', 'idler', 40)],
      meshes: [mesh('drumGear', 'idlerGear')],
    }),
  );
  expect(at(stack, 'shaft', 'idler')).toEqual([[4.2, 9.2]]);
  expect(at(stack, 'spacer', 'idler')).toEqual([]);
});

it('puts the two gears of a compound idler one behind the other, each in the plane of its mate', () => {
  const stack = stackOf(
    mechanism({
      shafts: [shaft('knob', [0, 0]), shaft('idler', [40, 0]), shaft('drum', [80, 0])],
      cams: [cam('one', 'drum', 'a')],
      gears: [
        gear('knobGear', 'knob', 20),
        gear('large', 'idler', 60),
        gear('small', 'idler', 20),
        gear('drumGear', 'drum', 60, { width: given(7) }),
      ],
      meshes: [mesh('knobGear', 'large'), mesh('small', 'drumGear')],
    }),
  );
  expect(at(stack, 'gear', 'knobGear')).toEqual(at(stack, 'gear', 'large'));
  expect(at(stack, 'gear', 'small')[0][0]).toBeCloseTo(9.2);
  expect(at(stack, 'gear', 'drumGear')[0][1]).toBeCloseTo(16.2);
  expect(stack.clashes).toEqual([]);
});

it('tells two parts at one level, and meshed gears at different levels', () => {
  const stack = stackOf(
    mechanism({
      shafts: [shaft('one', [0, 0]), shaft('two', [40, 0])],
      cams: [cam('first', 'one', 'a'), cam('second', 'one', 'b')],
      gears: [gear('here', 'one', 40, { level: given(1) }), gear('there', 'two', 40, { level: given(3) })],
      meshes: [mesh('here', 'there')],
    }),
  );
  expect(stack.clashes).toEqual([
    { kind: 'shared level', shaft: 'one', level: 1, parts: ['first', 'second', 'here'] },
    { kind: 'meshed apart', gears: ['here', 'there'], levels: [1, 3] },
  ]);
});

it('makes nothing of nothing, and leaves out what is half written', () => {
  expect(stackOf(mechanism({}))).toEqual({ levels: [], parts: [], followers: [], clashes: [], depth: 0 });
  const half = stackOf(
    mechanism({
      shafts: [shaft('one', [0, 0])],
      cams: [cam('adrift', 'one', 'a', { level: undefined }), cam('flat', 'one', 'a', { thickness: given(0) })],
      gears: [gear('thin', 'one', 20, { width: undefined })],
    }),
  );
  expect(half.parts).toEqual([]);
});
