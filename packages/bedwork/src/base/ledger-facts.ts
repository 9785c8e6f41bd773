import { type FactKind, lastThicknesses, type MachineRecord, type SiteState } from '@bedledger/fleet';

/** The ledger's word on a site; `none` when it has none. */
export function siteState(record: MachineRecord, id: string): SiteState {
  return record.state.sites.get(id)?.state ?? 'none';
}

/** The highest place of the board's last measurement, mm above the bed; NaN without a board. */
export function boardTop(record: MachineRecord): number {
  const { board } = record.state;
  if (!board) return Number.NaN;
  return Math.max(board.thickness, ...lastThicknesses(record));
}

/** True when the board now on the bed had its underside skimmed: on arrival, or by a skim before it was pocketed. */
export function undersideSkimmed(record: MachineRecord): boolean {
  const last = record.ledger.facts.findLast((f) => f.fact === 'board' || f.fact === 'skim');
  if (last === undefined) return false;
  return last.fact === 'skim' || last.skimmed === 'underside' || last.skimmed === 'both';
}

/** What was done with the board after its pockets were cut where it lies; `came-pocketed`: they were cut elsewhere. */
export type SincePockets = { readonly fact: FactKind; readonly date: string } | 'came-pocketed' | null;

/**
 * Does a board stay where it was pocketed when the fact happens? Bores and inserts want the bed bare, screws and the skim over
 * them come after it was lifted, and after new datum marks X0 Y0 is elsewhere.
 */
const BOARD_STAYS: Readonly<Record<FactKind, boolean>> = {
  mark: false,
  bore: false,
  insert: false,
  fill: false,
  board: false,
  skim: false,
  screws: false,
  pocket: true,
  heights: true,
  vacuum: true,
  moisture: true,
  survey: false,
  datum: false,
  time: true,
  vouch: true,
  withdraw: true,
  note: true,
};

/**
 * What the ledger knows that has moved the board, or put screws into it, since its first pocket was cut on the bed. Null:
 * nothing is known, so that it lies where it was pocketed. Only for a board that is recorded as pocketed.
 */
export function sincePockets({ ledger: { facts } }: MachineRecord): SincePockets {
  const ofBoard = facts.slice(facts.findLastIndex(({ fact }) => fact === 'board'));
  const pocketed = ofBoard.findIndex(({ fact }) => fact === 'pocket');
  if (pocketed < 0 || (ofBoard[0]?.fact === 'board' && ofBoard[0].pocketed)) return 'came-pocketed';
  return ofBoard.slice(pocketed).find(({ fact }) => !BOARD_STAYS[fact]) ?? null;
}
