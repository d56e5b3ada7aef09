/** The command line: one verb, its options, its files. Each verb's work is loaded only when it is asked for. */
import '../../language/group-by.mjs';
import { nearest } from '../../language/near.ts';
import { Refusal, readArguments } from './arguments.ts';
import { print } from './files.ts';
import { overview, type Status, verbHelp, verbs } from './verbs.ts';

async function run([word, ...rest]: readonly string[]): Promise<Status> {
  if (word === undefined) throw new Refusal(`say what to do: ${Object.keys(verbs).join(', ')}; --help tells more`);
  if (word === '--help' || word === '-h' || word === 'help') {
    const verb = rest[0] === undefined ? undefined : verbs[rest[0]];
    print(verb ? verbHelp(rest[0]!, verb) : overview());
    return 0;
  }
  if (word === '--version') {
    print(`lobewright ${LOBEWRIGHT_VERSION}\n`);
    return 0;
  }
  const verb = Object.hasOwn(verbs, word) ? verbs[word] : undefined;
  if (!verb) {
    const [near] = nearest(word, Object.keys(verbs), 1);
    const hint = near ? ` (did you mean ${near}?)` : '';
    throw new Refusal(`no verb '${word}'${hint}; there are ${Object.keys(verbs).join(', ')}`);
  }
  if (rest.includes('--help') || rest.includes('-h')) {
    print(verbHelp(word, verb));
    return 0;
  }
  return verb.run(readArguments(rest, verb.options));
}

run(process.argv.slice(2)).then(
  (status) => {
    process.exitCode = status;
  },
  (failure: unknown) => {
    const sentence =
      failure instanceof Refusal ? failure.message : `unexpected failure: ${(failure as Error)?.stack ?? failure}`;
    process.stderr.write(`lobewright: ${sentence}\n`);
    process.exitCode = 2;
  },
);
