import { suggest } from '@bedledger/diagnostics';
import type { SharedData } from '../load/shared.ts';
import { DUTIES, type Machine } from '../model/machine.ts';
import type { Path } from '../source/yaml-source.ts';
import type { MachineWritten } from '../written/machine.ts';
import type { Fault } from './fault.ts';

function unknown(path: Path, what: string, id: string, known: readonly string[], file: string): Fault {
  const near = suggest(id, known);
  return {
    word: 'unknown-reference',
    path,
    message: `there is no ${what} \`${id}\` in ${file}`,
    help:
      near.length > 0
        ? `did you mean ${near.map((n) => `\`${n}\``).join(' or ')}?`
        : known.length > 0
          ? `it has ${known.map((k) => `\`${k}\``).join(', ')}`
          : `add it to ${file}`,
    facts: { id },
  };
}

/** Names that must exist elsewhere: the folder, cutters, board stock, fixing. */
export function referenceFaults(
  written: MachineWritten,
  machine: Machine,
  folder: string,
  shared: SharedData,
): Fault[] {
  const faults: Fault[] = [];
  if (written.id !== folder) {
    faults.push({
      word: 'id-differs',
      path: ['id'],
      message: `the profile is of \`${written.id}\`, but its folder is \`${folder}\``,
      help: `write \`id: ${folder}\`, or rename the folder`,
    });
  }
  if (shared.cutters) {
    const known = [...shared.cutters.keys()];
    for (const duty of DUTIES) {
      const id = written.cutters[duty];
      if (id !== undefined && !shared.cutters.has(id)) {
        faults.push(unknown(['cutters', duty], 'cutter', id, known, 'shared/cutters.yaml'));
      }
    }
  }
  if (shared.boards && !shared.boards.has(machine.board.stock)) {
    faults.push(
      unknown(
        ['board', 'stock'],
        'board stock',
        machine.board.stock,
        [...shared.boards.keys()],
        'shared/boards.yaml',
      ),
    );
  }
  if (shared.fixings && !shared.fixings.has(machine.fixing.use)) {
    faults.push(
      unknown(
        ['fixing', 'use'],
        'fixing',
        machine.fixing.use,
        [...shared.fixings.keys()],
        'shared/fixings.yaml',
      ),
    );
  }
  return faults;
}
