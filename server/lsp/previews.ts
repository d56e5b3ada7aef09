/** What the preview asks for. Loaded when it does. */
import { type PreviewShape, sceneOf, shapesOf } from '../outputs/preview/scene.ts';
import type { ChartState, PreviewState, ShapesOf } from '../protocol.ts';

/** Pauses often. */
export function* previewing({ mechanisms, ...state }: ChartState, name: unknown): Generator<void, PreviewState> {
  const shown = mechanisms.find(({ mechanism }) => mechanism.name === name) ?? mechanisms[0]!;
  return {
    ...state,
    mechanisms: mechanisms.map(({ mechanism }) => ({
      name: mechanism.name,
      title: mechanism.about.title ?? mechanism.name,
    })),
    scene: yield* sceneOf(shown),
  };
}

/** Pauses often. */
export function* shaping({ mechanisms }: ChartState, asked: ShapesOf): Generator<void, readonly PreviewShape[]> {
  const shown = mechanisms.find(({ mechanism }) => mechanism.name === asked.mechanism);
  const shapes: readonly unknown[] = Array.isArray(asked.shapes) ? asked.shapes : [];
  return shown
    ? yield* shapesOf(
        shown,
        shapes.filter((name) => typeof name === 'string'),
      )
    : [];
}
