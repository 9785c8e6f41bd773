export { type BillLine, type BillMachine, billOfMaterials } from './bill/bill-of-materials.ts';
export { type Catalogue, catalogue, type DrillSize, type Found } from './catalogue/catalogue.ts';
export { parseSize, THREAD_DESIGNATIONS, type WrittenSize } from './catalogue/size.ts';
export {
  type CatalogueColumn,
  type CatalogueRow,
  type CatalogueTable,
  type ColumnUnit,
  figure,
  MM_PER_INCH,
  type TableKind,
} from './catalogue/table.ts';
export { metricStressArea, unifiedStressArea } from './catalogue/thread.ts';
export { headsFor, withHead, withWasher } from './fixing/change-part.ts';
export { clearanceHole, resolveFixing } from './fixing/resolve-fixing.ts';
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
export { adhesiveVolume } from './stack/adhesive.ts';
export { type Bore, boreFor } from './stack/bore.ts';
export { describeBounds, describeInfeasible, describeStack } from './stack/describe.ts';
export { drillPointLength, JOBBER_POINT } from './stack/drill-point.ts';
export { solveFittedStack } from './stack/fitted.ts';
export { boardGrowth, radialFloat } from './stack/growth.ts';
export { lengthTolerance } from './stack/length-tolerance.ts';
export { type LifeRow, lifeTable } from './stack/life-table.ts';
export { solveStack, stackOrNull } from './stack/solve.ts';
export { breakingLoad, insertShearArea, screwShearArea, strippingStrength } from './stack/stripping.ts';
export { torqueFor } from './stack/torque.ts';
