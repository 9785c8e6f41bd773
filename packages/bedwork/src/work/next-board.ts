import type { Fixing, Stack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import { boardWork, stackPlace } from '../base/board-work.ts';
import { plannedFixing, type StackSite, stackAt } from '../base/stack-input.ts';
import { foreignThreads } from './planned-change.ts';

/** What the next board will be cut for and screwed down with, by the stock as sold; lengths mm. */
export interface NextBoard {
  readonly fixing: Fixing;
  /** The site that will hold it. */
  readonly held: string | null;
  readonly stacks: ReadonlyMap<string, Stack>;
  /** Sites where no stack holds: it could not be fastened there. */
  readonly impossible: readonly string[];
}

/**
 * The board after the one that is cut already: everything that the profile and the house rules ask for and that this board
 * does not get any more. Null while the board on the bed is still to be cut, and where the screws fit no insert.
 *
 * @throws InputError when a figure is not a number of the sign it must have
 */
export function nextBoard(record: MachineRecord, sites: readonly StackSite[]): NextBoard | null {
  if (!record.state.board?.pocketed || foreignThreads(record).length > 0) return null;
  const fresh: MachineRecord = {
    ...record,
    stock: record.plannedStock,
    state: { ...record.state, board: null },
  };
  const work = boardWork(fresh, sites);
  const stacks = new Map<string, Stack>();
  const impossible: string[] = [];
  for (const site of sites) {
    const found = stackAt(fresh, site, stackPlace(fresh, work, site));
    if (found.kind === 'planned' && found.result.feasible) stacks.set(site.id, found.result.stack);
    else impossible.push(site.id);
  }
  const [first] = sites;
  const fixing = first ? plannedFixing(fresh, first.id) : fresh.planned;
  return { fixing, held: work.hold.site, stacks, impossible };
}
