/** Starts the command line. */
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { compiled } from './compiled.ts';

// Few functions of a short command run often enough to be worth optimising as early as the engine is used to; a search does.
setFlagsFromString(`--interrupt-budget=${process.argv[2] === 'ease' ? 400_000 : 3_000_000}`);

// What `check` and `compare` have compiled serves every other verb.
compiled(join(__dirname, 'lobewright-main.cjs'), ['check', 'compare'].includes(process.argv[2]!));
