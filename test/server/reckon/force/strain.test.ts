import { expect, it } from 'vitest';
import { reckon } from '../../../../server/reckon/figures.ts';
import { example } from '../../../designs.ts';

const sign = example('berth-sign')[0]!;

it('a nose is pressed by its return, its drag and what its guide adds, at most as on the sharpest place (derived)', () => {
  const { pressures, cams } = reckon(sign);
  expect(pressures.map(({ segment }) => segment)).toEqual(['a', 'b', 'f', 'g', 'd', 'c', 'e']);
  const [a] = pressures;
  // At least the spring raised and the drag: 0.9 + 0.08 · 3.5 + 0.3 N.
  expect(a!.force).toBeGreaterThan(1.48);
  expect(a!.force).toBeLessThan(2);
  // p = √(wE*/(πR)) with E* of two bodies of 3 GPa and 0.35, R of nose and cam, w over a cam 3 mm thick.
  const star = 3000 / (2 * (1 - 0.35 ** 2));
  const curvature = 1 / 1.5 + 1 / cams[0]!.profileCurvature!.convexMin!.value;
  expect(a!.pressure).toBeCloseTo(Math.sqrt(((a!.force / 3) * star * curvature) / Math.PI), 9);
});

it('a shaft winds up by T·L/(G·J) of the circle within its flat (derived)', () => {
  const { windUps, forces, stack, cams } = reckon(sign);
  const upper = windUps.find(({ shaft }) => shaft === 'upper')!;
  const own = new Set(cams.filter(({ shaft }) => shaft === 'upper').map(({ segments }) => segments[0]));
  const used = forces.cases.find(({ usedByFindings }) => usedByFindings)!;
  const torques = used.steps.map(({ shares }) =>
    shares.filter(({ segment }) => own.has(segment)).reduce((sum, { torque }) => sum + torque, 0),
  );
  expect(upper.torque).toBe(Math.max(...torques));
  expect(upper.length).toBeCloseTo(stack.depth, 9);
  const shear = 3000 / (2 * 1.35);
  expect(upper.angle).toBeCloseTo((upper.torque * upper.length) / ((shear * Math.PI * 16.2 ** 4) / 32), 12);
});

it('stays wound up at a rest as far as the noses there hold it: μF(q − nose) of each (derived), from the gear or the far end', () => {
  const { windUps, stack } = reckon(sign);
  const shear = 3000 / (2 * 1.35);
  const stiffness = (shear * Math.PI * 16.2 ** 4) / 32;
  const at = (name: string) => stack.parts.find((part) => part.name === name)!;
  const middle = (name: string) => (at(name).from + at(name).to) / 2;
  // Greased: 0.1 of 0.9 N lowered, of 1.18 N raised, at the base of 22 mm and 25.5 mm. At 0, upper shows a, b, f and hides g.
  const [down, up] = [0.1 * 0.9 * 22, 0.1 * 1.18 * 25.5];
  const upper = windUps.find(({ shaft }) => shaft === 'upper')!.atRest;
  // 8 and 9 show all four.
  expect(upper.torque).toBeCloseTo(4 * up, 9);
  expect(4 * up).toBeGreaterThan(3 * up + down);
  const far = Math.max(stack.depth - middle('camA'), middle('camA') - 0);
  expect(upper.cams.map(({ cam }) => cam)).toEqual(['camA', 'camB', 'camF', 'camG']);
  expect(upper.cams[0]!.angle).toBeCloseTo((4 * up * far) / stiffness, 12);
  // The lower shaft is driven by its gear.
  const lower = windUps.find(({ shaft }) => shaft === 'lower')!.atRest;
  expect(lower.torque).toBeCloseTo(3 * up, 9);
  expect(lower.cams[0]!.angle).toBeCloseTo((3 * up * (middle('lowerGear') - middle('camD'))) / stiffness, 12);
});

it('without a key, or without what returns the bars, nothing is said', () => {
  expect(reckon({ ...sign, keys: [] }).windUps).toEqual([]);
  const { windUps, pressures } = reckon({ ...sign, springs: [] });
  expect([windUps, pressures]).toEqual([[], []]);
});
