export { stackInput } from './base/stack-input.ts';
export {
  type Clamp,
  type Cutting,
  cuttingFor,
  cuttingPower,
  feedRate,
  thinningFactor,
} from './feeds/cutting.ts';
export { rimSpeed, type SpeedCap, speedCap } from './feeds/speed-limits.ts';
export type { Clearance } from './lands/clearances.ts';
export { explainLayout, explainSite } from './layout/explain.ts';
export type { Layout, Site } from './layout/model.ts';
export { planLayout } from './layout/plan-layout.ts';
export type { Move, NeutralProgram } from './motion/program.ts';
export type { Withheld } from './operations/outcome.ts';
export { centreFeed, helixPitch, pointLength } from './operations/round-cut.ts';
export type { WorkPlan } from './plan/plan.ts';
export { type PlanOptions, planMachine } from './plan/plan-machine.ts';
export { type MachineStatus, machineStatus, type VacuumTrend } from './plan/status.ts';
export { BEDWORK_RULES, type BedworkCode } from './rules/index.ts';
export type { BillLine } from './run-order/bill.ts';
export type { WorkStep } from './run-order/step.ts';
export { dustFrom } from './surfacing/dust.ts';
export { lowestPlane, type Plane, planeAt } from './surfacing/lowest-plane.ts';
export {
  planPath,
  type SurfacePath,
  type SurfacingRules,
  triangleOverrun,
  unreachableStrip,
} from './surfacing/path.ts';
export { planRemoval, type Removal, type SkimRules, type SkimSource } from './surfacing/removal.ts';
export { type TiltFinding, type TramMarks, tiltFromRidge, tramMarks } from './surfacing/tram.ts';
export { type SurveyedMark, type SurveyReport, surveyReport } from './survey/survey-report.ts';
export { timeCorrection } from './time/correction.ts';
export { cornerSpeed, motionTime, restToRest, segmentTime, type TimeAccount } from './time/motion-time.ts';
export { atmosphericPressure, fromInHg, toInHg } from './vacuum/atmosphere.ts';
export { type CordFit, cordFit } from './vacuum/gasket-cord.ts';
export { holdingForce, lateralHold, smallestPart } from './vacuum/holding.ts';
export { boardLeak, calibratePermeability, holeLeak } from './vacuum/leak.ts';
export type { AccountLine } from './work/account-line.ts';
export type { SkimOptions } from './work/context.ts';
