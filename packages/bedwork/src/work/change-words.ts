import { lengthNumber, lengthText, screwName, torqueText, type Units } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import type { BoardWork } from '../base/board-work.ts';
import { countOf, listOf } from '../base/words.ts';
import type { NextBoard } from './next-board.ts';
import { foreignThreads, otherInserts, type PlannedChange } from './planned-change.ts';

/** What a change of the fixing, or of a rule, means for people; each list may be empty. */
export interface ChangeWords {
  /** To be done on the board that is on the bed. */
  readonly now: readonly string[];
  /** What waits for the next board, and what that one will get. */
  readonly next: readonly string[];
  /** What will never be had with the inserts that are in the bed. */
  readonly never: readonly string[];
}

interface Changed {
  readonly record: MachineRecord;
  readonly change: PlannedChange | null;
  readonly nextBoard: NextBoard | null;
  readonly work: BoardWork;
}

/** The figures of a planned change in sentences: now, at the next board, never. */
export function changeWords({ record, change, nextBoard, work }: Changed): ChangeWords {
  return {
    now: change ? nowWords(record, change, work.hold.site) : [],
    next: [...(change ? waitWords(change) : []), ...(nextBoard ? nextWords(record, nextBoard) : [])],
    never: neverWords(record),
  };
}

function nowWords({ machine }: MachineRecord, change: PlannedChange, held: string | null): string[] {
  if (change.kind === 'tool') {
    const socket = lengthText(change.wanted.socket.outside.value, machine.units);
    return [
      `drive the screws with the tool of ${change.wanted.id}, ${socket} outside: it enters every pocket`,
    ];
  }
  if (change.kind !== 'swap') return [];
  return swapLines(machine.id, machine.units, change, held);
}

/** How the screws of a board are swapped: which, how many, how tight, and what is left below them and above them. */
export function swapLines(
  id: string,
  units: Units,
  { sites, stands, wanted, after }: PlannedChange,
  held: string | null,
): string[] {
  const stacks = [...after.values()];
  const torque = Math.min(...stacks.map((stack) => stack.workingTorque));
  const cover = Math.min(...stacks.map((stack) => stack.cover));
  const spare = Math.min(...stacks.map(marginBelow));
  const engaged = Math.min(...stacks.map((stack) => stack.engagement));
  const order = held !== null && sites.includes(held) ? `${held} last` : 'from the middle outwards';
  return [
    `${countOf(sites.length, 'screw')} ${stands.fixing} out, ${screwsText(wanted.screw.thread.designation, after)} of ${wanted.title} in${wanted.washer ? ', each with its washer' : ''}`,
    `one after the other with the vacuum on, ${order}, at most ${torqueText(torque, units)}`,
    `none bottoms: its end keeps ${lengthText(spare, units)} to spare at its longest; ${lengthText(engaged, units)} of thread hold it`,
    `none stands proud: every head ends at least ${lengthText(cover, units)} below the surface; run a straight edge over every one`,
    `record it: \`bedledger record ${id} screws --swapped\`; until then everything is reckoned with the screws that are in`,
  ];
}

/** Screws by length, with their sites where the lengths differ: `M6 × 16 mm`, `M6 × 16 mm at A1, A2 and M6 × 20 mm at B1`. */
export function screwsText(thread: string, stacks: ReadonlyMap<string, Stack>): string {
  const byLength = new Map<number, string[]>();
  for (const [site, { screwLength }] of stacks) {
    byLength.set(screwLength, [...(byLength.get(screwLength) ?? []), site]);
  }
  const sorted = [...byLength].sort(([a], [b]) => a - b);
  return sorted
    .map(([length, sites]) => {
      const name = screwName(thread, length);
      return sorted.length === 1 ? name : `${name} at ${sites.join(', ')}`;
    })
    .join(' and ');
}

/** Room below the screw's end, at its longest. */
function marginBelow({ bounds }: Stack): number {
  return bounds.find(({ id }) => id === 'screw-end')?.margin ?? 0;
}

function waitWords({ kind, breaks, wanted, stands }: PlannedChange): string[] {
  if (kind !== 'next-board') return [];
  const what = breaks.map(({ title, sites }) => `"${title}" at ${listOf(sites)}`).join(', ');
  return [
    `keep the screws of ${stands.fixing} in this board: with those of ${wanted.id} its pockets do not keep ${what}`,
  ];
}

function nextWords({ machine }: MachineRecord, next: NextBoard): string[] {
  const { units } = machine;
  if (next.impossible.length > 0) {
    return [`the next board cannot be fastened with ${next.fixing.id} at ${listOf(next.impossible)}`];
  }
  const range = (figure: (stack: Stack) => number): string => {
    const all = [...next.stacks.values()].map(figure);
    const [from, to] = [lengthNumber(Math.min(...all), units), lengthNumber(Math.max(...all), units)];
    return from === to ? `${from} ${units}` : `${from} to ${to} ${units}`;
  };
  const skims = Math.min(...[...next.stacks.values()].map((stack) => stack.life.skims));
  const held = next.held === null ? '' : `, held at ${next.held}`;
  return [
    `the next board: pockets ${range((s) => s.pocketDiameter)} wide, floors ${range((s) => s.web)} above the bed, holes ${range((s) => s.clearanceDiameter)}${held}; ${screwsText(next.fixing.screw.thread.designation, next.stacks)}; ${countOf(skims, 'skim')}`,
  ];
}

function neverWords(record: MachineRecord): string[] {
  const { id, screw } = record.planned;
  const foreign = foreignThreads(record);
  // Of an insert whose thread does not fit nothing else matters.
  if (foreign.length > 0) {
    return foreign.map(
      ({ thread, sites }) =>
        `no screw ${screw.thread.designation} of ${id} will ever go into the inserts at ${listOf(sites)}: they are ${thread}`,
    );
  }
  const others = otherInserts(record);
  return others.length === 0
    ? []
    : [
        `the inserts at ${listOf(others)} stay in the bed and are reckoned with as they were set: ${id} asks for others`,
      ];
}
