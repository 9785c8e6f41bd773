import type { MachineRecord } from '@bedledger/fleet';
import { siteState } from '../base/ledger-facts.ts';
import { byName } from '../base/words.ts';
import type { Layout } from '../layout/model.ts';

/** How far the work on the bed has come, by the ledger alone; the order in which programs were issued never counts. */
export interface BedProgress {
  /** Sites of the layout whose bore may still be marked: a filled hole is bed again. */
  readonly markable: readonly string[];
  /** Sites of the layout that are bored and have no insert yet. */
  readonly bored: ReadonlySet<string>;
  /** Sites with an insert, those that the layout has lost included. */
  readonly withInsert: readonly string[];
  /** Sites of the layout without one. */
  readonly withoutInsert: readonly string[];
}

export function bedProgress(record: MachineRecord, layout: Layout): BedProgress {
  const withInsert = record.state.inserts.map((insert) => insert.site).sort(byName);
  const set = new Set(withInsert);
  const ids = layout.sites.map((site) => site.id);
  return {
    markable: ids.filter((id) => ['none', 'marked', 'filled'].includes(siteState(record, id))),
    bored: new Set(ids.filter((id) => siteState(record, id) === 'bored')),
    withInsert,
    withoutInsert: ids.filter((id) => !set.has(id)),
  };
}
