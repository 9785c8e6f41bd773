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
