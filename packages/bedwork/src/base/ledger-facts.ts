import type { MachineRecord, SiteState } from '@bedledger/fleet';

/** The ledger's word on a site; `none` when it has none. */
export function siteState(record: MachineRecord, id: string): SiteState {
  return record.state.sites.get(id)?.state ?? 'none';
}

/** The thicknesses written down last (board fitted or skim), mm; empty without a board. */
export function lastThicknesses(record: MachineRecord): readonly number[] {
  const last = record.ledger.facts.findLast((f) => f.fact === 'board' || f.fact === 'skim');
  return last?.thickness ?? [];
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

/** True when the board on the bed was skimmed after it was pocketed: its screws must have been driven for that. */
export function skimmedWhenFixed(record: MachineRecord): boolean {
  let pocketed = false;
  let skimmed = false;
  for (const fact of record.ledger.facts) {
    if (fact.fact === 'board') {
      pocketed = fact.pocketed;
      skimmed = false;
    } else if (fact.fact === 'pocket') pocketed = true;
    else if (fact.fact === 'skim' && pocketed) skimmed = true;
  }
  return skimmed;
}
