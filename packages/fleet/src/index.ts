export type { Controller, Dialect, WordFormat } from './model/controller.ts';
export type { BedState, BoardState, Fact, IsoDate, Ledger, SiteState } from './model/ledger.ts';
export type {
  Bed,
  Gasket,
  GrooveChannels,
  GrooveGrid,
  Grooves,
  LayoutRules,
  Machine,
  Port,
  Range,
  SiteName,
  Zone,
} from './model/machine.ts';
export type { Manifest, ManifestProgram, OperationName } from './model/manifest.ts';
export { HOLE_COLUMNS } from './model/manifest.ts';
export type { Fleet, HeightMap, MachineRecord, SourceFile, Survey, SurveyFeature } from './model/record.ts';
export type { Shape } from './model/shape.ts';
export type { BoardStock, Cutter, CutterKind, House } from './model/shared.ts';
