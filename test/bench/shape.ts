/** Measures of shape within one process: clearances beside polygon booleans, and what a numeral costs, warm. */
import '../../language/group-by.mjs';
import { createLobeServices, readDesign } from '../../language/services.ts';
import { analyse } from '../../server/analysis.ts';
import { findingsOf } from '../../server/checks/index.ts';
import { reckon, refined } from '../../server/reckon/figures.ts';
import { turn } from '../../server/reckon/motion/angles.ts';
import { finished } from '../../server/reckon/pausing.ts';
import { clearanceOf, type Setting } from '../../server/reckon/shape/clearance.ts';
import { camOutline } from '../../server/reckon/shape/cutting.ts';
import { programme } from '../server/reckon/shape/lifts.ts';
import { placed, regionOf, touches } from '../server/reckon/shape/oracle.ts';
// @ts-expect-error: plain JavaScript, shared with the bench that starts this
import { design } from './texts.mjs';

const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]!;

function timed(rounds: number, job: (round: number) => void): number {
  const times: number[] = [];
  for (let round = 0; round < rounds + 5; round++) {
    const since = performance.now();
    job(round);
    if (round >= 5) times.push(performance.now() - since);
  }
  return median(times);
}

/** Two lobed cams over a turn in twentieths of a degree: ours whole, booleans by some of their stands; ms. */
function clearances(): { own: number; booleans: number } {
  const camOf = (...lobes: number[][]) =>
    camOutline(programme('simple harmonic', 4, ...lobes), { kind: 'round', prime: 23.5, nose: 1.5, offset: 0 })!;
  const [a, b] = [camOf([40, 80, 25], [200, 210, 25]), camOf([110, 150, 25])];
  const setting: Setting = { distance: 53, azimuth: 0, rates: [-1, 1], period: turn };
  const [one, two] = [regionOf(a), regionOf(b)];
  const stand = timed(40, (round) => {
    const at = (round * turn) / 45;
    touches(placed(one, -at, { x: 0, y: 0 }), placed(two, at, { x: 53, y: 0 }));
  });
  return {
    own: timed(20, () => finished(clearanceOf({ outline: a }, { outline: b }, setting, 'fine'))),
    booleans: 7200 * stand,
  };
}

/** One numeral, each time with another base for all its cams: reckoned coarsely and checked, then refined; ms. */
function numeral(): { fast: number; fine: number } {
  const services = createLobeServices();
  const documents = services.shared.workspace.LangiumDocuments;
  const mechanisms = Array.from({ length: 35 }, (_, round) => {
    const text: string = design().replaceAll('base 22 mm', `base 22.${round + 1} mm`);
    return analyse(readDesign(services, text), documents).mechanisms[0]!.mechanism;
  });
  // Objects of their own, so that nothing is remembered of them.
  const fresh = mechanisms.map((m) => structuredClone(m));
  const figures = fresh.map((m) => reckon(m));
  const again = mechanisms.map((m) => structuredClone(m));
  const fast = timed(30, (round) => findingsOf(again[round]!, reckon(again[round]!)));
  const fine = timed(20, (round) => finished(refined(fresh[round]!, figures[round]!)));
  return { fast, fine };
}

console.log(JSON.stringify({ ...clearances(), ...numeral() }));
