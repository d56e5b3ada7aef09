/**
 * Programs that come with the command line, compiled. Most of a short command's time is spent on having its text compiled;
 * what the engine made of it in an earlier run is kept beside it, for this text and this engine alone, and is used where
 * it is there.
 */
import { readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createRequire, Module } from 'node:module';
import { dirname } from 'node:path';
import { Script } from 'node:vm';

/** What a program exports. `keeps`: whether what is compiled by the end of this run is kept for the next. */
export function compiled(program: string, keeps: boolean): unknown {
  const { size, mtimeMs } = statSync(program);
  const text = [LOBEWRIGHT_VERSION, size, mtimeMs].join('-');
  const kept = `${program}.${text}-${process.version}-${process.arch}.cache`;
  const cachedData = read(kept);
  // Programs are bundled as ASCII, whatever letters they mean: so they are read several times as fast.
  const script = new Script(Module.wrap(readFileSync(program, 'latin1')), { filename: program, cachedData });
  const run = script.runInThisContext() as (...given: unknown[]) => void;
  if (keeps && (!cachedData || script.cachedDataRejected)) process.once('exit', () => keep(script, kept));
  const own = { exports: {} };
  run.call(own.exports, own.exports, createRequire(program), own, program, dirname(program));
  return own.exports;
}

function read(path: string): Buffer | undefined {
  try {
    return readFileSync(path);
  } catch {
    return undefined;
  }
}

function keep(script: Script, path: string): void {
  const beside = `${path}.${process.pid}`;
  try {
    writeFileSync(beside, script.createCachedData());
    renameSync(beside, path);
  } catch {
    // A folder that cannot be written to: the next start is as quick as this one.
    rmSync(beside, { force: true });
  }
}
