import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { reckon } from '../../../../server/reckon/figures.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { buildsOf, modelling } from '../../../../server/reckon/tolerance/builds.ts';
import { Random } from '../../../../server/reckon/tolerance/random.ts';
import { mechanismsIn } from '../../../designs.ts';

const text = readFileSync('examples/berth-sign.lobe', 'utf8');
const built = (changed: (text: string) => string = (one) => one, count = 20_000, seed = 1) => {
  const [m] = mechanismsIn(changed(text));
  return finished(buildsOf(m!, reckon(m!), count, seed))!;
};

describe('random numbers', () => {
  it('are those of sfc32, and the same for the same seed', () => {
    const [one, other, third] = [new Random(1), new Random(1), new Random(2)];
    const of = (random: Random) => {
      const into = new Float64Array(20);
      random.uniforms(into);
      return [...into];
    };
    const first = of(one);
    expect(of(other)).toEqual(first);
    expect(of(third)).not.toEqual(first);
  });

  it('are normal to what so many allow: moments, and how many lie far out', () => {
    const random = new Random(7);
    const count = 1_000_000;
    const drawn = new Float64Array(count);
    random.normals(drawn);
    const sums = [0, 0, 0, 0];
    const beyond = [0, 0, 0];
    for (const x of drawn) {
      for (let k = 0; k < 4; k++) sums[k] += x ** (k + 1);
      for (let k = 0; k < 3; k++) if (Math.abs(x) > k + 1) beyond[k]++;
    }
    // Five standard errors each.
    expect(Math.abs(sums[0] / count)).toBeLessThan(0.005);
    expect(Math.abs(sums[1] / count - 1)).toBeLessThan(0.0071);
    expect(Math.abs(sums[2] / count)).toBeLessThan(0.0194);
    expect(Math.abs(sums[3] / count - 3)).toBeLessThan(0.049);
    // Any table of the normal distribution.
    expect(Math.abs(beyond[0] / count - 0.3173105)).toBeLessThan(0.0024);
    expect(Math.abs(beyond[1] / count - 0.0455003)).toBeLessThan(0.0011);
    expect(Math.abs(beyond[2] / count - 0.0026998)).toBeLessThan(0.00027);
  });
});

/** The same, of a printer whose holes come out 0.1 mm narrower. */
const narrow = (one: string) =>
  one.replace('made with filament', 'made with narrow').concat('\nprocess narrow { undersize 0.1 mm }\n');

describe('random builds', () => {
  it('are the same for the same seed, and nearly so for another', () => {
    const [one, again, other] = [built(), built(), built(undefined, 20_000, 2)];
    expect(again).toEqual(one);
    expect(other.bySymbol).not.toEqual(one.bySymbol);
    expect(Math.abs(other.readRight - one.readRight)).toBeLessThan(0.01);
  });

  it('read right no more often at all positions than at any one', () => {
    const { readRight, bySymbol } = built();
    expect(Object.keys(bySymbol)).toHaveLength(12);
    for (const share of Object.values(bySymbol)) expect(share).toBeGreaterThanOrEqual(readRight);
  });

  it('all read right where nothing plays and no edge strays', () => {
    const { readRight, costliest } = built((one) =>
      one
        .replace('made with filament', 'made with exact')
        .replaceAll('clearance 0.2 mm', 'clearance 0 mm')
        .replace('clearance 0.1 mm', 'clearance 0 mm')
        .replace('fit 0.2 mm', 'fit 0 mm')
        .replace('backlash 0.12 mm', 'backlash 0 mm')
        .concat('\nprocess exact { nozzle 0.4 mm layer 0.2 mm spread 0 mm clearance 0.2 mm wall 0.8 mm drag 0.3 N }\n'),
    );
    expect(readRight).toBe(1);
    expect(costliest).toBeUndefined();
  });

  it('name what costs most', () => {
    expect(built((one) => one.replace('play 0.5 deg', 'play 12 deg')).costliest).toBe('play of stepper');
    expect(
      built((one) => one.replaceAll('bearing 10 mm clearance 0.2 mm', 'bearing 10 mm clearance 0.9 mm')).costliest,
    ).toMatch(/^bearing clearance of/);
    expect(built((one) => one.replace('backlash 0.12 mm', 'backlash 9 mm')).costliest).toBe(
      'backlash of upperGear–lowerGear',
    );
  });

  it('are none at a symbol that no build can show', () => {
    const { readRight, bySymbol } = built((one) =>
      one.replace('drives a\n', 'drives a { raised at 0 2 3 5 6 7 8 9 C 4 }\n'),
    );
    expect(readRight).toBe(0);
    expect(bySymbol['4']).toBe(0);
    expect(bySymbol['1']).toBeGreaterThan(0.5);
  });

  it('with holes undersize have narrower gaps on the mean, as wide a spread, and the same edges', () => {
    const modelOf = (one: string) => finished(modelling(mechanismsIn(one)[0]!, reckon(mechanismsIn(one)[0]!)))!;
    const [drawn, made] = [modelOf(text), modelOf(narrow(text))];
    const sorted = (numbers: readonly number[]) => [...numbers].sort((a, b) => a - b);
    expect(sorted(made.sigma)).toEqual(sorted(drawn.sigma));
    // Ten keys of 0.1 mm and two bearings of 0.2 mm lose 0.05 mm a side; plays, tilts, backlash and edges nothing.
    const near = ({ size }: typeof drawn, value: number) => size.filter((one) => Math.abs(one - value) < 1e-9).length;
    expect([near(drawn, 0.1), near(made, 0.1), near(made, 0.05)]).toEqual([near(made, 0.1) + 10, near(made, 0.1), 10]);
    expect([near(drawn, 0.2), near(made, 0.2), near(made, 0.15)]).toEqual([near(made, 0.2) + 2, near(made, 0.2), 2]);
    const loose = (one: string) => one.replace('clearance 0.1 mm', 'clearance 0.35 mm');
    expect(built((one) => narrow(loose(one))).readRight).toBeGreaterThan(built(loose).readRight + 0.02);
  });

  it('stand behind, as the step goes, by up to what their shafts stay wound up', () => {
    const model = (runs: string) => {
      const [m] = mechanismsIn(text.replace('glyphs pier\n', `glyphs pier   runs ${runs}\n`));
      const f = reckon(m!);
      const wound = f.windUps.flatMap(({ atRest }) => atRest.cams).find(({ cam }) => cam === 'camA')!.angle;
      return { wound, cam: finished(modelling(m!, f))!.cams[0]! };
    };
    const [forward, reverse, either] = ['forward', 'reverse', 'either'].map(model);
    expect(forward!.cam.lean).toBeCloseTo(-forward!.wound / 2, 12);
    expect(reverse!.cam.lean).toBeCloseTo(reverse!.wound / 2, 12);
    expect(either!.cam.lean).toBe(0);
  });

  it('keep apart what a push leaves the train ahead', () => {
    const shifted = built((one) => one.replace('   hold 60 Nmm', '').replace('stroke 8.2 mm', 'stroke 9.4 mm'));
    expect(shifted.readRightWithoutShift).toBeGreaterThan(0.97);
    expect(shifted.readRight).toBeLessThan(shifted.readRightWithoutShift!);
    expect(built().readRightWithoutShift).toBeUndefined();
  });

  const numpy = spawnSync('python3', ['-c', 'import numpy; print(numpy.__version__)'], { encoding: 'utf8' });
  it.skipIf(numpy.status !== 0)('agree with numpy, which draws its own (skipped where python3 has no numpy)', () => {
    for (const changed of [
      (one: string) => one,
      (one: string) => one.replace('clearance 0.1 mm', 'clearance 0.35 mm'),
      (one: string) => narrow(one.replace('clearance 0.1 mm', 'clearance 0.35 mm')),
    ]) {
      const [m] = mechanismsIn(changed(text));
      const f = reckon(m!);
      const model = finished(modelling(m!, f))!;
      const plain = {
        ...model,
        cams: model.cams.map((cam) => ({ ...cam, lifts: cam.lifts.map((table) => [...table]) })),
      };
      // Infinity has no place in JSON.
      const json = JSON.stringify(plain, (_, value) => (value === Infinity ? 1e9 : value === -Infinity ? -1e9 : value));
      const run = spawnSync('python3', ['test/bench/builds.py', '100000'], { input: json, encoding: 'utf8' });
      expect(run.stderr).toBe('');
      const theirs = JSON.parse(run.stdout) as { readRight: number; bySymbol: Record<string, number> };
      const ours = finished(buildsOf(m!, f, 100_000, 1))!;
      // Five standard errors of the difference of two shares of 100,000.
      const near = (share: number) => 5 * Math.sqrt((2 * Math.max(share * (1 - share), 1e-4)) / 100_000);
      expect(Math.abs(ours.readRight - theirs.readRight)).toBeLessThan(near(ours.readRight));
      for (const [symbol, share] of Object.entries(ours.bySymbol)) {
        expect(Math.abs(share - theirs.bySymbol[symbol]!)).toBeLessThan(near(share));
      }
    }
  });
});
