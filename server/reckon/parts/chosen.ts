/** Sizes of parts that the text leaves open and that are chosen here, told like other defaults. */
import { isGuess, type Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../figures.ts';
import type { Told } from '../missing.ts';
import { positive } from '../shape/followers.ts';
import { pinOf, plate } from './behind.ts';
import { boreOn, boreRadius } from './bore.ts';
import { above, cap } from './button.ts';
import { mostTeeth } from './gear-outline.ts';
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
  // With a frame the journals are as long as its plates let them.
  if (m.frame) return;
  for (const { name, bearing } of m.shafts)
    if (bearing && bearing.value > 0) tell(`${name}.journal`, bearing.value / 2, 'half as long as the bearing is wide');
}
