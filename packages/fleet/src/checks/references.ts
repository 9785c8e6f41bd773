import { didYouMean } from '@bedledger/diagnostics';
import { SHARED_PATHS, type SharedData } from '../load/shared.ts';
import { DUTIES, type Machine } from '../model/machine.ts';
import { type Findings, type Locator, report, type Spot } from '../report.ts';
import type { MachineWritten } from '../written/machine.ts';

/** Names that must exist elsewhere: the folder, cutters, board stock, fixing. */
export function* referenceFindings(
  written: MachineWritten,
  machine: Machine,
  folder: string,
  shared: SharedData,
  at: Locator,
): Findings {
  if (written.id !== folder) {
    yield report({
      code: 'profile/id-differs',
      ...at(['id']),
      message: `the profile is of \`${written.id}\`, but its folder is \`${folder}\``,
      help: `write \`id: ${folder}\`, or rename the folder`,
    });
  }
  for (const duty of DUTIES) {
    yield* named('cutters', 'cutter', written.cutters[duty], shared, at(['cutters', duty]));
  }
  yield* named('boards', 'board stock', machine.board.stock, shared, at(['board', 'stock']));
  yield* named('fixings', 'fixing', machine.fixing.use, shared, at(['fixing', 'use']));
}

/** Is the name in its shared list? A list that is wrong itself is not asked: its own findings say enough. */
function* named(
  list: 'cutters' | 'boards' | 'fixings',
  what: string,
  id: string | undefined,
  shared: SharedData,
  spot: Spot,
): Findings {
  const known = shared[list];
  if (id === undefined || !known || known.has(id)) return;
  const file = SHARED_PATHS[list];
  const names = [...known.keys()];
  const all = names.length > 0 ? `it has ${names.map((k) => `\`${k}\``).join(', ')}` : `add it to ${file}`;
  yield report({
    code: 'profile/unknown-reference',
    ...spot,
    message: `there is no ${what} \`${id}\` in ${file}`,
    help: didYouMean(id, names) ?? all,
    facts: { id },
  });
}
