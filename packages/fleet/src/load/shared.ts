import { type Diagnostic, hasStop, type Units } from '@bedledger/diagnostics';
import { type Fixing, type FixingWritten, resolveFixing } from '@bedledger/fasteners';
import type { z } from 'zod';
import { boardListFindings, cutterListFindings, houseFindings } from '../checks/shared.ts';
import type { BoardStock, Cutter, House } from '../model/shared.ts';
import { normaliseBoards, normaliseCutters, normaliseFixings, normaliseHouse } from '../normal/shared.ts';
import { below, type Findings, type Locator, nowhere, report } from '../report.ts';
import { validateYaml } from '../source/validate.ts';
import { fixingsSchema } from '../written/fixings.ts';
import { boardsSchema, cuttersSchema, houseSchema } from '../written/shared.ts';
import type { FileText } from './files.ts';

export interface SharedFiles {
  readonly cutters: FileText | null;
  readonly boards: FileText | null;
  readonly fixings: FileText | null;
  readonly house: FileText | null;
}

/** Paths of the shared files, relative to the fleet's root. */
export const SHARED_PATHS: Readonly<Record<keyof SharedFiles, string>> = {
  cutters: 'shared/cutters.yaml',
  boards: 'shared/boards.yaml',
  fixings: 'shared/fixings.yaml',
  house: 'shared/house.yaml',
};

/** What all machines share, in millimetres; null where a file is wrong. */
export interface SharedData {
  readonly cutters: ReadonlyMap<string, Cutter> | null;
  readonly boards: ReadonlyMap<string, BoardStock> | null;
  readonly fixings: ReadonlyMap<string, FixingWritten> | null;
  readonly house: House | null;
  readonly houseFile: FileText | null;
  /** Where something stands in the house rules, for findings about them that need every package's rules (`raise`). */
  readonly houseAt: Locator;
  /** The fixing resolved against the catalogue, once for all machines that use it; findings are told in `units`. */
  readonly fixing: (
    id: string,
    units: Units,
  ) => { fixing: Fixing | null; diagnostics: readonly Diagnostic[] };
  readonly diagnostics: readonly Diagnostic[];
}

/** A shared file that was read: its content where nothing is wrong with it, and where everything in it stands. */
interface Shared<T> {
  readonly content: T | null;
  readonly at: Locator;
  readonly diagnostics: readonly Diagnostic[];
}

/** Read one shared file, normalise it, and hold the result against what can be. */
function readShared<W extends { units: Units }, T>(
  key: keyof SharedFiles,
  files: SharedFiles,
  schema: z.ZodType<W>,
  normalise: (written: W) => T,
  check: (content: T, units: Units, at: Locator) => Findings,
): Shared<T> {
  const file = files[key];
  if (!file) {
    const path = SHARED_PATHS[key];
    const message = `\`${path}\` is missing`;
    const missing = report({ code: 'shared/missing-file', place: { file: path }, message });
    return { content: null, at: nowhere, diagnostics: [missing] };
  }
  const { written, source, diagnostics } = validateYaml(schema, file.path, file.text, 'shared');
  if (written === null) return { content: null, at: source.at, diagnostics };
  const content = normalise(written);
  const found = [...check(content, written.units, source.at)];
  return { content: hasStop(found) ? null : content, at: source.at, diagnostics: found };
}

/** Read the four shared files. Every error of every file is in the result; nothing throws. */
export function parseShared(files: SharedFiles): SharedData {
  const cutters = readShared('cutters', files, cuttersSchema, normaliseCutters, (list, units, at) =>
    cutterListFindings(list, units, below(at, 'cutters')),
  );
  const boards = readShared('boards', files, boardsSchema, normaliseBoards, (list, units, at) =>
    boardListFindings(list, units, below(at, 'boards')),
  );
  const fixings = readShared('fixings', files, fixingsSchema, normaliseFixings, () => []);
  const house = readShared('house', files, houseSchema, normaliseHouse, houseFindings);
  return {
    cutters: cutters.content,
    boards: boards.content,
    fixings: fixings.content,
    house: house.content,
    houseFile: files.house,
    houseAt: house.at,
    fixing: resolver(fixings),
    diagnostics: [cutters, boards, fixings, house].flatMap((f) => f.diagnostics),
  };
}

/** Resolves fixings against the catalogue, each once for all machines of the same units that use it. */
function resolver({ content, at }: Shared<ReadonlyMap<string, FixingWritten>>): SharedData['fixing'] {
  const resolved = new Map<string, ReturnType<SharedData['fixing']>>();
  return (id, units) => {
    const entry = content?.get(id);
    if (!entry) return { fixing: null, diagnostics: [] };
    const key = `${id} ${units}`;
    const placeOf = (path: readonly string[]) => at(['fixings', id, ...path.filter(Boolean)], 'key');
    const result = resolved.get(key) ?? resolveFixing(id, entry, { units, placeOf });
    resolved.set(key, result);
    return result;
  };
}
