import type { Severity } from './mechanism.ts';

/**
 * The page of a finding: what the documentation, the editor's link and the tests read of it. Texts are markdown,
 * sentences in a maker's words.
 *
 * An example is a whole little design. `«…»` marks the text at which a finding of this code must stand (the marks are
 * taken away before it is read); an example without marks must not raise the code.
 */
export interface FindingPage {
  /** Stable, kebab-case. */
  readonly code: string;
  /** The usual one; `means` says when it is another. */
  readonly severity: Severity;
  /** A few words: what is wrong. */
  readonly title: string;
  /** What it means for the mechanism that would be built. */
  readonly means: string;
  /** The formula it is reckoned by. */
  readonly reckoned?: string;
  /** Where the formula or the limit is published; says so where it is derived here or common practice. */
  readonly source?: string;
  /** A worked example in numbers. */
  readonly worked?: string;
  readonly remedy: string;
  readonly examples: readonly PageExample[];
}

export interface PageExample {
  readonly title: string;
  readonly text: string;
}
