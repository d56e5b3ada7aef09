/** What makes parts and their files: a bundle by itself, loaded when parts are asked for. */
export { threeMfOf } from './3mf.ts';
export { alone, hands } from './crew.ts';
export { partFiles } from './files.ts';
export { meshOf } from './mesh.ts';
