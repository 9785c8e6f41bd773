export { guard, guardPicture, guardWithPicture } from './guard/guard.ts';
export type { GuardPicture } from './guard/picture.ts';
export { checkIssued } from './issued/check-issued.ts';
export type {
  CheckIssued,
  CheckReport,
  Guard,
  GuardOptions,
  GuardReport,
  IssuedFiles,
  ProgramFigures,
  ProgramFile,
  WorkPiece,
} from './model.ts';
export type { ReadOptions } from './reader/index.ts';
export { readProgram } from './reader/index.ts';
export { CHECKER_RULES, type CheckerCode } from './rules/table.ts';
export type { EventKind, ModalState, ProgramEvent, Trace } from './trace.ts';
export { ARC, CYCLE, FEED, MACHINE, MACHINE_X, MACHINE_Y, MACHINE_Z, NOT_SAID, RAPID } from './trace.ts';
