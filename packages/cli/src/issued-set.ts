import { createHash } from 'node:crypto';
import { planMachine, type WorkPlan } from '@bedledger/bedwork';
import { type CheckReport, checkIssued } from '@bedledger/checker';
import type { Diagnostic } from '@bedledger/diagnostics';
import { InputError } from '@bedledger/diagnostics';
import { holeTable, machinePictures, runSheet } from '@bedledger/drawings';
import type { MachineRecord, Manifest } from '@bedledger/fleet';
import { type PostedFile, post } from '@bedledger/posts';

/** Everything one machine would receive, in memory, with the verdict on it. */
export interface IssuedSet {
  readonly id: string;
  /** Text by path below `machines/<id>/issued/`, in the order of the manifest, the manifest last. */
  readonly files: ReadonlyMap<string, string>;
  readonly manifest: Manifest;
  readonly plan: WorkPlan;
  readonly posted: readonly PostedFile[];
  readonly report: CheckReport;
  /** Plan and check together. A `stop` among them means that nothing may be written. */
  readonly findings: readonly Diagnostic[];
  readonly blocked: boolean;
}

/** Where a machine's issued files are, relative to the fleet's root. */
export function issuedFolder(id: string): string {
  return `machines/${id}/issued`;
}

export function sha256(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}

const isStop = (d: Diagnostic): boolean => d.severity === 'stop';

/**
 * From a machine's record to its issued files, checked from their text. Pure: reads and writes nothing.
 * A plan with a `stop` is not posted; a post that cannot express the plan is a `stop`; a program that fails its check is a `stop`.
 */
export function issueMachine(record: MachineRecord): IssuedSet {
  const plan = planMachine(record);
  const id = record.machine.id;
  const nothing = (findings: readonly Diagnostic[]): IssuedSet => ({
    id,
    files: new Map(),
    manifest: manifestOf(plan, [], new Map()),
    plan,
    posted: [],
    report: { findings: [], figures: [] },
    findings,
    blocked: true,
  });
  if (plan.findings.some(isStop)) return nothing(plan.findings);

  const posted: PostedFile[] = [];
  try {
    for (const program of plan.programs) posted.push(...post(program, record.machine.controller));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return nothing([...plan.findings, ...error.diagnostics]);
  }

  const files = new Map<string, string>();
  for (const file of posted) files.set(`programs/${file.name}`, file.text);
  files.set('holes.csv', holeTable(plan));
  const pictures = machinePictures(plan);
  for (const { file, svg } of pictures) files.set(file, svg);
  files.set('run-sheet.html', runSheet(plan, posted, pictures));
  const manifest = manifestOf(plan, posted, files);
  files.set('manifest.json', `${JSON.stringify(manifest, null, 2)}\n`);

  const report = checkIssued(record, issuedFiles(id, files, manifest));
  const findings = [...plan.findings, ...report.findings];
  return { id, files, manifest, plan, posted, report, findings, blocked: findings.some(isStop) };
}

/** The checker's view of a set of files. */
export function issuedFiles(id: string, files: ReadonlyMap<string, string>, manifest: Manifest) {
  const at = (path: string) => ({ path: `${issuedFolder(id)}/${path}`, text: files.get(path) ?? '' });
  return {
    programs: [...files.keys()].filter((path) => path.startsWith('programs/')).map(at),
    manifest,
    holes: at('holes.csv'),
    runSheet: at('run-sheet.html'),
  };
}

function manifestOf(
  plan: WorkPlan,
  posted: readonly PostedFile[],
  files: ReadonlyMap<string, string>,
): Manifest {
  const { machine, revision, state, sources } = plan.record;
  return {
    schema: 1,
    machine: machine.id,
    title: machine.title,
    revision,
    units: machine.units,
    boardThickness: state.board?.thickness ?? null,
    inputs: sources.map(({ path, sha256: hash }) => ({ path, sha256: hash })),
    files: [...files].map(([path, text]) => ({
      path,
      sha256: sha256(text),
      bytes: Buffer.byteLength(text, 'utf8'),
    })),
    programs: posted.map((file) => file.claims),
    withheld: plan.withheld.map(({ operation, form, reason }) => ({ operation, form, reason })),
  };
}
