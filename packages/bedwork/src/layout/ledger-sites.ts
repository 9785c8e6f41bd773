import type { Diagnostic } from '@bedledger/diagnostics';
import { placeText, rounded, shortLength } from '@bedledger/diagnostics';
import type { MachineRecord, SiteState } from '@bedledger/fleet';
import { distance, type Point } from '@bedledger/geometry';
import { ledgerPlace } from '../base/places.ts';
import type { SiteNeeds } from '../lands/needs.ts';
import { report } from '../report.ts';

export interface LedgerMatch {
  readonly at: Point;
  readonly state: SiteState;
  /** Where the profile would put the site, minus where it is, mm. */
  readonly off: number;
}

/** True for a state that leaves a mark in the bed that cannot be moved. */
export function isInBed(state: SiteState): boolean {
  return state === 'marked' || state === 'bored' || state === 'set';
}

/** How far a hole may be from its place in the layout and still be meant by it, mm. */
export function placeTolerance(record: MachineRecord, uncertainty: number): number {
  return record.house.survey.limit + uncertainty;
}

/**
 * Compares the sites of a layout with what is in the bed.
 *
 * A site of the ledger whose name is in the layout is kept exactly at its recorded position. When the profile would now
 * put it elsewhere, or does not have it any more, that is an error: a hole in a bed does not move.
 * @param planned name and surveyed position of every site of the layout, nudges of the air pass included
 */
export function matchLedger(
  record: MachineRecord,
  needs: SiteNeeds,
  planned: readonly { readonly id: string; readonly at: Point; readonly uncertainty: number }[],
): { readonly kept: ReadonlyMap<string, LedgerMatch>; readonly findings: readonly Diagnostic[] } {
  const place = ledgerPlace(record);
  const { units } = record.machine;
  const kept = new Map<string, LedgerMatch>();
  const findings: Diagnostic[] = [];
  const byId = new Map(planned.map((p) => [p.id, p]));
  for (const [id, fact] of record.state.sites) {
    const site = byId.get(id);
    if (fact.state === 'filled') {
      const close = planned.find((p) => distance(p.at, fact.at) < 2 * needs.boreRadius + needs.wall);
      if (close) {
        findings.push(
          report({
            place,
            code: 'layout/near-filled',
            message: `site ${close.id} is ${shortLength(distance(close.at, fact.at), units)} from the filled bore of ${id}: a new bore beside it has less than its wall of sound bed`,
            each: close.id,
            facts: { site: close.id, filled: id, distance: rounded(distance(close.at, fact.at), 3) },
            help: `move ${close.id} with a nudge, or make sure that the filling carries`,
          }),
        );
      }
      continue;
    }
    if (!isInBed(fact.state)) continue;
    const what = fact.state === 'set' ? 'an insert' : fact.state === 'bored' ? 'a bore' : 'a mark';
    if (!site) {
      let nearest: { id: string; off: number } | null = null;
      for (const p of planned) {
        const off = distance(p.at, fact.at);
        if (nearest === null || off < nearest.off) nearest = { id: p.id, off };
      }
      findings.push(
        report({
          place,
          code: 'layout/lost-site',
          message: `the bed has ${what} for site ${id} at ${placeText(fact.at, units)}, but the layout no longer has such a site${nearest ? ` (nearest is ${nearest.id}, ${shortLength(nearest.off, units)} away)` : ''}`,
          facts: { site: id, distance: nearest ? rounded(nearest.off, 3) : -1, nearest: nearest?.id ?? '' },
          each: id,
        }),
      );
      continue;
    }
    const off = distance(site.at, fact.at);
    if (off > placeTolerance(record, site.uncertainty)) {
      findings.push(
        report({
          place,
          code: 'layout/moved-site',
          message: `the layout would move site ${id} by ${shortLength(off, units)}, but the bed has ${what} there at ${placeText(fact.at, units)}`,
          facts: { site: id, distance: rounded(off, 3), state: fact.state },
          each: id,
        }),
      );
    }
    kept.set(id, { at: fact.at, state: fact.state, off });
  }
  return { kept, findings };
}
