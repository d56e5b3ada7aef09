/**
 * Printed parts as solids of a geometry kernel (manifold-3d). It is WebAssembly and starts only when something asks for
 * solids.
 */
import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { defaultSag, type Mesh, meshOf } from './mesh.ts';

/** The started kernel. */
export type Kernel = ManifoldToplevel;

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
export const solidOf = (kernel: Kernel, part: PrintedPart, sag = defaultSag): Manifold =>
  solidFrom(kernel, meshOf(kernel, part, sag));

/** The solid of a part's mesh. Whoever asks for it calls `delete` on it. */
export const solidFrom = (kernel: Kernel, { corners, triangles }: Mesh): Manifold =>
  kernel.Manifold.ofMesh(
    new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(corners), triVerts: triangles }),
  );
