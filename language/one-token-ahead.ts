/**
 * Stands in the bundles for the parser library's strategy of looking any number of tokens ahead. The grammar needs one
 * token everywhere (`maxLookahead: 1`), so that strategy is never made; leaving it out makes programs start sooner.
 */
export class LLStarLookaheadStrategy {
  constructor() {
    throw new Error('the grammar is read with one token of lookahead');
  }
}
