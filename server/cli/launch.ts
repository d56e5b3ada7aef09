/**
 * Starts the command line. Most of a short command's time is spent on having its text compiled; what the engine made of
 * it in an earlier `check` or `compare` is kept beside it, for this build and this engine alone, and is used where it is there.
 */
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire, Module } from 'node:module';
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { Script } from 'node:vm';

/** Hash of the program's text, put in by the bundler. */
declare const LOBEWRIGHT_BUILD: string;

const program = join(__dirname, 'lobewright-main.cjs');
const kept = join(__dirname, `lobewright-main.${LOBEWRIGHT_BUILD}-${process.version}-${process.arch}.cache`);

function read(): Buffer | undefined {
  try {
    return readFileSync(kept);
  } catch {
    return undefined;
  }
}

// Few functions of a short command run often enough to be worth optimising as early as the engine is used to; a search does.
setFlagsFromString(`--interrupt-budget=${process.argv[2] === 'ease' ? 400_000 : 3_000_000}`);

const cachedData = read();
const script = new Script(Module.wrap(readFileSync(program, 'latin1')), { filename: program, cachedData });
const run = script.runInThisContext() as (...given: unknown[]) => void;

if (['check', 'compare'].includes(process.argv[2]!) && (!cachedData || script.cachedDataRejected)) {
  process.once('exit', () => {
    const beside = `${kept}.${process.pid}`;
    try {
      writeFileSync(beside, script.createCachedData());
      renameSync(beside, kept);
    } catch {
      // A folder that cannot be written to: the next start is as quick as this one.
      rmSync(beside, { force: true });
    }
  });
}
const own = { exports: {} };
run.call(own.exports, own.exports, createRequire(program), own, program, __dirname);
