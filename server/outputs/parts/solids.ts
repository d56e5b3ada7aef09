/**
 * Printed parts as solids of a geometry kernel (manifold-3d), and their triangle meshes as plain data. The kernel is
 * WebAssembly and starts only when something asks for solids.
 */
import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import { flattened } from '../../reckon/parts/loop.ts';
import type { PrintedPart, Prism } from '../../reckon/parts/part.ts';

/** The started kernel. */
export type Kernel = ManifoldToplevel;

/** How far chords lie from the arcs they stand for, mm, where nothing else is asked. */
export const defaultSag = 0.01;

let started: Promise<Kernel> | undefined;

/** Starts the kernel, once; `wasm` is the bytes of `manifold.wasm`, which Node finds by itself in a source tree. */
export function solidKernel(wasm?: BufferSource): Promise<Kernel> {
  started ??= import('manifold-3d').then(async ({ default: start }) => {
    const kernel = await start({ ...(wasm && { wasmBinary: wasm }) } as Parameters<typeof start>[0]);
    kernel.setup();
    return kernel;
  });
  return started;
}

/** The part as one solid, engraving cut out, in the part's frame. Whoever asks for it calls `delete` on it. */
export function solidOf(kernel: Kernel, { prisms, engraved }: PrintedPart, sag = defaultSag): Manifold {
  const body = unionOf(kernel, prisms, sag);
  if (engraved.length === 0) return body;
  const cut = unionOf(kernel, engraved, sag);
  const solid = body.subtract(cut);
  body.delete();
  cut.delete();
  return solid;
}

function unionOf(kernel: Kernel, prisms: readonly Prism[], sag: number): Manifold {
  const upright = prisms.flatMap(({ from, to, regions }) =>
    regions.map(({ outer, holes }) => {
      const outlines = [outer, ...holes].map((loop) =>
        flattened(loop, sag).map(({ x, y }): [number, number] => [x, y]),
      );
      const flat = kernel.Manifold.extrude(outlines, to - from);
      const raised = flat.translate(0, 0, from);
      flat.delete();
      return raised;
    }),
  );
  const union = kernel.Manifold.union(upright);
  for (const one of upright) one.delete();
  return union;
}

/** A closed surface of triangles, seen from outside counter-clockwise. */
export interface Mesh {
  /** x, y, z of every corner, mm. */
  readonly corners: Float64Array;
  /** Three corners a triangle. */
  readonly triangles: Uint32Array;
}

/** The part's surface in its own frame. */
export function meshOf(kernel: Kernel, part: PrintedPart, sag = defaultSag): Mesh {
  const solid = solidOf(kernel, part, sag);
  const { vertProperties, numProp, triVerts } = solid.getMesh();
  solid.delete();
  const count = vertProperties.length / numProp;
  const corners = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) for (let k = 0; k < 3; k++) corners[3 * i + k] = vertProperties[numProp * i + k];
  return { corners, triangles: Uint32Array.from(triVerts) };
}
