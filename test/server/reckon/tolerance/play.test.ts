import { describe, expect, it } from 'vitest';
import { type CamFigure, type Figures, reckon } from '../../../../server/reckon/figures.ts';
import { liftAt } from '../../../../server/reckon/motion/lift.ts';
import { example, mechanismsIn } from '../../../designs.ts';

const deg = (angle: number) => (angle * 180) / Math.PI;
const rad = (angle: number) => (angle * Math.PI) / 180;
const sign = example('berth-sign')[0]!;
const camOf = (f: Figures, name: string): CamFigure => f.cams.find((cam) => cam.name === name)!;
const changed = (from: string, to: string): Figures => {
  const text = signText.replace(from, to);
  expect(text).not.toBe(signText);
  return reckon(mechanismsIn(text)[0]!);
};
const woundUp = (f: Figures, name: string): number =>
  f.windUps.flatMap(({ atRest }) => atRest.cams).find(({ cam }) => cam === name)!.angle;
const signText = (await import('node:fs')).readFileSync('examples/berth-sign.lobe', 'utf8');

describe('rest margin', () => {
  it('is where the flank lets the bar no longer be shown, not where the dwell ends', () => {
    // Derived: half the dwell, and on a simple harmonic flank of width β, lift 90 % at acos(0.8)·β/π.
    const margin = (travel: number) => (30 - travel) / 2 + (travel * Math.acos(0.8)) / Math.PI;
    const f = reckon(sign);
    expect(deg(camOf(f, 'camA').restMargin!)).toBeCloseTo(margin(25), 9);
    expect(deg(camOf(f, 'camG').restMargin!)).toBeCloseTo(margin(26), 9);
  });

  it('is the same both ways where flanks are centred, and parts where they come late', () => {
    expect(camOf(reckon(sign), 'camA').restMargins!.forward).toBeCloseTo(camOf(reckon(sign), 'camA').restMargin!, 9);
    // Late flanks leave more room ahead of a rest, and less behind it.
    const late = changed('drives a\n', 'drives a { rise 25 deg late 1 deg   fall 25 deg late 1 deg }\n');
    const { forward, backward } = camOf(late, 'camA').restMargins!;
    expect(deg(forward - backward)).toBeCloseTo(2, 9);
    expect(camOf(late, 'camA').restMargin).toBe(backward);
  });

  it('agrees with looking along the lift in small steps, windows and lowered bars included', () => {
    const windowed = changed('at 0 mm, 66 mm }', 'at 0 mm, 66 mm   window 30 mm by 3 mm at 0 mm, 71 mm }');
    const lowered = changed('bar 6 mm by 44 mm at 31 mm, 35 mm', 'bar 6 mm by 44 mm at 31 mm, 35 mm   shown lowered');
    for (const f of [windowed, lowered]) {
      for (const cam of f.cams) {
        const seen = new Map(
          f.positions.map(({ bars }, i) => [i, bars.find(({ segment }) => segment === cam.segments[0])!]),
        );
        expect([...seen.values()].every((bar) => bar.seen !== 'between')).toBe(true);
        expect(cam.restMargin).toBeGreaterThan(rad(0.5));
        expect(cam.restMargin).toBeLessThan(rad(15));
      }
    }
    // A window whose lower edge lies 3.5 mm over the bar's upper edge less its stroke: covered from 0 to the stroke.
    const { restMargin, lift, rests } = camOf(windowed, 'camA');
    const share = (height: number) => Math.min(1, Math.max(0, (height - 0.5) / 3));
    const alike = (up: boolean, psi: number) =>
      up ? share(liftAt(lift, psi).lift) >= 0.9 : share(liftAt(lift, psi).lift) <= 0.1;
    let least = Infinity;
    for (const rest of rests) {
      const up = share(liftAt(lift, rest).lift) >= 0.9;
      for (const sense of [1, -1]) {
        let apart = 0;
        while (apart < Math.PI && alike(up, rest + sense * apart)) apart += 1e-5;
        least = Math.min(least, apart);
      }
    }
    expect(restMargin!).toBeGreaterThan(least - 1.1e-5);
    expect(restMargin!).toBeLessThan(least);
  });

  it('is none for a bar that never moves, and nothing at a rest where the bar is half-way', () => {
    const still = changed('drives a\n', 'drives a { raised at 0 1 2 3 4 5 6 7 8 9 C "-" }\n');
    expect(camOf(still, 'camA').restMargin).toBeUndefined();
    const half = changed('drives a\n', 'drives a { lobe from 0 deg to 80 deg flank 25 deg }\n');
    expect(camOf(half, 'camA').restMargin).toBeCloseTo(0, 9);
  });
});

describe('rest error', () => {
  // Derived: flat of 18 mm, 14.4 mm through it: half its chord is 5.4 mm, so 0.1 mm lets a key turn asunder 0.1/5.4.
  const key = deg(0.1 / 5.4);
  const tilt = deg((0.2 * (1 + (2 * 5) / 14)) / 23.5);
  const backlash = deg(0.12 / 35 / 2);

  it('sums what plays from the ratchet to the cam', () => {
    const f = reckon(sign);
    const { worst, rss, from, partial } = camOf(f, 'camA').restError!;
    const wound = deg(woundUp(f, 'camA'));
    expect(wound).toBeGreaterThan(0.001);
    expect(partial).toBeUndefined();
    expect(deg(worst)).toBeCloseTo(0.5 + 2 * key + tilt + wound, 9);
    expect(deg(rss)).toBeCloseTo(Math.sqrt(0.25 + 2 * key ** 2 + tilt ** 2 + wound ** 2), 9);
    expect(from.map(({ what }) => what)).toEqual([
      'key under stepper',
      'key under camA',
      'tilt of a in its guide',
      'play of stepper',
      'wind-up of upper',
    ]);
  });

  it('counts what its own shaft stays wound up, however it turns, and says that the cam lies behind', () => {
    const soft = changed('outer 18 mm   clearance', 'outer 8 mm   clearance');
    const shares = camOf(soft, 'camC').restError!.from.filter(({ what }) => what.startsWith('wind-up'));
    expect(shares).toHaveLength(1);
    expect(shares[0]).toMatchObject({
      what: 'wind-up of lower',
      sense: 'behind',
      by: { of: 'dee', property: 'outer' },
    });
    expect(shares[0]!.angle).toBe(woundUp(soft, 'camC'));
    expect(shares[0]!.angle).toBeGreaterThan(20 * woundUp(reckon(sign), 'camC'));
    // Nothing is known of it where no spring presses.
    const loose = changed('  spring coils { returns a b c d e f g   rate 0.08 N/mm   preload 0.9 N }\n', '');
    expect(
      camOf(loose, 'camC')
        .restError!.from.map(({ what }) => what)
        .join(),
    ).not.toContain('wind-up');
  });

  it('goes over every mesh on the way', () => {
    const f = reckon(sign);
    const { worst, from } = camOf(f, 'camD').restError!;
    expect(deg(worst)).toBeCloseTo(0.5 + 4 * key + tilt + backlash + deg(woundUp(f, 'camD')), 9);
    expect(from.map(({ of }) => of)).toEqual(expect.arrayContaining(['upperGear', 'lowerGear', 'upperGear–lowerGear']));
  });

  it('knows no key of a gear that hands the turn on from tooth to tooth, but those of gears that share a shaft', () => {
    const geared = (idle: string, meshes: string) => `mechanism Gauge {
      glyphs decimal   count 0 1 2 3
      shaft upper { at 0 mm, 60 mm   turns clockwise   leads   key dee }
      shaft idler { at 0 mm, 0 mm   key dee }
      shaft lower { at 0 mm, -60 mm   key dee }
      key dee { shape square   across 10 mm   clearance 0.2 mm }
      ratchet click on upper { teeth 4   play 1 deg }
      every gear { module 1 mm   teeth 60   width 5 mm }
      gear first on upper   gear last on lower { level 2 }
      ${idle}
      ${meshes}
      every segment { stroke 4 mm   nose 2 mm   guide 14 mm }
      segment d { azimuth 270 deg }
      cam camD on lower level 1 drives d { base 20 mm }
    }`;
    const sharesOf = (idle: string, meshes: string) =>
      camOf(reckon(mechanismsIn(geared(idle, meshes))[0]!), 'camD').restError!.from.map(({ what }) => what);
    const one = sharesOf('gear middle on idler', 'mesh first middle   mesh middle last');
    expect(one).not.toContain('key under middle');
    expect(one).toEqual(expect.arrayContaining(['backlash of first–middle', 'backlash of middle–last']));
    expect(one).toEqual(expect.arrayContaining(['key under first', 'key under last', 'key under camD']));
    const two = sharesOf('gear in on idler   gear out on idler { level 2 }', 'mesh first in   mesh out last');
    expect(two).toEqual(expect.arrayContaining(['key under in', 'key under out']));
  });

  it('is brought to the shaft of the cam by the train', () => {
    const f = changed(
      'gear lowerGear on lower { module 1 mm   teeth 70',
      'gear lowerGear on lower { module 1 mm   teeth 35',
    );
    const shares = new Map(camOf(f, 'camD').restError!.from.map(({ what, angle }) => [what, deg(angle)]));
    expect(shares.get('play of stepper')).toBeCloseTo(1, 9);
    expect(shares.get('key under upperGear')).toBeCloseTo(2 * key, 9);
    expect(shares.get('key under lowerGear')).toBeCloseTo(key, 9);
  });

  it('is partial, and told as missing, where a value on the way is not given', () => {
    const f = changed('ratchet stepper on upper { teeth 12   play 0.5 deg ', 'ratchet stepper on upper { teeth 12 ');
    expect(camOf(f, 'camA').restError!.partial).toBe(true);
    expect(f.missing.map(({ wants }) => wants)).toContain('stepper.play');
  });

  it('keeps apart how far a push leaves the train ahead, where nothing holds it', () => {
    expect(reckon(sign).forwardRest).toBeUndefined();
    const { forwardRest } = changed('play 0.5 deg   hold 60 Nmm', 'play 0.5 deg');
    // asin(8.2/14 + sin(−17°)) + 17° = 34.06°, a step of 30°.
    const beyond = deg(Math.asin(8.2 / 14 - Math.sin(rad(17)))) + 17 - 30;
    expect(deg(forwardRest!.beyond)).toBeCloseTo(beyond, 9);
    expect(deg(forwardRest!.shift)).toBeCloseTo(beyond - 0.5, 9);
  });
});

describe('holes that come out undersize', () => {
  const text = signText
    .replace('made with filament', 'made with narrow')
    .concat('\nprocess narrow { undersize 0.1 mm }\nprocess wide { }\n');
  const [narrow, wide] = ['narrow', 'wide'].map((name) =>
    reckon(mechanismsIn(text.replace('made with narrow', `made with ${name}`))[0]!),
  );

  it('leave half of it less on each side of a key and in a bearing, and nothing else', () => {
    for (const name of ['camA', 'camD']) {
      const [made, drawn] = [camOf(narrow!, name), camOf(wide!, name)];
      const shares = (one: CamFigure) => new Map(one.restError!.from.map(({ what, angle }) => [what, angle]));
      for (const [what, angle] of shares(drawn))
        expect(shares(made).get(what)).toBeCloseTo(what.startsWith('key') ? rad(deg(0.05 / 5.4)) : angle, 12);
      const lengths = (one: CamFigure) =>
        Object.fromEntries(one.liftError!.from.map(({ what, length }) => [what, length]));
      expect(lengths(made)[`bearing of ${made.shaft}`]).toBeCloseTo(0.15, 12);
      expect(lengths(made)[`key under ${name}`]).toBeCloseTo(0.05, 12);
      expect(lengths(made)[`edge of ${name}`]).toBe(lengths(drawn)[`edge of ${name}`]);
    }
    expect(narrow!.keyed.keys[0]!.play).toBeCloseTo(wide!.keyed.keys[0]!.play / 2, 12);
    // The wall round the bore is that of the drawing.
    expect(narrow!.keyed.keys[0]!.boreRadius).toBe(wide!.keyed.keys[0]!.boreRadius);
  });

  it('change nothing where the process does not say so, which is told as a default', () => {
    expect(wide!.cams).toEqual(
      reckon(sign).cams.map((cam) => expect.objectContaining({ name: cam.name, restMargin: cam.restMargin })),
    );
    for (const [i, cam] of wide!.cams.entries()) {
      const before = reckon(sign).cams[i]!;
      expect([cam.restError!.worst, cam.liftError!.rss]).toEqual([before.restError!.worst, before.liftError!.rss]);
    }
    const [m] = mechanismsIn(text.replace('made with narrow', 'made with wide'));
    expect(m!.process.undersize).toMatchObject({
      value: 0,
      by: 'default',
      because: expect.stringContaining('as drawn'),
    });
  });

  it('are drawn wider where a key says no clearance', () => {
    const [m] = mechanismsIn(text.replace('outer 18 mm   clearance 0.1 mm', 'outer 18 mm'));
    expect(m!.keys[0]!.clearance).toMatchObject({
      by: 'process',
      because: 'the spread of narrow and half its undersize',
    });
    expect(m!.keys[0]!.clearance.value).toBeCloseTo(0.15, 12);
  });
});

describe('what moves a bar up and down', () => {
  it('is keys, bearings and printed edges, against the share of the stroke that may be missing', () => {
    const { liftError, liftMargin } = camOf(reckon(sign), 'camA');
    expect(liftMargin).toBeCloseTo(0.35, 12);
    expect(liftError!.worst).toBeCloseTo(0.1 + 0.2 + 0.1 + 0.1, 12);
    expect(liftError!.rss).toBeCloseTo(Math.sqrt(0.07), 12);
    expect(liftError!.from[0]!.what).toBe('bearing of upper');
  });

  it('takes a stated tolerance for the edge that it stands at', () => {
    const f = changed('base 22 mm', 'base 22 mm +/- 0.02 mm');
    const edge = camOf(f, 'camA').liftError!.from.find(({ what }) => what === 'edge of camA')!;
    expect(edge.length).toBeCloseTo(0.02, 12);
  });
});
