import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { profilePlace } from '../base/places.ts';
import { report } from '../report.ts';
import type { Draft, DraftSite } from './draft.ts';
import { rowsOf } from './names.ts';

/** Sites written out in the profile, at their nominal positions and with their own names. */
export function givenLayout(record: MachineRecord, apart: number): Draft {
  const written = record.machine.fixing.layout.sites;
  const place = profilePlace(record);
  const findings: Diagnostic[] = [];
  if (written.length === 0) {
    findings.push(
      report({
        place,
        code: 'layout/no-sites',
        message: 'the pattern is given but no site is written out',
      }),
    );
  }
  const seen = new Set<string>();
  const rows = rowsOf(
    written.map((s) => s.at),
    apart,
  );
  const sites: DraftSite[] = [];
  for (const [i, s] of written.entries()) {
    if (seen.has(s.id)) {
      findings.push(
        report({
          place,
          code: 'layout/duplicate-site',
          message: `site ${s.id} is written out twice`,
          facts: { site: s.id },
        }),
      );
      continue;
    }
    seen.add(s.id);
    if (!Number.isFinite(s.at[0]) || !Number.isFinite(s.at[1])) {
      findings.push(
        report({
          place,
          code: 'layout/bad-position',
          message: `site ${s.id} is at [${s.at[0]}, ${s.at[1]}]: expected two finite numbers`,
          facts: { site: s.id },
        }),
      );
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
    findings,
  };
}
