/** Numbers as programs get them: what is printed as JSON is rounded here and nowhere else. */

/** To a millionth, so that the output is the same everywhere; without a negative zero. */
export const rounded = (value: number): number => Math.round(value * 1e6) / 1e6 + 0;

/** Plain data with all its numbers rounded. */
export function roundedThrough(value: unknown): unknown {
  if (typeof value === 'number') return rounded(value);
  if (Array.isArray(value)) return value.map(roundedThrough);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, roundedThrough(each)]));
}
