export { explainLayout, explainSite } from './layout/explain.ts';
export type { Clearance, Layout, Site } from './layout/model.ts';
export { planLayout } from './layout/plan-layout.ts';
export type { AccountLine, BillLine, Withheld, WorkPlan, WorkStep } from './plan.ts';
export { type PlanOptions, planMachine, stackInput } from './plan-machine.ts';
export type { Move, NeutralProgram } from './program.ts';
export { type MachineStatus, machineStatus, type VacuumTrend } from './run-order/status.ts';
export { type SurveyedMark, type SurveyReport, surveyReport } from './survey/survey-report.ts';
