export type { Diagnostic, Place, Severity } from './diagnostic.ts';
export { InputError } from './diagnostic.ts';
