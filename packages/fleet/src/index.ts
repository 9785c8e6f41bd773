export { resolveController } from './controller/resolve.ts';
export { parseHeights } from './csv/heights.ts';
export { parseSurvey } from './csv/survey.ts';
export { bedFeatures } from './features/bed-features.ts';
export { type GridGroove, gridGrooves, gridLines } from './features/grooves.ts';
export { bedRegion, boardRegion, shapeRegion, zoneRegion } from './features/regions.ts';
export type { Appended, AppendOptions } from './ledger/append.ts';
export { appendFact, tryAppendFact } from './ledger/append.ts';
export { currentHeights } from './ledger/current-map.ts';
export { formatFact } from './ledger/format-fact.ts';
export type { LedgerDamage } from './ledger/recover.ts';
export { examineLedger } from './ledger/recover.ts';
export { bedState, ledgerFindings } from './ledger/state.ts';
export { writeFileAtomic } from './load/atomic-write.ts';
export { canonicalJson } from './load/canonical.ts';
export type { FileText } from './load/files.ts';
export { fileText } from './load/files.ts';
export type { LoadedFleet, LoadOptions } from './load/load-fleet.ts';
export { listMachines, loadFleet, loadShared, readMachineFiles } from './load/load-fleet.ts';
export type { MachineFiles, ParsedMachine } from './load/parse-machine.ts';
export { parseMachine } from './load/parse-machine.ts';
export { recordFact } from './load/record-fact.ts';
export type { SharedData, SharedFiles } from './load/shared.ts';
export { parseShared, SHARED_PATHS } from './load/shared.ts';
export type { CommentStyle, Controller, Dialect, OutputName, WordFormat } from './model/controller.ts';
export { COMMENT_STYLES, DIALECTS, OUTPUT_NAMES } from './model/controller.ts';
export type { BedFeature, FeatureKind } from './model/feature.ts';
export type { BedState, BoardState, Fact, FactKind, IsoDate, Ledger, SiteState } from './model/ledger.ts';
export { SITE_STATES } from './model/ledger.ts';
export type {
  Bed,
  Duty,
  Gasket,
  GrooveChannels,
  GrooveGrid,
  Grooves,
  LayoutPattern,
  LayoutRules,
  Machine,
  Port,
  Range,
  SiteName,
  SurfacingStyle,
  Zone,
  ZZero,
} from './model/machine.ts';
export { DUTIES, LAYOUT_PATTERNS, SURFACING_STYLES, Z_ZEROS } from './model/machine.ts';
export type { Form, Manifest, ManifestProgram, OperationName } from './model/manifest.ts';
export { FORMS, holeColumns, OPERATION_NAMES } from './model/manifest.ts';
export type { Fleet, HeightMap, MachineRecord, SourceFile, Survey, SurveyFeature } from './model/record.ts';
export type { Shape } from './model/shape.ts';
export type { BoardStock, Cutter, CutterKind, House } from './model/shared.ts';
export { CUTTER_KINDS } from './model/shared.ts';
export { jsonSchemas } from './schema/json-schemas.ts';
export { readYaml } from './source/yaml-source.ts';
export type { NewMachine } from './starter/new-machine.ts';
export { newMachineFiles } from './starter/new-machine.ts';
export type { ControllerWritten } from './written/controller.ts';
export type { FactWritten, LedgerWritten } from './written/ledger.ts';
export type { MachineWritten } from './written/machine.ts';
export { readLength } from './written/quantity.ts';
