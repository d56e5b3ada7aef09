import type { Mechanism } from '../../language/mechanism.ts';

/** The first level of a shaft that no cam or gear says it is on. */
export function nextFreeLevel(m: Mechanism, shaft: string): number {
  const taken = new Set(
    [...m.cams, ...m.gears].filter((part) => part.shaft?.name === shaft).map((part) => part.level?.value),
  );
  let level = 1;
  while (taken.has(level)) level++;
  return level;
}
