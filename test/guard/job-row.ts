import { join } from 'node:path';
import { type GuardOptions, type GuardReport, guard } from '@bedledger/checker';
import { loadFleet, type Machine, type MachineRecord } from '@bedledger/fleet';

/** What must be said of a job: it may run, it may not, or nobody can vouch for it. */
export type Expected = 'run' | 'not' | 'unknown';

/**
 * One job: what must be said, why (worked out by hand from the geometry and the standard, never from the output), and the
 * blocks between the usual start and end of the machine's dialect.
 */
export type Row = readonly [expected: Expected, why: string, body: string, options?: RowOptions];

export interface RowOptions {
  /** The body is the whole file. */
  readonly raw?: true;
  readonly zero?: GuardOptions['zero'];
  readonly cutter?: string | number | null;
  readonly cutters?: Readonly<Record<number, string | number>>;
  readonly depth?: number;
  readonly sheet?: number;
  readonly place?: readonly [number, number, number, number];
  /** Spindle speed of the start. */
  readonly speed?: number;
}

export interface Hazard {
  readonly hazard: string;
  readonly machine: MachineName;
  readonly rows: readonly Row[];
}

const ROOT = join(import.meta.dirname, '../..');
const fixture = (name: string): string => join(import.meta.dirname, '../fixtures/fleets', name);

/**
 * The machines, with what the verdicts are worked out from (mm unless it says inches; heights above the bed):
 *
 * heron: board 17.766 thick from (-5, -5) to (1235, 2455), no screws in it, 28 inserts up to the bed surface; rapids straight;
 * tool setter 42 high, r 25 about (1340, 2430); travel X -50…1345, Y -50…2500, Z -12…190; bed from (-10, -10) to
 * (1370, 2460), its grooves 9 wide and 8 deep; zones A (50, 50)–(600, 820), B from X 630; cut limit 2.5; spin-up 6 s.
 * plover: board worn to 13.08, Z 0 on its top by habit, screw heads up to 11.15 and 11.05 in radius, A1 at (45.03, 55), A3 at
 * (745, 135); rapids axis by axis; G55; bed corner cut off beyond (1510, 1245)–(1545, 1200); spin-up 5 s.
 * egret: inches, ISO 6983, no board, F in every cutting block, no cycles; spin-up 8 s; travel Z -0.5…8.
 * curlew: straight lines only, comments after a semicolon, no work offset, dwell in ms, board 18.0425, no inserts, rapids axis by
 * axis; travel X -35…645, Y -35…945, Z -5…90; spin-up 3 s.
 * avocet: no decimal point (X100000 is 100 mm), single quadrant arcs, board 16.908 (17.228 at its highest), heads up to
 * 11.15, A1 at (33.91, 55.31); spin-up 8 s.
 * petrel: tool changer, G43, G28, board 18.0175, rapids of unknown path; clamped: the same with a clamp from (200, 300) to
 * (260, 340), 35 high. T1 6 mm, T2 6.35 mm, T3 5 mm, T4 8 mm that cannot plunge.
 * smew: small desktop machine, board 18.0175 from (0, 0) to (300, 200), bed from (-10, -10) to (310, 210), spin-up 2 s;
 * travel X -30…330, Y -30…230, Z -3…70; F at most 2000.
 */
const MACHINES = {
  heron: { root: ROOT, id: 'heron' },
  plover: { root: ROOT, id: 'plover' },
  egret: { root: ROOT, id: 'egret' },
  curlew: { root: ROOT, id: 'curlew' },
  avocet: { root: ROOT, id: 'avocet' },
  petrel: { root: fixture('controllers'), id: 'petrel' },
  clamped: { root: fixture('controllers'), id: 'petrel' },
  smew: { root: fixture('desktop'), id: 'smew' },
} as const;

export type MachineName = keyof typeof MACHINES;

const ngc = (offset: string, clear: number, wait: number, speed: number, length = 'G49'): Frame => ({
  start: `G21 G90 G17 G94 G40 ${length} G80 G98 ${offset}\nG0 Z${clear}\nS${speed} M3\nG4 P${wait}`,
  end: `G0 Z${clear}\nM5\nM30`,
});

interface Frame {
  readonly start: string;
  readonly end: string;
}

function frameOf(machine: MachineName, speed: number): Frame {
  switch (machine) {
    case 'heron':
      return ngc('G54', 70, 6, speed);
    case 'plover':
      return ngc('G55', 60, 5, speed);
    case 'smew':
      return ngc('G54', 50, 2, speed);
    case 'petrel':
    case 'clamped':
      return {
        start: `G21 G90 G17 G94 G40 G49 G80 G98 G54\nT1 M6\nG43 H1\nG0 Z60\nS${speed} M3\nG4 P5`,
        end: 'G0 Z60\nM5\nM30',
      };
    case 'egret':
      return {
        start: `%\n:1\nN10 G70 G90 G17 G94\nN15 G40 G54\nN20 G0 Z2.5\nN30 S${speed} M3\nN40 G4 X8.`,
        end: 'N900 G0 Z2.5\nN910 M5\nN920 M30',
      };
    case 'curlew':
      return { start: `G21\nG90\nG94\nG0 Z55.\nS${speed} M3\nG4 P3000`, end: 'G0 Z55.\nM5\nM30' };
    case 'avocet':
      return {
        start: `G71\nG90\nG0 Z60000\nS${speed} M3\nG4 X800`,
        end: 'G0 Z60000\nM5\nM30',
      };
  }
}

const records = new Map<MachineName, MachineRecord>();

export function recordOf(name: MachineName): MachineRecord {
  const known = records.get(name);
  if (known) return known;
  const { root, id } = MACHINES[name];
  const found = loadFleet(root).machines.find((m) => m.id === id)?.record;
  if (!found) throw new Error(`no machine ${id}`);
  const record = name === 'clamped' ? withClamp(found) : found;
  records.set(name, record);
  return record;
}

function withClamp(record: MachineRecord): MachineRecord {
  const clamps: Machine['clamps'] = [
    { id: 'front', shape: { kind: 'rect', at: [200, 300], size: [60, 40] }, height: 35 },
  ] as unknown as Machine['clamps'];
  return { ...record, machine: { ...record.machine, clamps } };
}

/** Text of a row's job. */
export function textOf(machine: MachineName, [, , body, options]: Row): string {
  if (options?.raw) return `${body}\n`;
  const { start, end } = frameOf(machine, options?.speed ?? 16000);
  return `${start}\n${body}\n${end}\n`;
}

export function judge(machine: MachineName, row: Row): GuardReport {
  const [, , , options = {}] = row;
  const extension = recordOf(machine).machine.controller.fileName.extension;
  return guard(
    recordOf(machine),
    { path: `JOB.${extension}`, text: textOf(machine, row) },
    {
      zero: options.zero ?? 'bed',
      cutter: options.cutter === undefined ? 'upcut-6' : options.cutter,
      cutters: new Map(Object.entries(options.cutters ?? {}).map(([tool, cutter]) => [Number(tool), cutter])),
      allowedDepth: options.depth ?? 0.5,
      work:
        options.sheet === undefined
          ? null
          : {
              thickness: options.sheet,
              ...(options.place && {
                place: {
                  at: [options.place[0], options.place[1]],
                  size: [options.place[2], options.place[3]],
                },
              }),
            },
    },
  );
}

const VERDICTS = { 'may-run': 'run', 'may-not': 'not', 'cannot-vouch': 'unknown' } as const;

export function verdictOf(report: GuardReport): Expected {
  return VERDICTS[report.verdict];
}
