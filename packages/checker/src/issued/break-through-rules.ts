import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { SiteCut } from './site-cuts.ts';

/** Floors of the clearance holes against the ledger: through only where the bed is bored. */
export function checkBreakThrough(c: Case, cuts: readonly SiteCut[]): Diagnostic[] {
  const { units } = c.record.machine;
  const { state, machine } = c.record;
  const rounding = roundingOf(machine.controller);
  const found: Diagnostic[] = [];
  for (const cut of cuts) {
    if (cut.floor >= -rounding) continue;
    const site = state.sites.get(cut.site.site);
    if (site?.state !== 'bored') {
      found.push(
        report({
          code: 'interlock/bored-only',
          ...inFile(c.file, cut.floorLine, 'Z'),
          message: `the hole of site ${cut.site.site} ends ${exactLength(-cut.floor, units)} below the bed surface, and the ledger has no open bore there (state ${site?.state ?? 'none'})`,
          facts: { site: cut.site.site, depth: -cut.floor },
        }),
      );
    } else if (site.depth !== undefined && -cut.floor > site.depth + rounding) {
      found.push(
        report({
          code: 'interlock/bored-only',
          ...inFile(c.file, cut.floorLine, 'Z'),
          message: `the hole of site ${cut.site.site} ends ${exactLength(-cut.floor, units)} below the bed surface, the bore there is ${exactLength(site.depth, units)} deep`,
          facts: { site: cut.site.site, depth: -cut.floor, bored: site.depth },
        }),
      );
    }
  }
  return found;
}
