import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { Draft, DraftSite } from './draft.ts';
import { rowsOf } from './names.ts';
import { profilePlace } from './place.ts';

/** Sites written out in the profile, at their nominal positions and with their own names. */
export function givenLayout(record: MachineRecord, apart: number): Draft {
  const written = record.machine.fixing.layout.sites;
  const place = profilePlace(record);
  const findings: Diagnostic[] = [];
  if (written.length === 0) {
    findings.push({
      place,
      code: 'layout/no-sites',
      severity: 'stop',
      message: 'the pattern is given but no site is written out',
      help: 'write the positions into fixing.layout.sites, or use pattern aligned or fewest',
    });
  }
  const seen = new Set<string>();
  const rows = rowsOf(
    written.map((s) => s.at),
    apart,
  );
  const sites: DraftSite[] = [];
  for (const [i, s] of written.entries()) {
    if (seen.has(s.id)) {
      findings.push({
        place,
        code: 'layout/duplicate-site',
        severity: 'stop',
        message: `site ${s.id} is written out twice`,
        facts: { site: s.id },
        help: 'give every site a name of its own',
      });
      continue;
    }
    seen.add(s.id);
    if (!Number.isFinite(s.at[0]) || !Number.isFinite(s.at[1])) {
      findings.push({
        place,
        code: 'layout/bad-position',
        severity: 'stop',
        message: `site ${s.id} is at [${s.at[0]}, ${s.at[1]}]: expected two finite numbers`,
        facts: { site: s.id },
        help: 'write its X and Y as numbers',
      });
      continue;
    }
    const { row, column } = rows[i] as { row: number; column: number };
    sites.push({
      id: s.id,
      row,
      column,
      nominal: s.at,
      nudge: null,
      placedBy: 'given',
      reasons: ['its position is written out in the profile'],
    });
  }
  return {
    sites,
    rows: [],
    columns: [],
    bound: {
      lower: 0,
      proven: false,
      by: 'positions written out in the profile are not compared with a least number',
    },
    symmetric: 'none',
    findings,
  };
}
