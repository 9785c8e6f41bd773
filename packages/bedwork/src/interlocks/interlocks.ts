import type { MachineRecord, SiteState } from '@bedledger/fleet';
import type { Layout } from '../layout/model.ts';

/**
 * What the ledger allows today. Every answer is null (it may be issued) or one sentence for the operator: why not, and
 * what would change that. Only facts of the ledger count, never the order in which programs were issued.
 */
export interface Interlocks {
  /** Sites whose bore may still be marked. */
  readonly markable: readonly string[];
  /** Sites where the first fit may run below the bed surface. */
  readonly bored: ReadonlySet<string>;
  readonly withSet: readonly string[];
  readonly bedMark: string | null;
  readonly datumCut: string | null;
  readonly undersideSkim: string | null;
  readonly pockets: string | null;
  readonly firstFit: string | null;
  readonly refit: string | null;
  readonly surface: string | null;
  readonly trim: string | null;
}

export function interlocks(record: MachineRecord, layout: Layout): Interlocks {
  const { state, machine } = record;
  const noBoard = `no board is recorded on the bed: measure the new board in several places and record it (\`bedledger record ${machine.id} board\`)`;
  const states = new Map<string, SiteState>(
    layout.sites.map((site) => [site.id, siteState(record, site.id)]),
  );
  const withSet = state.inserts.map((insert) => insert.site).sort(byName);
  const bored = new Set([...states].filter(([, s]) => s === 'bored').map(([id]) => id));
  // A filled hole is bed again; a bored one is done; one with an insert must never meet a cutter.
  const markable = [...states]
    .filter(([, s]) => s === 'none' || s === 'marked' || s === 'filled')
    .map(([id]) => id);
  const board = state.board;
  const pocketed = board?.pocketed === true;
  const set = new Set(withSet);
  const allSet = layout.sites.every((site) => set.has(site.id));

  const bedMark =
    markable.length > 0
      ? null
      : layout.sites.length === 0
        ? 'the layout has no site to mark'
        : withSet.length > 0
          ? 'every site has its insert or its bore: record a hole as filled before it is marked again'
          : 'every site is recorded as bored';
  const datumCut =
    withSet.length > 0 || bored.size > 0
      ? `the bed is already bored from the datum mark (${[...withSet, ...bored].sort(byName)[0]}): a mark cut anew would not be in the same place`
      : null;
  const undersideSkim =
    machine.board.undersideSkim === null
      ? 'the profile asks for no skim of the underside (`board.underside_skim`)'
      : !board
        ? noBoard
        : pocketed
          ? 'the board is recorded as pocketed: it must not be turned over any more'
          : undersideDone(record)
            ? 'the underside is recorded as skimmed'
            : null;
  const pockets = !board
    ? noBoard
    : pocketed
      ? 'the board is recorded as pocketed: screws and heads may stand in its pockets; record a new board to cut them again'
      : null;
  const firstFit =
    withSet.length > 0
      ? `the bed has ${countOf(withSet.length, 'insert')} (${listOf(withSet)}): only the refit form may be cut over metal`
      : !board
        ? noBoard
        : pocketed
          ? 'the board is recorded as pocketed and bored'
          : null;
  const refit =
    withSet.length === 0
      ? 'no insert is in the bed yet: the first-fit form goes through the board, the refit form follows once inserts are set'
      : !board
        ? noBoard
        : pocketed
          ? 'the board is recorded as pocketed and bored: record a new board to bore it'
          : null;
  const surface = !board
    ? noBoard
    : !pocketed
      ? 'the board is not recorded as pocketed: it is skimmed after the screws have pulled it down'
      : !allSet
        ? `${countOf(layout.sites.filter((site) => !set.has(site.id)).length, 'site')} (${listOf(
            layout.sites.map((site) => site.id).filter((id) => !set.has(id)),
          )}) without a recorded insert: the board is not fixed; record the inserts`
        : null;
  const trim = !machine.board.trim
    ? 'the profile asks for no trimming (`board.trim`)'
    : !board
      ? noBoard
      : null;
  return {
    markable,
    bored,
    withSet,
    bedMark,
    datumCut,
    undersideSkim,
    pockets,
    firstFit,
    refit,
    surface,
    trim,
  };
}

/** The ledger's word on a site; `none` when it has none. */
export function siteState(record: MachineRecord, id: string): SiteState {
  return record.state.sites.get(id)?.state ?? 'none';
}

/** True when the board now on the bed had its underside skimmed: on arrival, or by a skim before it was pocketed. */
function undersideDone(record: MachineRecord): boolean {
  for (let i = record.ledger.facts.length - 1; i >= 0; i -= 1) {
    const fact = record.ledger.facts[i]!;
    if (fact.fact === 'skim') return true;
    if (fact.fact === 'board') return fact.skimmed === 'underside' || fact.skimmed === 'both';
  }
  return false;
}

export function countOf(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`;
}

/** At most four names, then how many more. */
export function listOf(names: readonly string[]): string {
  if (names.length <= 4) return names.join(', ');
  return `${names.slice(0, 3).join(', ')} and ${names.length - 3} more`;
}

/** Total order of site names: row letters, then column number. */
export function byName(a: string, b: string): number {
  const key = (s: string): readonly [string, number] => {
    const digits = /(\d+)$/.exec(s);
    return digits ? [s.slice(0, -digits[1]!.length), Number(digits[1])] : [s, 0];
  };
  const [pa, na] = key(a);
  const [pb, nb] = key(b);
  if (pa.length !== pb.length) return pa.length - pb.length;
  if (pa !== pb) return pa < pb ? -1 : 1;
  return na - nb || (a < b ? -1 : a > b ? 1 : 0);
}
