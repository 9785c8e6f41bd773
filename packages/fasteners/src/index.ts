export {
  type Figure,
  fixingFromFigures,
  type InsertFigures,
  insertFigures,
  insertFromFigures,
  type ScrewFigures,
  screwFigures,
} from './as-built/figures.ts';
export type { ColumnUnit, TableKind } from './catalogue/table.ts';
export { withHead, withWasher } from './fixing/change-part.ts';
export type { ResolveOptions } from './fixing/findings.ts';
export { resolveFixing } from './fixing/resolve-fixing.ts';
export type {
  ClearanceSeries,
  FixingWritten,
  InsertMaterial,
  InsertWritten,
  Measuring,
  ScrewMaterial,
  ScrewWritten,
  SocketWritten,
  WasherName,
  WasherWritten,
} from './fixing/written.ts';
export type {
  Bound,
  Dimension,
  Fixing,
  Grade,
  HandDrills,
  Insert,
  Provenance,
  Screw,
  Socket,
  Stack,
  StackInput,
  StackResult,
  StackRules,
  Thread,
  Washer,
} from './model.ts';
export {
  type CatalogueSummary,
  catalogueSummary,
  type FastenerColumn,
  type FastenerResult,
  type FastenerRow,
  type FindOptions,
  findFasteners,
} from './query/find-fasteners.ts';
export { FASTENER_RULES, type FastenerCode } from './rules/index.ts';
export { drillAtLeast, drillNamed } from './stack/bore.ts';
export { describeInfeasible, describeStack } from './stack/describe.ts';
export { type LifeRow, lifeTable } from './stack/life-table.ts';
export { type HoleAsked, holeAsked } from './stack/numbers.ts';
export { type BoardSite, remediesForAll, type StackRemedy } from './stack/remedies.ts';
export { type Built, builtStack, solveStack, stackOrNull } from './stack/solve.ts';
