import type { Diagnostic, Finding } from '@bedledger/diagnostics';
import { lengthText } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Cutter, House, Machine, MachineRecord, OperationName } from '@bedledger/fleet';
import type { Cutting } from '../feeds/cutting.ts';
import type { Layout, Site } from '../layout/model.ts';
import type { Withheld } from '../plan.ts';
import type { Move, NeutralProgram } from '../program.ts';
import { report } from '../report.ts';
import type { BedworkCode } from '../rules/index.ts';
import { motionTime, type TimeAccount } from '../time/motion-time.ts';
import { type Heights, inTravel, safeHeights } from './link-height.ts';
import { MotionWriter } from './motion-writer.ts';

/** What every operation is made from. */
export interface WorkContext {
  readonly record: MachineRecord;
  readonly machine: Machine;
  readonly house: House;
  readonly layout: Layout;
  readonly stacks: ReadonlyMap<string, Stack>;
  readonly findings: Diagnostic[];
  readonly overBed: Heights;
  readonly overBoard: Heights;
}

export type Form = 'first-fit' | 'refit' | null;

/** A program with where its minutes go, or why there is none. */
export type Outcome =
  | { readonly program: NeutralProgram; readonly time: TimeAccount; readonly cutting: Cutting | null }
  | { readonly withheld: Withheld }
  /** Neither made nor missed: the profile does not ask for it. */
  | { readonly notAsked: Withheld };

export function makeContext(
  record: MachineRecord,
  layout: Layout,
  stacks: ReadonlyMap<string, Stack>,
  findings: Diagnostic[],
): WorkContext {
  return {
    record,
    machine: record.machine,
    house: record.house,
    layout,
    stacks,
    findings,
    overBed: safeHeights(record, 'bed'),
    overBoard: safeHeights(record, 'board'),
  };
}

export function profilePlace(record: MachineRecord): { readonly file: string } {
  return { file: `machines/${record.machine.id}/machine.yaml` };
}

/** Adds a finding about the machine's profile to those of the plan. */
export function addFinding(
  context: Pick<WorkContext, 'record' | 'findings'>,
  finding: Omit<Finding<BedworkCode>, 'place'>,
): void {
  context.findings.push(report({ ...finding, place: profilePlace(context.record) }));
}

export function withheld(operation: OperationName, reason: string, form: Form = null): Outcome {
  return { withheld: { operation, form, reason } };
}

/** An operation that the profile does not ask for. */
export function notAsked(operation: OperationName, reason: string): Outcome {
  return { notAsked: { operation, form: null, reason, asked: false } };
}

export type Duty = 'drill' | 'pocket' | 'surface' | 'mark' | 'trim';

/** The cutter of a duty; null (with a finding of severity stop) when the profile names one that does not exist. */
export function cutterFor(context: WorkContext, duty: Duty): Cutter | null {
  const id = context.machine.cutters[duty];
  const cutter = id === null ? undefined : context.record.cutters.get(id);
  if (!cutter) {
    addFinding(context, {
      code: 'operations/no-cutter',
      message: `no cutter \`${id ?? 'none'}\` for the duty ${duty} in shared/cutters.yaml`,
      help: `name one of ${[...context.record.cutters.keys()].sort().join(', ') || 'the shared cutters'}`,
    });
    return null;
  }
  return cutter;
}

/** The layout's sites in visiting order, only those that `take` keeps. */
export function sitesInOrder(context: WorkContext, take: (site: Site) => boolean = () => true): Site[] {
  const { sites, order } = context.layout;
  const visited = order.length === sites.length ? order.map((i) => sites[i]!) : [...sites];
  return visited.filter(take);
}

/** Where a site's axis can be cut with a path of this radius about it. */
export function reachable(context: WorkContext, site: Site, radius: number): boolean {
  const [x, y] = site.actual;
  const { machine } = context;
  return inTravel(machine, x - radius, y - radius) && inTravel(machine, x + radius, y + radius);
}

export interface ProgramParts {
  readonly operation: OperationName;
  readonly form?: Form;
  readonly name: string;
  readonly title: string;
  readonly on: 'bed' | 'board';
  readonly cutter: Cutter | null;
  readonly before: readonly string[];
  readonly after: readonly string[];
  readonly cautions: readonly string[];
  readonly sites: readonly string[];
  readonly moves: readonly Move[];
  readonly cutting?: Cutting;
  /** Minutes of operator's time at one programmed stop. */
  readonly stopMinutes?: number;
}

/** Puts header and moves together and times them. */
export function assemble(context: WorkContext, parts: ProgramParts): Outcome {
  const { machine, record } = context;
  const heights = parts.on === 'bed' ? context.overBed : context.overBoard;
  const board = parts.on === 'board' ? record.state.board : null;
  const top = board !== null && machine.zZero === 'board-top';
  const zeroHeight = top && board ? board.thickness : 0;
  const start = { clear: heights.clear, spinUp: machine.spindle.spinUp, park: machine.park };
  const time = motionTime(
    parts.moves,
    machine,
    start,
    (parts.stopMinutes ?? handMinutes(context, 'stop', 0.5)) * 60,
  );
  if (heights.beyondTravel) {
    addFinding(context, {
      code: 'operations/clear-height',
      message: `${parts.name} needs a clear height of ${lengthText(heights.clear, machine.units)} over ${heights.highest.name} and the spindle's travel ends at ${lengthText(machine.travel.z[1], machine.units)}`,
      help: `lower ${heights.highest.name} or take it off the bed`,
    });
  }
  return {
    time,
    cutting: parts.cutting ?? null,
    program: {
      operation: parts.operation,
      form: parts.form ?? null,
      name: parts.name,
      header: {
        machineId: machine.id,
        machine: machine.title,
        title: parts.title,
        revision: record.revision,
        cutter: parts.cutter && {
          id: parts.cutter.id,
          title: parts.cutter.title,
          number: parts.cutter.number,
          diameter: parts.cutter.diameter,
        },
        zZero: top ? 'board-top' : 'bed',
        zeroHeight,
        keyIn: board ? (top ? 0 : board.thickness) : null,
        workOffset: machine.datum.workOffset,
        minutes: Math.max(0.1, Math.ceil(time.total / 6) / 10),
        before: parts.before,
        after: parts.after,
        cautions: parts.cautions,
        sites: parts.sites,
      },
      clearHeight: heights.clear,
      park: machine.park,
      spinUp: machine.spindle.spinUp,
      moves: parts.moves,
    },
  };
}

/** Hand time of a kind of step from the house's figures, minutes. */
export function handMinutes(context: Pick<WorkContext, 'house'>, kind: string, otherwise: number): number {
  return context.house.handTime[kind] ?? otherwise;
}

/** A writer for an operation on the bare bed or on the board. */
export function writerOn(context: WorkContext, on: 'bed' | 'board', floor: number): MotionWriter {
  const heights = on === 'bed' ? context.overBed : context.overBoard;
  return new MotionWriter({ clear: heights.clear, floor, stock: heights.stockTop });
}

/** True when a helix is a block or a few, not a chain of chords. */
export function hasHelices(machine: Machine): boolean {
  return machine.controller.arcs.form !== 'none' && machine.controller.arcs.helix;
}

/** A warm restart point at every so many sites. */
const SITES_PER_RESTART = 8;

/** Starts the section of a site; every eighth one is a restart point, the first always. */
export function siteSection(writer: MotionWriter, id: string, index: number): void {
  if (index % SITES_PER_RESTART === 0) writer.restart(`site ${id}`);
  else writer.section(`site ${id}`);
}

/** Those of the named outputs that the controller has. */
export function outputsOf(context: WorkContext, names: readonly string[]): string[] {
  return names.filter((name) => Object.hasOwn(context.machine.controller.auxiliary, name));
}

/** Lifts and switches the extraction off; the vacuum stays on until the operator is there. */
export function finishCutting(context: WorkContext, writer: MotionWriter): readonly Move[] {
  writer.retract();
  for (const name of outputsOf(context, ['extraction'])) writer.auxiliary(name, false);
  return writer.finish();
}

/** Reports what the feeds could not keep, once a program. */
export function reportTroubles(context: WorkContext, program: string, troubles: Cutting['troubles']): void {
  for (const trouble of troubles) {
    addFinding(context, { code: trouble.code, message: `${program}: ${trouble.text}` });
  }
}

/** Stops when the flutes are shorter than the cut is deep. */
export function checkCuttingLength(
  context: WorkContext,
  program: string,
  cutter: Cutter,
  depth: number,
): void {
  if (depth <= cutter.cuttingLength + 1e-6) return;
  const shankFits =
    cutter.shankDiameter <= cutter.diameter && cutter.stickOut !== null && depth < cutter.stickOut;
  addFinding(context, {
    code: 'operations/cutting-length',
    severity: shankFits ? 'warn' : 'stop',
    message: `${program}: the cut is ${lengthText(depth, context.machine.units)} deep and cutter ${cutter.id} cuts ${lengthText(cutter.cuttingLength, context.machine.units)} of its length`,
  });
}
