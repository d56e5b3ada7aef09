/** Measures 100,000 random builds of a numeral, beside the same in numpy where python3 has it, turn about; ms. */
import '../../language/group-by.mjs';
import { spawnSync } from 'node:child_process';
import { createLobeServices, readDesign } from '../../language/services.ts';
import { analyse } from '../../server/analysis.ts';
import { finished } from '../../server/reckon/pausing.ts';
import { buildsOf, modelling } from '../../server/reckon/tolerance/builds.ts';
// @ts-expect-error: plain JavaScript, shared with the bench that starts this
import { design } from './texts.mjs';

const services = createLobeServices();
const document = readDesign(services, design());
const [{ mechanism, figures }] = analyse(document, services.shared.workspace.LangiumDocuments).mechanisms;
const model = finished(modelling(mechanism, figures))!;
const plain = { ...model, cams: model.cams.map((cam) => ({ ...cam, lifts: cam.lifts.map((table) => [...table]) })) };
// Infinity has no place in JSON.
const json = JSON.stringify(plain, (_, value) => (Math.abs(value) === Infinity ? Math.sign(value) * 1e9 : value));

const own: number[] = [];
const numpy: number[] = [];
let longestGo = 0;
for (let round = 0; round < 9; round++) {
  const started = performance.now();
  let last = started;
  const steps = buildsOf(mechanism, figures);
  for (let done = false; !done; ) {
    done = steps.next().done === true;
    const now = performance.now();
    if (round >= 2) longestGo = Math.max(longestGo, now - last);
    last = now;
  }
  if (round >= 2) own.push(performance.now() - started);
  const run = spawnSync('python3', ['test/bench/builds.py', '100000'], { input: json, encoding: 'utf8' });
  if (round >= 2 && run.status === 0) numpy.push((JSON.parse(run.stdout) as { ms: number }).ms);
}
const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]!;
console.log(JSON.stringify({ own: median(own), longestGo, ...(numpy.length > 0 && { numpy: median(numpy) }) }));
