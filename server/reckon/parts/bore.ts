/** What parts on a shaft share: their bore, and where they sit. */
import type { Mechanism } from '../../../language/mechanism.ts';
import { positive } from '../shape/followers.ts';
import { boreLoop, type Unreckoned } from '../shape/keys.ts';
import type { Depth } from '../shape/stack.ts';
import { circle } from './loop.ts';
import type { Loop, Seat } from './part.ts';

/** The bore of a part on a shaft, its clearance included: keyed; on a shaft without a key, the bearing's round. */
export function boreOn(m: Mechanism, name: string): Loop | Unreckoned {
  const shaft = m.shafts.find((one) => one.name === name);
  const key = m.keys.find((one) => one.name === shaft?.key?.name);
  if (key) return boreLoop(key);
  const bearing = positive(shaft?.bearing);
  if (!shaft || bearing === undefined) return { because: `${name} does not say its key or bearing` };
  return circle(bearing / 2 + shaft.bearingClearance.value);
}

/** Whether parts go on a shaft in some ways only. */
export const isKeyed = (m: Mechanism, name: string): boolean =>
  m.shafts.some((shaft) => shaft.name === name && m.keys.some((key) => key.name === shaft.key?.name));

/** Radius of the circle about the shaft that a bore reaches to. */
export const boreRadius = (bore: Loop): number => Math.max(...bore.map(({ x, y }) => Math.hypot(x, y)));

/** The seat of a part that turns with a shaft and takes up a depth; undefined where the shaft says no place. */
export function seatOn(m: Mechanism, name: string, { to }: Depth): Seat | Unreckoned {
  const at = m.shafts.find((one) => one.name === name)?.at?.value;
  if (!at) return { because: `${name} does not say where it stands` };
  return { x: at.x, y: at.y, z: -to, turn: 0, moves: { with: 'shaft', name } };
}
