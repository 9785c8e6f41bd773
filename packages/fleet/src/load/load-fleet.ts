import { type Diagnostic, didYouMean, hasStop, sortDiagnostics } from '@bedledger/diagnostics';
import { machineIdFault } from '../model/machine-id.ts';
import type { Fleet } from '../model/record.ts';
import { report } from '../report.ts';
import { type FileText, isFleetFolder, isNoFolder, readFleetFile, readFleetFolder } from './files.ts';
import { type MachineFiles, type ParsedMachine, parseMachine } from './parse-machine.ts';
import { parseShared, SHARED_PATHS, type SharedData } from './shared.ts';

export interface LoadOptions {
  /** Load these machines only. */
  readonly only?: readonly string[];
  /** The shared files, where they are read already. */
  readonly shared?: SharedData;
}

export interface LoadedFleet {
  /** Every machine that is sound; null when the shared files are not, or there is no fleet here at all. */
  readonly fleet: Fleet | null;
  /** Everything that was found, sorted: shared files and all machines together. */
  readonly diagnostics: readonly Diagnostic[];
  /** One entry a machine, in the order of their identifiers: the errors of one do not hide the others. */
  readonly machines: readonly ParsedMachine[];
}

/** Identifiers of all machines below `root/machines`, sorted: every folder there that is not hidden, links to folders included. */
export function listMachines(root: string): string[] {
  return (readFleetFolder(root, 'machines') ?? [])
    .filter((e) => !e.name.startsWith('.') && e.name !== 'node_modules')
    .filter((e) => e.isDirectory() || (e.isSymbolicLink() && isFleetFolder(root, `machines/${e.name}`)))
    .map((e) => e.name);
}

/** A file that is there but cannot be read is one cause: it is not missing as well. */
function withoutMissing(unreadable: readonly Diagnostic[], others: readonly Diagnostic[]): Diagnostic[] {
  const named = new Set(unreadable.map((d) => d.place?.file));
  const missing = (d: Diagnostic) => d.code === 'shared/missing-file' || d.code === 'file/missing';
  return [...unreadable, ...others.filter((d) => !missing(d) || !named.has(d.place?.file))];
}

/** The four shared files of a fleet. */
export function loadShared(root: string): SharedData {
  const unreadable: Diagnostic[] = [];
  const read = (path: string) => readFleetFile(root, path, unreadable);
  const shared = parseShared({
    cutters: read(SHARED_PATHS.cutters),
    boards: read(SHARED_PATHS.boards),
    fixings: read(SHARED_PATHS.fixings),
    house: read(SHARED_PATHS.house),
  });
  return { ...shared, diagnostics: withoutMissing(unreadable, shared.diagnostics) };
}

/** The files of one machine. Files that cannot be read are findings. */
export function readMachineFiles(
  root: string,
  id: string,
): { files: MachineFiles; diagnostics: Diagnostic[] } {
  const diagnostics: Diagnostic[] = [];
  const folder = `machines/${id}`;
  const read = (name: string) => readFleetFile(root, `${folder}/${name}`, diagnostics);
  const heights: FileText[] = [];
  if (isNoFolder(root, `${folder}/heights`)) {
    diagnostics.push(
      report({
        code: 'file/no-folder',
        place: { file: `${folder}/heights` },
        message: '`heights` is a file, expected a folder of height maps',
      }),
    );
  }
  for (const e of readFleetFolder(root, `${folder}/heights`) ?? []) {
    if (!e.name.endsWith('.csv')) continue;
    const file = read(`heights/${e.name}`);
    if (file) heights.push(file);
  }
  return {
    files: {
      id,
      profile: read('machine.yaml'),
      ledger: read('ledger.yaml'),
      survey: read('survey.csv'),
      heights,
      package: read('package.json'),
    },
    diagnostics,
  };
}

function wrongName(id: string, fault: 'pattern' | 'reserved'): Diagnostic {
  const folder = `machines/${id}`;
  return fault === 'reserved'
    ? report({
        code: 'fleet/reserved-name',
        place: { file: folder },
        message: `\`${id}\` is the name of a device on Windows, where a machine cannot be called so`,
      })
    : report({
        code: 'fleet/folder-name',
        place: { file: folder },
        message: `the folder \`${folder}\` is no identifier, expected a small letter, then small letters, digits or \`-\``,
      });
}

function loadMachine(root: string, id: string, shared: SharedData): ParsedMachine {
  const fault = machineIdFault(id);
  if (fault !== null) return { id, record: null, diagnostics: [wrongName(id, fault)] };
  const { files, diagnostics } = readMachineFiles(root, id);
  const parsed = parseMachine(files, shared);
  if (diagnostics.length === 0) return parsed;
  return {
    id,
    record: null,
    diagnostics: sortDiagnostics(withoutMissing(diagnostics, parsed.diagnostics)),
  };
}

/**
 * Load the fleet below `root`: `shared/*.yaml` and every `machines/<id>/`. Nothing is thrown for a wrong file; every
 * error of every file is in the result. A machine with a finding of severity stop has no record.
 */
export function loadFleet(root: string, options: LoadOptions = {}): LoadedFleet {
  const all = listMachines(root);
  const found: Diagnostic[] = [];
  if (all.length === 0) {
    const message = 'there is no machine here, expected folders below `machines/`';
    found.push(report({ code: 'fleet/empty', place: { file: 'machines' }, message }));
  }
  const wanted = options.only ? [...new Set(options.only)].sort() : all;
  for (const id of wanted) {
    if (all.includes(id)) continue;
    const known =
      all.length > 0 ? `the machines are ${all.join(', ')}` : 'start one with `bedledger new <id>`';
    found.push(
      report({
        code: 'fleet/unknown-machine',
        message: `there is no machine \`${id}\``,
        help: didYouMean(id, all) ?? known,
      }),
    );
  }
  const shared = options.shared ?? loadShared(root);
  found.push(...shared.diagnostics);
  const machines = wanted.filter((id) => all.includes(id)).map((id) => loadMachine(root, id, shared));
  const diagnostics = sortDiagnostics([...found, ...machines.flatMap((m) => m.diagnostics)]);
  const fleet = hasStop(found)
    ? null
    : { root, machines: machines.flatMap((m) => (m.record ? [m.record] : [])) };
  return { fleet, diagnostics, machines };
}
