export type { ReadOptions } from './options.ts';
export { readProgram } from './read-program.ts';
export type { ReaderRule } from './rules.ts';
export { READER_RULES } from './rules.ts';
