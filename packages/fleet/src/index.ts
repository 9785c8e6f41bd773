export type { Contradiction } from './controller/contradiction.ts';
export { dialectContradictions } from './controller/dialect-contradictions.ts';
export { peckBackOff } from './controller/peck.ts';
export { resolveController } from './controller/resolve.ts';
export { type BoreReading, parseBores } from './csv/bores.ts';
export { readConsistently } from './durable/consistent.ts';
export { codeOf, type Disk, systemDisk } from './durable/disk.ts';
export {
  type MachineLockOptions,
  machineIsBeingWritten,
  whileMachineIsOurs,
} from './durable/machine-lock.ts';
export { type Processes, type ProcessIdentity, systemProcesses } from './durable/processes.ts';
export {
  createFolder,
  isAside,
  leftoversOf,
  type NewContent,
  type Recovery,
  recoverFolder,
  replaceFolder,
} from './durable/replace-folder.ts';
export { writeFileAtomic } from './durable/write-file.ts';
export { bedFeatures } from './features/bed-features.ts';
export { gridGrooves } from './features/grooves.ts';
export { bedRegion, boardRegion, shapeRegion, zoneRegion } from './features/regions.ts';
export { type Appended, type AppendOptions, tryAppendFacts } from './ledger/append.ts';
export {
  type AsBuilt,
  asBuilt,
  floorAt,
  holeAt,
  insertAt,
  pocketAt,
  pocketWidthAt,
  screwAt,
  type Unknown,
} from './ledger/built.ts';
export { currentHeights } from './ledger/current-map.ts';
export { bedState } from './ledger/fold.ts';
export { futureFacts } from './ledger/future.ts';
export { factsGone } from './ledger/gone.ts';
export type { OddHeight, UnknownBoard } from './ledger/height-facts.ts';
export { lastThicknesses, oddHeights, possibleTops, unknownBoard } from './ledger/height-facts.ts';
export { standingStill, throughMarks } from './ledger/moved-machine.ts';
export { type FactsFile, ledgerEntries, readFactsFile } from './load/facts-file.ts';
export { fileText } from './load/files.ts';
export { inputHash } from './load/input-hash.ts';
export type { LoadedFleet, LoadOptions } from './load/load-fleet.ts';
export { listMachines, loadFleet, loadShared, readMachineFiles } from './load/load-fleet.ts';
export type { MachineFiles, ParsedMachine } from './load/parse-machine.ts';
export { parseMachine, SURVEY_FILE } from './load/parse-machine.ts';
export { recordFacts } from './load/record-fact.ts';
export type { SharedData } from './load/shared.ts';
export type { CommentStyle, Controller, Dialect, OutputName, WordFormat } from './model/controller.ts';
export { COMMENT_STYLES, DIALECTS, OUTPUT_NAMES } from './model/controller.ts';
export type { BedFeature, FeatureKind } from './model/feature.ts';
export type {
  BedState,
  BoardState,
  Fact,
  FactKind,
  FactOf,
  FigureSource,
  IsoDate,
  Ledger,
  PocketFigures,
  SiteState,
} from './model/ledger.ts';
export { SITE_STATES } from './model/ledger.ts';
export type {
  Bed,
  Duty,
  LayoutPattern,
  LayoutRules,
  Machine,
  SurfacingStyle,
  Zone,
  ZZero,
} from './model/machine.ts';
export { DUTIES } from './model/machine.ts';
export type { Form, Manifest, ManifestProgram, OperationName, RestartPoint } from './model/manifest.ts';
export { FORMS, HOLDS, holeColumns, OPERATION_NAMES } from './model/manifest.ts';
export type { HeightMap, MachineRecord, Survey, SurveyFeature } from './model/record.ts';
export type { Shape } from './model/shape.ts';
export type { BoardStock, Cutter, CutterKind, House } from './model/shared.ts';
export type { FleetCode, Locator } from './report.ts';
export { FLEET_RULES } from './report.ts';
export { jsonSchemas } from './schema/json-schemas.ts';
export { newMachineFiles } from './starter/new-machine.ts';
export type { FactWritten } from './written/ledger.ts';
export { readLength } from './written/quantity.ts';
