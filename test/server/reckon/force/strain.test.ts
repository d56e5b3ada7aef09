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

it('without a key, or without what returns the bars, nothing is said', () => {
  expect(reckon({ ...sign, keys: [] }).windUps).toEqual([]);
  const { windUps, pressures } = reckon({ ...sign, springs: [] });
  expect([windUps, pressures]).toEqual([[], []]);
});
