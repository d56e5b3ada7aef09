/** Angles of a turn, in rad. */

export const turn = 2 * Math.PI;

/** The angle in 0 ≤ a < 2π. */
export function wrapped(angle: number): number {
  if (angle >= 0 && angle < turn) return angle;
  const rest = angle % turn;
  const positive = rest < 0 ? rest + turn : rest;
  return positive < turn ? positive : 0;
}

export const degrees = (angle: number): number => (angle * 180) / Math.PI;
export const radians = (angle: number): number => (angle * Math.PI) / 180;
