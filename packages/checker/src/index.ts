export type {
  CheckIssued,
  CheckReport,
  Guard,
  GuardOptions,
  GuardReport,
  IssuedFiles,
  ProgramFigures,
  ProgramFile,
} from './model.ts';
export type { EventKind, ModalState, ProgramEvent, Trace } from './trace.ts';
export { ARC, FEED, RAPID } from './trace.ts';
