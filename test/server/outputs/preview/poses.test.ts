import { describe, expect, it } from 'vitest';
import { posesAt, shiftsOf } from '../../../../server/outputs/preview/poses.ts';
import { type PreviewScene, sceneOf, shapesOf } from '../../../../server/outputs/preview/scene.ts';
import type { Reckoned } from '../../../../server/protocol.ts';
import { distanceToEdge, edgesOf, placed } from '../../../../server/reckon/parts/loop.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { finished } from '../../../../server/reckon/pausing.ts';
import { berthSign, example, reckonedAll, reckonedExample } from '../chart/designs.ts';

const sceneFor = (reckoned: Reckoned): PreviewScene => finished(sceneOf(reckoned));
/** As it travels. */
const sent = (scene: PreviewScene): PreviewScene => JSON.parse(JSON.stringify(scene));

const examples = ['berth-sign', 'lock-countdown', 'pier-flag', 'score-tally', 'signal-box', 'weir-gauge'];

describe('poses', () => {
  it.each(examples)('at every rest the bars stand where the positions say: %s', (name) => {
    const { mechanism, figures } = reckonedExample(name);
    const scene = sent(sceneFor({ mechanism, figures, findings: [] }));
    const bars = scene.parts.flatMap((part, i) => (part.kind === 'bar' ? [{ part, i }] : []));
    expect(bars.length).toBeGreaterThan(0);
    for (const [rest, position] of figures.positions.entries()) {
      const poses = posesAt(scene, rest, 0);
      for (const { part, i } of bars) {
        const { lift } = position.bars.find(({ segment }) => segment === part.name)!;
        const azimuth = mechanism.segments.find((segment) => segment.name === part.name)!.azimuth!.value;
        expect(poses[i].x, `${part.name} at ${position.symbol}`).toBeCloseTo(part.seat.x + lift * Math.cos(azimuth), 9);
        expect(poses[i].y, `${part.name} at ${position.symbol}`).toBeCloseTo(part.seat.y + lift * Math.sin(azimuth), 9);
      }
    }
  });

  it.each(['berth-sign', 'lock-countdown'])(
    'the nose stays on the outline of its cam, wherever both stand: %s',
    (name) => {
      const { mechanism, figures } = reckonedExample(name);
      const scene = sent(sceneFor({ mechanism, figures, findings: [] }));
      const made = partsOf(mechanism, figures, figures.stack).parts;
      const indexOf = (name: string) => scene.parts.findIndex((part) => part.name === name);
      for (const cam of mechanism.cams) {
        const bar = cam.segments[0].name;
        const { azimuth, nose } = mechanism.segments.find(({ name }) => name === bar)!;
        // The flange lies behind the cam itself.
        const outline = made.find(({ name }) => name === cam.name)!.prisms.at(-1)!.regions[0].outer;
        for (let steps = -1; steps < 12; steps += 0.37) {
          const poses = posesAt(scene, steps, 0);
          const [turned, slid] = [poses[indexOf(cam.name)], poses[indexOf(bar)]];
          const middle = {
            x: slid.x + nose!.value * Math.cos(azimuth!.value),
            y: slid.y + nose!.value * Math.sin(azimuth!.value),
          };
          const edges = edgesOf(placed(outline, turned, turned.turned));
          const far = Math.min(...edges.map((edge) => distanceToEdge(middle, edge)));
          expect(Math.abs(far - nose!.value), `${cam.name} after ${steps} steps`).toBeLessThan(0.01);
        }
      }
    },
  );

  it('meshed gears turn against each other by their teeth, keyed parts with their shaft', () => {
    const { mechanism, figures } = reckonedExample('lock-countdown');
    const scene = sent(sceneFor({ mechanism, figures, findings: [] }));
    const turnedOf = (name: string, steps: number) => {
      const i = scene.parts.findIndex((part) => part.name === name);
      return posesAt(scene, steps, 0)[i].turned - posesAt(scene, 0, 0)[i].turned;
    };
    expect(mechanism.meshes.length).toBeGreaterThan(1);
    for (const { gears } of mechanism.meshes) {
      const [one, other] = gears.map(({ name }) => mechanism.gears.find((gear) => gear.name === name)!);
      for (const steps of [1, 2.3, -4])
        expect(turnedOf(one.name, steps) * one.teeth!.value).toBeCloseTo(
          -turnedOf(other.name, steps) * other.teeth!.value,
          9,
        );
    }
    for (const cam of mechanism.cams) expect(turnedOf(cam.name, 1.7)).toBeCloseTo(turnedOf(cam.shaft!.name, 1.7), 9);
    // A whole turn of the leading shaft is a whole count.
    expect(Math.abs(turnedOf(figures.leading!, figures.positions.length))).toBeCloseTo(2 * Math.PI, 9);
  });

  it('the hand pushes on through every step and lets go at the rest', () => {
    const scene = sent(sceneFor(reckonedExample('berth-sign')));
    const button = scene.parts.findIndex(({ kind }) => kind === 'button');
    const heights = [0, 0.25, 0.5, 0.75, 0.999].map((steps) => posesAt(scene, steps, 0)[button].y);
    expect(heights).toEqual([...heights].sort((a, b) => b - a));
    const stroke = reckonedExample('berth-sign').mechanism.pushes[0].stroke!.value;
    expect(heights[0] - heights[4]).toBeCloseTo(stroke, 1);
    for (const rest of [1, 5, 12]) expect(posesAt(scene, rest, 0)[button].y).toBeCloseTo(heights[0], 9);
  });

  it('a mechanism that runs in reverse is pushed on as it does', () => {
    const text = example('berth-sign');
    const scene = sent(sceneFor(reckonedAll(text.replace(/\n\s*count /, '\n  runs reverse\n  count '))[0]));
    expect(scene.direction).toBe(-1);
    const button = scene.parts.findIndex(({ kind }) => kind === 'button');
    const at = (across: number) => posesAt(scene, scene.direction * across, 0)[button].y;
    expect(at(0.5)).toBeLessThan(at(0) - 1);
    expect(at(0.9)).toBeLessThan(at(0.5));
    expect(at(1)).toBeCloseTo(at(0), 9);
  });
});

describe('drawn apart', () => {
  const scene = sceneFor(reckonedExample('berth-sign'));
  const shifts = shiftsOf(scene.parts);
  const shiftOf = (name: string) => shifts[scene.parts.findIndex((part) => part.name === name)];

  it('layers follow each other as in the stack, and those of two shafts stay side by side', () => {
    const rows = [['camA', 'camD'], ['camB', 'camC'], ['camF', 'camE'], ['camG'], ['upperGear', 'lowerGear']];
    for (const row of rows) expect(new Set(row.map(shiftOf)).size).toBe(1);
    const deep = rows.map(([first]) => shiftOf(first));
    expect(deep[0]).toBeCloseTo(0);
    for (const [i, shift] of deep.slice(1).entries()) expect(shift).toBeLessThan(deep[i] - 10);
  });

  it('a bar stands between its cam and the layer before', () => {
    expect(shiftOf('b')).toBeGreaterThan(shiftOf('camB'));
    expect(shiftOf('b')).toBeLessThan(shiftOf('camA'));
  });

  it('a frame stands round its layers, its face plate before them all', () => {
    const framed = sceneFor(berthSign(['  limits {', '  frame { }\n  limits {']));
    const far = shiftsOf(framed.parts);
    const of = (name: string) => far[framed.parts.findIndex((part) => part.name === name)];
    expect(of('face plate')).toBeGreaterThan(of('camA') + 5);
    expect(of('back plate')).toBeLessThan(of('upperGear') - 5);
    const plates = framed.parts.filter(({ name }) => name.endsWith('plate'));
    expect(plates.map(({ means }) => means)).toEqual([['frame'], ['frame']]);
  });

  it('nothing is moved but along the shafts', () => {
    const [together, apart] = [posesAt(scene, 3.4, 0), posesAt(scene, 3.4, 1)];
    for (const [i, pose] of apart.entries()) expect({ ...pose, z: 0 }).toEqual({ ...together[i], z: 0 });
  });
});

describe('a scene', () => {
  it('names every part, what it means in the text, and its shape once', () => {
    const reckoned = reckonedExample('berth-sign');
    const scene = sceneFor(reckoned);
    expect(scene.parts.map(({ name }) => name)).toEqual(expect.arrayContaining(['camA', 'upper', 'e', 'button arm']));
    const means = (name: string) => scene.parts.find((part) => part.name === name)!.means;
    expect([means('camA'), means('upper'), means('lower spacer 4'), means('button arm')]).toEqual([
      ['camA'],
      ['upper'],
      ['lower'],
      ['button'],
    ]);
    const wanted = scene.parts.map(({ shape }) => shape);
    const shapes = finished(shapesOf(reckoned, [...wanted, 'nothing of that name']));
    expect(shapes.map(({ shape }) => shape).sort()).toEqual([...new Set(wanted)].sort());
    // Bars alike are told apart by what is engraved on them.
    const bars = scene.parts.filter(({ kind }) => kind === 'bar').map(({ shape }) => shape);
    expect(new Set(bars).size).toBe(bars.length);
    expect(new Set(bars.map((shape) => shape.split('-')[0])).size).toBeLessThan(bars.length);
  });

  it('has new shapes for the parts that an edit changes, and no others', () => {
    const names = (reckoned: Reckoned) => new Map(sceneFor(reckoned).parts.map(({ name, shape }) => [name, shape]));
    const [before, after] = [names(berthSign()), names(berthSign(['segment e {', 'segment e { stroke 4 mm  ']))];
    const changed = [...before.keys()].filter((name) => before.get(name) !== after.get(name));
    expect(changed).toContain('camE');
    expect(changed).not.toContain('camB');
    expect(changed.length).toBeLessThan(4);
  });

  it('says what cannot be shown, and why', () => {
    const [bare] = reckonedAll(example('pier-flag').replace('base 14 mm', ''));
    const scene = sceneFor(bare);
    expect(scene.missing.map(({ of }) => of)).toContain('lifter');
    for (const { because } of scene.missing) expect(because.length).toBeGreaterThan(10);
    expect(scene.parts.map(({ name }) => name)).toContain('axle');
    const [none] = reckonedAll('mechanism M { count 0 1 }');
    expect(sceneFor(none)).toMatchObject({ parts: [], missing: [], step: 0 });
    expect(posesAt(sceneFor(none), 1, 1)).toEqual([]);
  });
});
