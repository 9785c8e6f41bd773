import type { Diagnostic } from '@bedledger/diagnostics';
import { type Fixing, type FixingWritten, resolveFixing } from '@bedledger/fasteners';
import type { z } from 'zod';
import { faultToDiagnostic } from '../checks/fault.ts';
import { sharedFaults } from '../checks/shared.ts';
import type { BoardStock, Cutter, House } from '../model/shared.ts';
import { normaliseBoards, normaliseCutters, normaliseFixings, normaliseHouse } from '../normal/shared.ts';
import { type Validated, validateYaml } from '../source/validate.ts';
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
  /** The fixing resolved against the catalogue, once for all machines that use it. */
  readonly fixing: (id: string) => { fixing: Fixing | null; diagnostics: readonly Diagnostic[] };
  readonly diagnostics: readonly Diagnostic[];
}

/** Key inside the entry that a finding of the catalogue is about: `screw.head`. */
function inner(d: Diagnostic): string[] {
  const path = d.facts?.path;
  return typeof path === 'string' && path !== '' ? path.split('.') : [];
}

/** Read the four shared files. Every error of every file is in the result; nothing throws. */
export function parseShared(files: SharedFiles): SharedData {
  const diagnostics: Diagnostic[] = [];
  function one<T>(key: keyof SharedFiles, schema: z.ZodType<T>): Validated<T> | null {
    const file = files[key];
    if (!file) {
      diagnostics.push({
        code: 'shared/missing-file',
        severity: 'stop',
        message: `\`${SHARED_PATHS[key]}\` is missing`,
        place: { file: SHARED_PATHS[key] },
        help: 'write the file, or run the command in the root of the fleet',
      });
      return null;
    }
    const result = validateYaml(schema, file.path, file.text, 'shared');
    diagnostics.push(...result.diagnostics);
    if (result.written === null) return null;
    const faults = sharedFaults(key, result.written).map((f) =>
      faultToDiagnostic(f, result.source, 'shared'),
    );
    diagnostics.push(...faults);
    return faults.some((f) => f.severity === 'stop') ? null : result;
  }
  const cutters = one('cutters', cuttersSchema);
  const boards = one('boards', boardsSchema);
  const fixings = one('fixings', fixingsSchema);
  const house = one('house', houseSchema);
  const written = fixings ? normaliseFixings(fixings.written!) : null;

  const resolved = new Map<string, { fixing: Fixing | null; diagnostics: readonly Diagnostic[] }>();
  const fixing = (id: string) => {
    let result = resolved.get(id);
    if (!result) {
      const entry = written?.get(id);
      if (!entry) {
        result = { fixing: null, diagnostics: [] };
      } else {
        const found = resolveFixing(id, entry);
        result = {
          fixing: found.fixing,
          diagnostics: found.diagnostics.map((d) =>
            d.place ? d : { ...d, ...fixings!.source.at(['fixings', id, ...inner(d)], 'key') },
          ),
        };
      }
      resolved.set(id, result);
    }
    return result;
  };

  return {
    cutters: cutters ? normaliseCutters(cutters.written!) : null,
    boards: boards ? normaliseBoards(boards.written!) : null,
    fixings: written,
    house: house ? normaliseHouse(house.written!) : null,
    houseFile: files.house,
    fixing,
    diagnostics,
  };
}
