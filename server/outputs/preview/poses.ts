/** Where every part of a scene stands: after so many steps, and drawn apart along the shafts. Plain data; no drawing. */
import { standAfter } from '../../reckon/parts/standing.ts';
import type { PreviewPart, PreviewScene } from './scene.ts';

/** The origin of a part's frame, mm, in face coordinates (z to the reader), and the turn of the frame. */
export interface Pose {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly turned: number;
}

/** `steps` from home, forward; `apart` from 0, as built, to 1. */
export function posesAt(scene: Pick<PreviewScene, 'parts' | 'step'>, steps: number, apart: number): Pose[] {
  const shifts = apart > 0 ? shiftsOf(scene.parts) : [];
  return scene.parts.map(({ way, seat }, i) => ({
    ...standAfter(way, seat, steps * scene.step),
    z: seat.z + apart * (shifts[i] ?? 0),
  }));
}

/** Layers whose backs lie nearer than this are one, mm: less than any cam is thick, more than any clearance. */
const together = 0.6;
/** Between two layers that are drawn apart, as many times their usual distance. */
const wide = 4;
/** Where there is but one layer, mm. */
const least = 10;

/** How far every part moves along the shafts when all are apart, mm: the foremost layer stays, bars stand before their cams. */
export function shiftsOf(parts: readonly PreviewPart[]): number[] {
  const depths = [...new Set(parts.map(({ layer }) => layer))].sort((a, b) => b - a);
  const layers: number[] = [];
  for (const depth of depths) if (!(layers[layers.length - 1] - depth < together)) layers.push(depth);
  const steps = layers.slice(1).map((depth, i) => layers[i] - depth);
  const usual = steps.sort((a, b) => a - b)[steps.length >> 1] ?? 0;
  const gap = Math.max(least, wide * usual);
  return parts.map(({ layer, way }) => {
    const rank = layers.findLastIndex((depth) => depth >= layer - 1e-9);
    return -gap * (way.by === 'cam' ? rank - 0.5 : rank);
  });
}
