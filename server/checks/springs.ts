/** What the pages and checks of springs share. */

/** The caution that stands wherever a spring is told. */
export const springCaution =
  'A spring that is held short or long stores energy and can fly off while it is put in or taken out: wear eye protection, keep ' +
  'fingers clear, and follow the rules that hold where you build.';
