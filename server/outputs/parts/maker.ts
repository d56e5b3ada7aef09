/** What makes parts and their files, with the kernel of solids that it needs: a bundle by itself. */
import { alone, handsWith } from './crew.ts';
import { partFiles, type Wanted } from './files.ts';
import type { Kernel } from './solids.ts';

export { threeMfOf } from './3mf.ts';
export { handsWith } from './crew.ts';
export { partFiles } from './files.ts';
export { meshOf } from './mesh.ts';
export { solidKernel } from './solids.ts';

/** The files of parts, made by one thread. */
export const maker = (kernel: Kernel) => (wanted: Wanted) => partFiles(alone(handsWith(kernel)), wanted);
