/** Printed parts as solids of a general-purpose library (manifold-3d), which shares no code with what makes them. */
import Module, { type Manifold, type ManifoldToplevel } from 'manifold-3d';
import { defaultSag, type Mesh, meshOf } from '../../../../server/outputs/parts/mesh.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';

/** The started library. */
export type Kernel = ManifoldToplevel;

let started: Promise<Kernel> | undefined;

/** Starts it, once. */
export function solidKernel(): Promise<Kernel> {
  started ??= Module().then((kernel) => {
    kernel.setup();
    return kernel;
  });
  return started;
}

/** The part as one solid, engraving cut out, in the part's frame. Whoever asks for it calls `delete` on it. */
export const solidOf = (kernel: Kernel, part: PrintedPart, sag = defaultSag): Manifold =>
  solidFrom(kernel, meshOf(part, sag));

/** The solid of a part's mesh. Whoever asks for it calls `delete` on it. */
export const solidFrom = (kernel: Kernel, { corners, triangles }: Mesh): Manifold =>
  kernel.Manifold.ofMesh(
    new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(corners), triVerts: triangles }),
  );
