/** The changes of ease as text: written, they give what was reckoned. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLobeServices, openDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { easingText } from '../../../server/easing.ts';
import { applied, type Scene } from '../../../server/fixes.ts';
import { finished } from '../../../server/reckon/pausing.ts';
import { effortOf } from '../../../server/search/effort.ts';

const services = createLobeServices();
const uri = 'file:///pier/design.lobe';

function sceneOf(text: string): Scene {
  const document = openDesign(services, uri, (file) => (file === uri ? text : undefined));
  const analysis = analyse(document, services.shared.workspace.LangiumDocuments);
  return { document, analysis, designOf: () => undefined, read: () => undefined };
}

function easedText(text: string) {
  const scene = sceneOf(text);
  const [{ mechanism }] = scene.analysis.mechanisms;
  const { eased, files } = finished(easingText(mechanism, scene));
  if ('because' in eased) throw new Error(eased.because);
  return { eased, text: applied(text, files[0]?.edits ?? []) };
}

describe('what ease writes', () => {
  for (const name of ['berth-sign', 'signal-box', 'score-tally']) {
    it(`gives the push that was reckoned, and is not eased again: ${name}`, () => {
      const before = readFileSync(`examples/${name}.lobe`, 'utf8');
      const { eased, text } = easedText(before);
      const [{ mechanism, figures }] = sceneOf(text).analysis.mechanisms;
      expect(effortOf(mechanism, figures, figures.forces).peak).toBeCloseTo(eased.after!.peak, 6);
      expect(text.split('\n')).toHaveLength(before.split('\n').length);
      expect(easedText(text).eased.after).toBeUndefined();
    }, 120_000);
  }

  it('turns every shaft that says how it turns, where followers stand beside their shafts', () => {
    const before = readFileSync('examples/berth-sign.lobe', 'utf8').replace(
      'every segment {',
      'every segment { offset 5 mm  ',
    );
    const { eased, text } = easedText(before);
    expect(eased.grid.turned).toBe(true);
    const [{ mechanism, figures }] = sceneOf(text).analysis.mechanisms;
    expect(effortOf(mechanism, figures, figures.forces).peak).toBeCloseTo(eased.after!.peak, 6);
    const turns = (one: string) => [...one.matchAll(/turns (\w+) /g)].map(([, sense]) => sense);
    expect([turns(before)[0], turns(text)[0]]).toEqual(['clockwise', 'counterclockwise']);
    expect([turns(before)[1], turns(text)[1]]).toEqual(['counterclockwise', 'clockwise']);
  }, 120_000);

  it('gives cams laws of their own where one that is left alone shares theirs, and keeps comments', () => {
    const text = `mechanism Flag { // a flag and its lamp
  made with filament
  glyphs lamps
  count 1 2 3 4
  shaft axle { at 0 mm, 0 mm   turns clockwise }
  every cam { base 20 mm   law simple harmonic   travel 60 deg } // all alike
  every segment { stroke 3 mm   nose 1.5 mm   guide 12 mm }
  segment a { azimuth 90 deg   bar 20 mm by 6 mm at 0 mm, 40 mm } // the flag
  segment b { azimuth 0 deg   bar 6 mm by 20 mm at 40 mm, 0 mm }
  cam camA on axle level 1 drives a
  cam camB on axle level 2 drives b { lobe from 0 deg to 60 deg }
  spring coils { returns a b   rate 0.1 N/mm   preload 1 N }
}
glyphs lamps { segments a b   1 = a   2 = b   3 = a b   4 = blank }
`;
    const { text: after, eased } = easedText(text);
    expect(eased.leftAlone.map(({ cam }) => cam)).toEqual(['camB']);
    expect(after).toContain('law simple harmonic   travel 60 deg } // all alike');
    expect(after).toMatch(/camA on axle level 1 drives a \{ .*law constant velocity blended 20 %.*\}/);
    expect(after).toContain('drives b { lobe from 0 deg to 60 deg }');
    expect(after).toContain('// the flag');
  }, 60_000);
});
