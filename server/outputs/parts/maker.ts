/** What makes the files of parts, with the kernel of solids that it needs: a bundle by itself. */
import { partFiles, type Wanted } from './files.ts';
import type { Kernel } from './solids.ts';

export { solidKernel } from './solids.ts';

export const maker = (kernel: Kernel) => (wanted: Wanted) => partFiles(kernel, wanted);
