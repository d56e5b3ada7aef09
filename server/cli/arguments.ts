/** A command line, read against a table of options: plain data in, plain data or one sentence out. */
import { extname } from 'node:path';
import { nearest } from '../../language/near.ts';

export interface Option {
  readonly name: string;
  /** What stands after it (`PATH`); absent for a switch. */
  readonly takes?: string;
  readonly choices?: readonly string[];
  readonly repeats?: boolean;
  readonly help: string;
}

export interface Arguments {
  readonly files: readonly string[];
  /** By option name: the values given, in order; a switch that is set has an empty list. */
  readonly options: ReadonlyMap<string, readonly string[]>;
}

/** One sentence for standard error; the command ends with status 2. */
export class Refusal extends Error {}

/** The last value of an option. */
export const lastOf = (given: Arguments, name: string): string | undefined => given.options.get(name)?.at(-1);

/**
 * Reads what stands after the verb. `--name value`, `--name=value`, `--` (only files follow), `-` is a file.
 * @throws Refusal on an unknown option, a missing or an impossible value, an option said twice.
 */
export function readArguments(words: readonly string[], table: readonly Option[]): Arguments {
  const files: string[] = [];
  const options = new Map<string, string[]>();
  for (let i = 0; i < words.length; i++) {
    const word = words[i]!;
    if (word === '--') {
      files.push(...words.slice(i + 1));
      break;
    }
    if (word === '-' || !word.startsWith('-')) {
      files.push(word);
      continue;
    }
    const [said, attached] = splitOnce(word, '=');
    const option = table.find(({ name }) => `--${name}` === said);
    if (!option) throw new Refusal(`unknown option ${said}${suggestion(said, table)}`);
    const values = options.get(option.name) ?? [];
    if (options.has(option.name) && !option.repeats) throw new Refusal(`${said} is given twice`);
    options.set(option.name, values);
    if (!option.takes) {
      if (attached !== undefined) throw new Refusal(`${said} takes no value`);
      continue;
    }
    const value = attached ?? words[++i];
    if (value === undefined || value === '') throw new Refusal(`${said} wants ${option.takes} after it`);
    if (option.choices && !option.choices.includes(value)) {
      throw new Refusal(`${said} is one of ${option.choices.join(', ')}, not '${value}'`);
    }
    values.push(value);
  }
  return { files, options };
}

function splitOnce(word: string, mark: string): [string, string | undefined] {
  const at = word.indexOf(mark);
  return at < 0 ? [word, undefined] : [word.slice(0, at), word.slice(at + mark.length)];
}

function suggestion(said: string, table: readonly Option[]): string {
  const names = table.map(({ name }) => name);
  const [near] = nearest(said.replace(/^-+/, ''), names, 1);
  if (near) return `; did you mean --${near}?`;
  return `; there are ${[...names, 'help'].map((name) => `--${name}`).join(', ')}`;
}

/**
 * How to write what a verb makes: as `--format` says, else by the ending of `--out`, else as usual.
 * @throws Refusal on an ending that says nothing.
 */
export function kindOf<Kind extends string>(
  given: Arguments,
  verb: string,
  endings: Readonly<Record<string, Kind>>,
  usual: Kind,
): Kind {
  const out = lastOf(given, 'out');
  const said = lastOf(given, 'format') as Kind | undefined;
  if (said || out === undefined) return said ?? usual;
  const ending = extname(out).slice(1).toLowerCase();
  if (Object.hasOwn(endings, ending)) return endings[ending]!;
  const known = Object.keys(endings).filter((name) => name !== 'htm');
  const list = `${known
    .slice(0, -1)
    .map((name) => `.${name}`)
    .join(', ')} or .${known.at(-1)}`;
  throw new Refusal(`no ${verb} is written as '${out}'; end it in ${list}, or say --format`);
}
