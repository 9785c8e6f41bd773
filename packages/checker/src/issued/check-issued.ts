import { type Diagnostic, raised } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import type { CheckReport, IssuedFiles, ProgramFile } from '../model.ts';
import { stackAt } from '../scene/fasteners.ts';
import { sceneOf } from '../scene/scene.ts';
import { type CheckedProgram, checkProgram } from './check-program.ts';
import { checkDocuments, isFile, nameOf } from './documents.ts';
import { boardOf, checkHold } from './hold-rules.ts';
import { readHoleTable } from './hole-table.ts';
import { checkHoles } from './holes-rules.ts';
import type { SitesOfRecord } from './operation-view.ts';
import { OPERATION_VIEWS } from './operations.ts';
import { checkSections } from './section-rules.ts';

/**
 * Reads the issued files of one machine as its controller and its operator would, and proves them against the record:
 * each program simulated over the bed as the ledger has it, the operations by what they are to make, the documents
 * against each other, the interlocks, and the order. Pure. Trusts nothing that the files claim.
 */
export function checkIssued(record: MachineRecord, issued: IssuedFiles): CheckReport {
  const table = tableOf(record, issued);
  const programs = checkPrograms(record, issued, table);
  const findings = [
    ...table.findings,
    ...programs.flatMap((program) => program.findings),
    ...checkAllSections(record, programs),
    ...checkDocuments(record, issued, programs),
  ];
  const figures = programs.flatMap((program) => program.simulated?.figures ?? []);
  return { findings: raised(findings, record.house.raise), figures };
}

/** The hole table read and judged, and the checker's own stack of each of its sites. */
interface Table extends SitesOfRecord {
  readonly record: MachineRecord;
  readonly findings: readonly Diagnostic[];
}

const tableByFile = new WeakMap<ProgramFile, Table>();

/** The hole table of the issued files; the same file object is not judged twice for the same record. */
function tableOf(record: MachineRecord, issued: IssuedFiles): Table {
  const known = tableByFile.get(issued.holes);
  if (known?.record === record) return known;
  const { rows: holes, fault } = readHoleTable(issued.holes, record.machine.units);
  const scene = sceneOf(record, { board: 'none', screws: false, clamps: false });
  const stacks = new Map<string, Stack>();
  const unknown = new Set<string>();
  const board = boardOf(record, holes);
  for (const hole of holes) {
    const uncertainty = scene.placement.uncertaintyAt([hole.nominalX, hole.nominalY]);
    const own = stackAt(
      record,
      board,
      { site: hole.site, at: [hole.x, hole.y], uncertainty },
      hole.screwLength,
    );
    if (own.stack) stacks.set(hole.site, own.stack);
    else if (own.unknown) unknown.add(hole.site);
  }
  const findings = [
    ...(fault ? [fault] : []),
    ...checkHoles(record, issued.holes, { holes, stacks, unknown }, scene),
    ...checkHold(record, issued.holes, { holes, stacks }, board),
  ];
  const table = { record, holes, stacks, unknown, findings };
  tableByFile.set(issued.holes, table);
  return table;
}

/** Every program of the manifest that is there; a missing one is reported with the documents. */
function checkPrograms(record: MachineRecord, issued: IssuedFiles, own: SitesOfRecord): CheckedProgram[] {
  const checked: CheckedProgram[] = [];
  const lastPart = new Map<string, CheckedProgram>();
  for (const entry of issued.manifest.programs) {
    const file = issued.programs.find((p) => isFile(p, entry.file));
    if (!file || !Object.hasOwn(OPERATION_VIEWS, entry.operation)) continue;
    const goesOn = OPERATION_VIEWS[entry.operation].work(record).kind === 'skim' && entry.part > 1;
    const before = goesOn ? (lastPart.get(entry.operation) ?? null) : null;
    const program = checkProgram({ record, entry, file }, own, before);
    lastPart.set(entry.operation, program);
    checked.push(program);
  }
  return checked;
}

/** How alike the sections of each operation are; its parts are one program, cut up for a small memory. */
function checkAllSections(record: MachineRecord, programs: readonly CheckedProgram[]): Diagnostic[] {
  const operations = new Map<string, CheckedProgram[]>();
  for (const program of programs) {
    const name = nameOf(program.entry);
    operations.set(name, [...(operations.get(name) ?? []), program]);
  }
  return [...operations.values()].flatMap((parts) => {
    const cases = parts.flatMap((part) => part.simulated?.c ?? []);
    return checkSections(cases, OPERATION_VIEWS[parts[0]!.entry.operation].work(record).kind);
  });
}
