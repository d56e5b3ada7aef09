/** `coupon`: a ladder of fits to print, and what it told, written into the design's process. */
import { editsFor } from '../../language/edits.ts';
import type { Mechanism } from '../../language/mechanism.ts';
import { applied, groundOf } from '../fixes.ts';
import { type Found, foundBy, measuredIn, movedIn, type Unclear } from '../outputs/coupon/found.ts';
import { type Ladder, ladderOf } from '../outputs/coupon/ladder.ts';
import { couponParts } from '../outputs/coupon/shapes.ts';
import { couponJson, couponText, foundJson, foundText } from '../outputs/coupon/told.ts';
import { writtenInto } from '../outputs/coupon/written.ts';
import { laidOut } from '../outputs/parts/beds.ts';
import { bedFiles } from '../outputs/parts/file-names.ts';
import { processesOf } from '../reckon/parts/parts.ts';
import { type Arguments, lastOf, Refusal } from './arguments.ts';
import { partsMaker } from './crew.ts';
import { isStandingError, mechanismIn, type Opened, openFile, openText, refuseBroken } from './designs.ts';
import { print, writeOut, writeWhole } from './files.ts';
import type { Status } from './verbs.ts';

export async function coupon(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length)
    throw new Refusal('coupon wants one FILE; lobewright coupon --help tells more');
  const opened = await openFile(path);
  refuseBroken(opened);
  const mechanism = mechanismIn(opened, lastOf(given, 'mechanism')).mechanism;
  const ladder = ladderOf(mechanism);
  const found = foundIn(given, ladder);
  const json = lastOf(given, 'format') === 'json';
  if (found) return tellFound(given, opened, mechanism, found, json);
  if (given.options.has('write'))
    throw new Refusal('--write wants what was found: --moved "bores 4, slots 3" or --measured "pegs 9.9 9.8 9.7 mm"');
  const out = lastOf(given, 'out');
  if (out?.toLowerCase().endsWith('.3mf')) {
    const beds = await couponBeds(mechanism, ladder);
    const names = bedFiles(out.slice(0, -'.3mf'.length), beds.length);
    for (const [i, bed] of beds.entries()) writeOut(names[i]!, bed);
    const where = beds.length > 1 ? `It lies on ${beds.length} beds: ${names.join(', ')}\n` : '';
    print(`${couponText(mechanism.name, ladder)}${where}`);
    return 0;
  }
  const said = json
    ? `${JSON.stringify({ contract: 1, ...couponJson(mechanism.name, ladder) }, undefined, 2)}\n`
    : couponText(mechanism.name, ladder);
  if (out === undefined) print(said);
  else writeOut(out, said);
  return 0;
}

function foundIn(given: Arguments, ladder: Ladder): Found | undefined {
  const moved = lastOf(given, 'moved');
  const measured = lastOf(given, 'measured');
  if (moved === undefined && measured === undefined) return undefined;
  return foundBy(
    ladder,
    clear('moved', moved === undefined ? [] : movedIn(moved)),
    clear('measured', measured === undefined ? [] : measuredIn(measured)),
  );
}

function clear<T extends object>(option: string, read: T | Unclear): T {
  if ('because' in read) throw new Refusal(`--${option}: ${read.because}`);
  return read;
}

function tellFound(given: Arguments, opened: Opened, mechanism: Mechanism, found: Found, json: boolean): Status {
  const { path, uri, text, document, analysis, designOf, read } = opened;
  const write = given.options.has('write');
  if (write && path === '-') throw new Refusal('--write cannot write to standard input; name a file');
  const taken = [...analysis.resolved.processes, ...analysis.resolved.materials].map(({ name }) => name);
  const written = writtenInto(mechanism, found, taken);
  const files = editsFor(written.changes, groundOf(mechanism, { document, analysis, designOf, read }));
  if (written.changes.length && !files.length)
    throw new Refusal('the text gives no place to write it; put the values into a process yourself');
  const edits = files.flatMap((file) => (file.file === uri ? file.edits : []));
  if (write && edits.length) writeWhole(path, applied(text, edits));
  const said = json
    ? `${JSON.stringify(
        {
          contract: 1,
          ...foundJson(found, written),
          written: write && edits.length > 0,
          edits: edits.map(({ from, to, text: now }) => {
            const { file, range } = opened.placeOf({ file: uri, top: -1, from, to })!;
            return { file, range, text: now };
          }),
        },
        undefined,
        2,
      )}\n`
    : foundText(found, written, write && edits.length > 0);
  const out = lastOf(given, 'out');
  if (out === undefined) print(said);
  else writeOut(out, said);
  const after = write && edits.length ? openText(path, uri, applied(text, edits)).analysis : analysis;
  return after.findings.some(isStandingError) ? 1 : 0;
}

/** A file for each bed that it takes. */
async function couponBeds(mechanism: Mechanism, ladder: Ladder): Promise<Uint8Array[]> {
  const { meshOf, threeMfOf } = partsMaker();
  const title = `Coupon of ${mechanism.name}`;
  return laidOut(couponParts(mechanism, ladder), processesOf(mechanism)).map(({ laid }) =>
    threeMfOf(laid, meshOf, { title }),
  );
}
