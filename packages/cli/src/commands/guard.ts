import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { type GuardOptions, type GuardReport, guard, guardWithPicture } from '@bedledger/checker';
import { compareSeverity, lengthNumber, lengthText, toPlain, type Units } from '@bedledger/diagnostics';
import { pathDrawing } from '@bedledger/drawings';
import type { MachineRecord } from '@bedledger/fleet';
import { textOption, UsageError } from '../arguments.ts';
import type { Command, CommandContext } from '../command.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { jobsOf, readJob } from '../guard/job-file.ts';
import { GUARD_OPTIONS, guardOptions } from '../guard/options.ts';
import { loadMachine } from '../load-machines.ts';
import type { Mark, Output } from '../output.ts';

type Verdict = GuardReport['verdict'];

const VERDICT: Readonly<Record<Verdict, string>> = {
  'may-run': 'may run on this bed today',
  'may-not': 'may not run on this bed today',
  'cannot-vouch': 'cannot be vouched for',
};

const MARK: Readonly<Record<Verdict, Mark>> = { 'may-run': 'ok', 'may-not': 'stop', 'cannot-vouch': 'warn' };

export const guardCommand: Command = {
  name: 'guard',
  usage: 'guard <machine> [program]',
  summary: 'may this job’s program run on this bed today?',
  options: GUARD_OPTIONS,
  examples: [
    'bedledger guard heron job.ngc --cutter upcut-6 --depth 0.3',
    'bedledger guard heron door.ngc --zero work --work-thickness 18 --cutter 3=upcut-6',
    'bedledger guard egret sign.ngc --zero board-top --drawing sign.svg',
    'bedledger guard plover --job-list jobs --cutter upcut-6',
  ],
  positional: [1, 2],
  needsFleet: true,
  run: async ({ args, output, root, cwd }) => {
    const [name, file] = args.positional as [string, string | undefined];
    const folder = textOption(args, 'job-list');
    if ((file === undefined) === (folder === undefined))
      throw new UsageError(
        file === undefined ? 'usage: a program is missing' : 'a program and a folder of programs are named',
        'name one program, or --job-list and a folder',
      );
    const { record, findings } = loadMachine(root, name);
    const options = guardOptions(args, record);
    output.diagnostics(findings.filter((f) => f.severity !== 'note'));
    if (folder !== undefined) return guardList({ record, options, output, cwd }, name, folder);
    return guardOne({ record, options, output, cwd }, name, file!, textOption(args, 'drawing'));
  },
};

interface Call {
  readonly record: MachineRecord;
  readonly options: GuardOptions;
  readonly output: CommandContext['output'];
  readonly cwd: string;
}

function exitOf(verdict: Verdict): ExitCode {
  return verdict === 'may-run' ? EXIT.fine : EXIT.findings;
}

/** One job: what is assumed, the verdict, the deepest places and the nearest metal, what was found. */
function guardOne(
  { record, options, output, cwd }: Call,
  name: string,
  file: string,
  drawing?: string,
): ExitCode {
  const { report, picture } = guardWithPicture(record, { path: file, text: readJob(cwd, file) }, options);
  const { units } = record.machine;
  for (const assumption of report.assumptions) output.line(`          assumed  ${assumption}`);
  output.marked(MARK[report.verdict], `${file} ${VERDICT[report.verdict]} (${name})`);
  tellPlaces(output, report, units);
  output.diagnostics(report.findings);
  if (drawing !== undefined) {
    writeFileSync(resolve(cwd, drawing), drawingOf(record, file, report, picture));
    output.line(`          drawn    ${drawing}`);
  }
  output.object({ command: 'guard', machine: name, ...plainReport(file, report) });
  return exitOf(report.verdict);
}

function tellPlaces(output: Output, report: GuardReport, units: Units): void {
  const long = (mm: number): string => lengthText(mm, units);
  for (const d of report.deepest)
    output.line(
      `          deepest  ${d.what}: Z ${long(d.z)} at ${placeText(d.x, d.y, units)}, line ${d.line}`,
    );
  for (const n of report.nearest)
    output.line(`          nearest  ${n.name}: ${long(n.distance)}, line ${n.line}`);
  for (const n of report.notUnderstood) {
    const line = n.place?.line === undefined ? '' : `, line ${n.place.line}`;
    output.line(`          unknown  ${n.message}${line}`);
  }
}

function placeText(x: number, y: number, units: Units): string {
  return `X ${lengthNumber(x, units)} Y ${lengthNumber(y, units)}`;
}

function plainReport(file: string, report: GuardReport): object {
  return {
    program: file,
    verdict: report.verdict,
    assumptions: report.assumptions,
    deepest: report.deepest,
    nearest: report.nearest,
    figures: report.figures,
    notUnderstood: report.notUnderstood.map(toPlain),
    findings: report.findings.map(toPlain),
  };
}

/** Every job of a folder, one line each; the exit is that of the worst. */
function guardList({ record, options, output, cwd }: Call, name: string, folder: string): ExitCode {
  const jobs: object[] = [];
  const count: Record<Verdict, number> = { 'may-run': 0, 'may-not': 0, 'cannot-vouch': 0 };
  for (const file of jobsOf(cwd, folder)) {
    const report = guard(record, { path: file, text: readJob(cwd, file) }, options);
    if (jobs.length === 0)
      for (const assumption of report.assumptions.filter((a) => !a.startsWith('cutter')))
        output.line(`          assumed  ${assumption}`);
    count[report.verdict]++;
    output.marked(MARK[report.verdict], `${file} ${VERDICT[report.verdict]}${reasonOf(report)}`);
    jobs.push(plainReport(file, report));
  }
  output.line(
    `${jobs.length} jobs on ${name}: ${count['may-run']} may run, ${count['may-not']} may not, ${count['cannot-vouch']} cannot be vouched for`,
  );
  output.object({ command: 'guard', machine: name, jobs });
  return count['may-not'] + count['cannot-vouch'] === 0 ? EXIT.fine : EXIT.findings;
}

/** The first thing that decides the verdict, or the cutters of a job that may run. */
function reasonOf(report: GuardReport): string {
  const cutters = report.assumptions.filter((a) => a.startsWith('cutter: ')).map((a) => a.slice(8));
  if (report.verdict === 'may-run') return cutters.length === 0 ? '' : ` (${cutters.join('; ')})`;
  const list = report.verdict === 'cannot-vouch' ? report.notUnderstood : report.findings;
  const [worst] = [...list].sort((a, b) => compareSeverity(b.severity, a.severity));
  if (worst === undefined) return '';
  return `: ${worst.message}${worst.place?.line === undefined ? '' : `, line ${worst.place.line}`}`;
}

function drawingOf(
  record: MachineRecord,
  file: string,
  report: GuardReport,
  picture: ReturnType<typeof guardWithPicture>['picture'],
): string {
  const long = (mm: number): string => lengthText(mm, record.machine.units);
  return pathDrawing(record, {
    segments: picture.segments,
    metal: picture.nearest.map((n) => ({ at: [n.x, n.y] as const, radius: 5 })),
    marks: [
      ...report.deepest.map((d) => ({
        at: [d.x, d.y] as const,
        text: `deepest, ${d.what}: Z ${long(d.z)}, line ${d.line}`,
        stop: report.verdict === 'may-not',
      })),
      ...picture.nearest.slice(0, 4).map((n) => ({
        at: [n.x, n.y] as const,
        text: `${n.name}: ${long(n.distance)}, line ${n.line}`,
        stop: n.distance <= 0,
      })),
    ],
    title: file.split(/[/\\]/).pop() as string,
    verdict: VERDICT[report.verdict],
    boardTop: picture.boardTop,
  });
}
