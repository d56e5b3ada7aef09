/** Sizes of parts that the text leaves open and that are chosen here, told like other defaults. */
import { isGuess, type Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import { coilSizeOf } from '../force/coil-size.ts';
import type { Told } from '../missing.ts';
import { positive } from '../shape/followers.ts';
import { pinOf, plate } from './behind.ts';
import { boreOn, boreRadius } from './bore.ts';
import { above, cap } from './button.ts';
import { mostTeeth } from './gear-outline.ts';
import { armSize } from './pawl.ts';
import { wheelSize } from './ratchet-wheel.ts';

const mm = (length: number): string => `${Number(length.toFixed(3))} mm`;

export function tellChosen(m: Mechanism, figures: Pick<MotionFigures, 'shafts'>, told: Told): void {
  const tell = (of: string, value: number, because: string) => told.defaults.push({ of, value: mm(value), because });
  for (const ratchet of m.ratchets) {
    const { name, shaft, teeth, process } = ratchet;
    const bore = shaft && boreOn(m, shaft.name);
    if (!bore || 'because' in bore || !teeth || !(teeth.value >= 1 && teeth.value <= mostTeeth)) continue;
    if (isGuess(ratchet, 'teeth', teeth)) continue;
    const { tooth, tip } = wheelSize(ratchet, teeth.value, boreRadius(bore));
    if (!ratchet.deflection) tell(`${name}.wheel tooth`, tooth, `four times the nozzle of ${mm(process.nozzle.value)}`);
    tell(
      `${name}.wheel radius`,
      tip,
      'two walls round the bore, and backs of teeth three times as long as high; up to half a millimetre',
    );
    if (!positive(ratchet.arm && { ...ratchet.arm, value: ratchet.arm.value.width }))
      tell(`${name}.wheel width`, plate, 'the text gives the pawl’s arm no width');
  }
  for (const push of m.pushes) {
    const pin = pinOf(m, figures, push);
    if (!pin) continue;
    tell(`${push.name}.pin radius`, pin.radius, 'an eighth of the arm, at least 2 mm');
    tell(`${push.name}.arm width`, plate, 'a plate behind the stacks');
    tell(`${push.name}.cap`, cap.width, `${mm(cap.height)} thick, ${mm(above)} above everything when it is pressed`);
  }
  if (m.frame) tellHeld(m, tell, told);
  // With a frame the journals are as long as its plates let them.
  if (m.frame) return;
  for (const { name, bearing } of m.shafts)
    if (bearing && bearing.value > 0) tell(`${name}.journal`, bearing.value / 2, 'half as long as the bearing is wide');
}

/** Of what a frame holds: the coils of springs, and arms of pawls. */
function tellHeld(m: Mechanism, tell: (of: string, value: number, because: string) => void, told: Told): void {
  for (const spring of m.springs) {
    const size = coilSizeOf(m, spring);
    if (!size || 'because' in size || size.chosen === 'nothing') continue;
    const { name } = spring;
    if (size.chosen === 'all') {
      const because = 'the narrowest usual coil of its rate that does not buckle and is not worked too hard';
      told.defaults.push({ of: `${name}.coil`, value: size.kind, because: 'it takes the least room in a frame' });
      tell(`${name}.wire`, size.wire, because);
      tell(`${name}.mean`, size.mean, because);
      told.defaults.push({ of: `${name}.turns`, value: `${size.turns}`, because });
    }
    const reserve =
      size.kind === 'compression'
        ? 'a sixth of its way is left when the bar is raised'
        : 'its turns touch, and each hook is a loop';
    tell(`${name}.free`, size.free, reserve);
  }
  for (const ratchet of m.ratchets) {
    const { name, shaft, teeth, arm, process } = ratchet;
    const bore = shaft && boreOn(m, shaft.name);
    if (arm || !bore || 'because' in bore || !teeth || !(teeth.value >= 1 && teeth.value <= mostTeeth)) continue;
    const { length, thickness } = armSize(ratchet, wheelSize(ratchet, teeth.value, boreRadius(bore)).tooth);
    tell(
      `${name}.arm`,
      length,
      `${mm(thickness)} thick (three nozzles), and as long as ${process.material.name} bears the lift of a tooth; up to 8 mm longer where its foot finds no room`,
    );
  }
}
