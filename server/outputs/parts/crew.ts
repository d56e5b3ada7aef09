/** Who makes parts and looks at them: this thread alone, or others with it. */
import { type MadePart, madePart, type PartToMake } from './making.ts';
import { type Meeting, metBy, type Pair } from './meetings.ts';

/** Kinds of work: what a task is, and what comes of it. Plain data all of it, which travels between threads. */
export interface Work {
  readonly make: readonly [PartToMake, MadePart];
  readonly look: readonly [Pair, Meeting[]];
}

export type Kind = keyof Work;

/**
 * Begins with all tasks of a kind, and gives what comes of them in their order. Yields how many are taken up, after
 * each that is done here.
 */
export type Crew = <K extends Kind>(kind: K, tasks: readonly Work[K][0][]) => AsyncGenerator<number, Work[K][1][]>;

/** Does a task. */
export type Hands = <K extends Kind>(kind: K, task: Work[K][0]) => Promise<Work[K][1]>;

const does: { readonly [K in Kind]: (task: Work[K][0]) => Work[K][1] | Promise<Work[K][1]> } = {
  make: madePart,
  look: metBy,
};

export const hands: Hands = async (kind, task) => does[kind](task);

/** One thread that does all, a task after another. */
export const alone: Crew = async function* (kind, tasks) {
  const done = [];
  for (const task of tasks) {
    yield done.length;
    done.push(await hands(kind, task));
  }
  return done;
};
