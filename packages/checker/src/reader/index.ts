export type { ReadOptions } from './options.ts';
export { readProgram } from './read-program.ts';
