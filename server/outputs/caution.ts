/** What is said wherever one looks at, or puts hands to, a numeral that is put together. */
export const caution =
  'Springs and bands hold energy; turning cams, gears and bars pinch. Keep fingers and faces clear, ' +
  'relieve the springs before opening. Local codes and licensed practice come first.';
