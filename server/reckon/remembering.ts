/**
 * What was reckoned of the same numbers before: a keystroke changes few parts of a design, and the numerals of a board
 * are much alike. Only pure answers are kept, so that nobody can tell them from fresh ones.
 */

/** Answers by a text that tells all that they follow from; at least the latest `most` of them are kept. */
export class Latest<Answer> {
  private readonly most: number;
  private young = new Map<string, Answer>();
  private old = new Map<string, Answer>();

  constructor(most: number) {
    this.most = most;
  }

  get(key: string): Answer | undefined {
    const known = this.young.get(key);
    if (known !== undefined) return known;
    const older = this.old.get(key);
    return older === undefined ? undefined : this.keep(key, older);
  }

  keep(key: string, answer: Answer): Answer {
    if (this.young.size >= this.most) {
      this.old = this.young;
      this.young = new Map();
    }
    this.young.set(key, answer);
    return answer;
  }
}

let numbers = 0;
const ofObjects = new WeakMap<object, number>();
const ofTexts = new Latest<number>(4096);

/** A number that stands for an object, or for what a text tells, and for nothing else. */
export function numberFor(what: object | string): number {
  if (typeof what === 'string') return ofTexts.get(what) ?? ofTexts.keep(what, ++numbers);
  let number = ofObjects.get(what);
  if (number === undefined) {
    number = ++numbers;
    ofObjects.set(what, number);
  }
  return number;
}
