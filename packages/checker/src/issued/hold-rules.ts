import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import { inFile, report } from '../report.ts';
import { type BoardReading, drillsFor, type PlacedSite, readBoard } from '../scene/hold.ts';
import type { HoleRow } from './hole-table.ts';
import type { SitesOfRecord } from './operation-view.ts';

/** Drills that one board may ask a person for (common practice, no source). */
const FEW = 4;
/** Diameters in the table are printed to three decimals. */
const PRINTED = 0.00051;

/** The board as its hole table has it, read against the record: only drills of the house count. */
export function boardOf(record: MachineRecord, holes: readonly HoleRow[]): BoardReading {
  const sites = holes.map(({ site, x, y }): PlacedSite => ({ site, at: [x, y] }));
  const claims = holes.filter(({ hold }) => hold === 'held');
  const kept = record.house.drills[record.machine.units];
  const asked = new Set<number>();
  for (const hole of holes) {
    if (drillsFor(record, [hole.x, hole.y], kept) === undefined) continue;
    const drill = drillOf(kept, hole.holeDiameter);
    if (drill !== null) asked.add(drill);
  }
  const sizes = [...asked].sort((a, b) => a - b);
  return readBoard(record, sites, claims.length === 1 ? claims[0]!.site : null, sizes);
}

/** Where the board is held, and what its holes are opened with. */
export function checkHold(
  record: MachineRecord,
  file: ProgramFile,
  { holes, stacks }: Pick<SitesOfRecord, 'holes' | 'stacks'>,
  board: BoardReading,
): Diagnostic[] {
  return [...heldFaults(file, holes, board), ...drillFaults(record, file, { holes, stacks })];
}

/** Exactly the site that holds the board is marked so. */
function heldFaults(file: ProgramFile, holes: readonly HoleRow[], { held }: BoardReading): Diagnostic[] {
  return holes
    .filter(({ site, hold }) => (site === held?.site) !== (hold === 'held'))
    .map(({ site, line, hold }) =>
      report({
        code: 'work/hold',
        ...inFile(file, line),
        message:
          hold === 'held'
            ? `the table has the board held at ${site}, ${held ? `and ${held.site} is to hold it` : 'and no hole of this board holds it'}`
            : `site ${site} is to hold the board, and the table lets it float there`,
        facts: { site, ...(held && { held: held.site }) },
      }),
    );
}

/** Every hole that a hand opens has the diameter of a drill at hand, and they are few. */
function drillFaults(
  record: MachineRecord,
  file: ProgramFile,
  { holes, stacks }: Pick<SitesOfRecord, 'holes' | 'stacks'>,
): Diagnostic[] {
  const { units } = record.machine;
  const kept = record.house.drills[units];
  const found: Diagnostic[] = [];
  const sizes = new Set<number>();
  for (const { site, holeDiameter, line } of holes) {
    const need = stacks.get(site)?.holeNeed;
    if (!need?.opened || holeDiameter === null) continue;
    const drill = drillOf(kept, holeDiameter);
    if (drill !== null) {
      sizes.add(drill);
      if (drill >= need.diameter - PRINTED) continue;
    }
    const reaches = kept.some((size) => size >= need.diameter);
    found.push(
      report({
        code: reaches && drill !== null ? 'work/drills' : 'work/no-drill',
        ...inFile(file, line),
        message: `the hole of site ${site} is opened by hand to ${exactLength(holeDiameter, units)}, it needs ${exactLength(need.diameter, units)}, and ${drill === null ? 'the house has no such drill' : 'this drill is too small'}`,
        facts: { site, found: holeDiameter, needed: need.diameter },
      }),
    );
  }
  if (sizes.size > FEW) {
    found.push(
      report({
        code: 'work/drills',
        ...inFile(file),
        message: `the holes of this board are opened with ${sizes.size} drills, ${FEW} are the most that one board may ask for`,
        facts: { found: sizes.size, allowed: FEW },
      }),
    );
  }
  return found;
}

/** The drill at hand of a diameter as the table prints it. */
function drillOf(kept: readonly number[], diameter: number | null): number | null {
  return kept.find((size) => diameter !== null && Math.abs(size - diameter) <= PRINTED) ?? null;
}
