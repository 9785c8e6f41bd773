import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { SiteCut } from './site-cuts.ts';

/** Bed marks: all to one depth, never at an insert, only where the land carries an insert. */
export function checkBedMarks(c: Case, cuts: readonly SiteCut[]): Diagnostic[] {
  const { units } = c.record.machine;
  const { state } = c.record;
  const found: Diagnostic[] = [];
  const rounding = roundingOf(c.record.machine.controller);
  const deepest = cuts.reduce((low, cut) => Math.min(low, cut.floor), Infinity);
  for (const cut of cuts) {
    if (cut.floor > deepest + 2 * rounding) {
      found.push(
        report({
          code: 'work/bed-uneven',
          ...inFile(c.file, cut.floorLine, 'Z'),
          message: `site ${cut.site.site} is marked ${exactLength(-cut.floor, units)} deep, others ${exactLength(-deepest, units)}`,
          facts: { site: cut.site.site, found: -cut.floor, others: -deepest },
        }),
      );
    }
    const siteState = state.sites.get(cut.site.site)?.state;
    if (siteState === 'set' || state.inserts.some((i) => i.site === cut.site.site)) {
      found.push(
        report({
          code: 'interlock/bed-mark',
          ...inFile(c.file, cut.firstLine),
          message: `site ${cut.site.site} has its insert and is marked again`,
          facts: { site: cut.site.site },
        }),
      );
    }
  }
  return found;
}
