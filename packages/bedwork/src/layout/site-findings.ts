import type { Diagnostic } from '@bedledger/diagnostics';
import { placeText, rounded, shortLength, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { coverageRadius, distance } from '@bedledger/geometry';
import { ledgerPlace, profilePlace } from '../base/places.ts';
import type { Clearance } from '../lands/clearances.ts';
import type { Lands } from '../lands/lands.ts';
import { report } from '../report.ts';
import { coverageLimit } from './cover-rules.ts';
import type { Layout, Site } from './model.ts';
import type { PitchRule } from './pitch.ts';

/** Sites named one by one in one finding; further ones are counted. */
const NAMED = 3;

interface Short {
  readonly site: Site;
  readonly clearance: Clearance;
  readonly nudged: boolean;
}

/**
 * What sites are too near to. Sites that lack the same kind of distance for the same reason make one finding with the
 * worst of them and their number.
 */
export function clearanceFindings(record: MachineRecord, sites: readonly Site[]): Diagnostic[] {
  const groups = new Map<string, Short[]>();
  for (const site of sites) {
    const nudged = site.nudges.some((n) => n.why === 'air-pass');
    for (const clearance of site.clearances) {
      if (!(clearance.needed - clearance.distance > 1e-6)) continue;
      const key = `${clearance.kind} ${site.placedBy === 'ledger'} ${nudged}`;
      groups.set(key, [...(groups.get(key) ?? []), { site, clearance, nudged }]);
    }
  }
  return [...groups.values()].map((group) => clearanceFinding(record, group));
}

function clearanceFinding(record: MachineRecord, group: readonly Short[]): Diagnostic {
  const { units } = record.machine;
  const lack = (s: Short): number => s.clearance.needed - s.clearance.distance;
  const worst = group.reduce((a, b) => (lack(b) > lack(a) ? b : a));
  const { site, clearance: c, nudged } = worst;
  const inBed = site.placedBy === 'ledger';
  const others = group.filter((s) => s !== worst).map((s) => s.site.id);
  const more =
    others.length === 0
      ? ''
      : `; likewise ${others.slice(0, NAMED).join(', ')}${others.length > NAMED ? ` and ${others.length - NAMED} more` : ''}`;
  return report({
    place: inBed ? ledgerPlace(record) : profilePlace(record),
    code: nudged ? 'layout/nudge' : 'layout/clearance',
    // What is in the bed is there: only what a program would still run into stops.
    severity: !inBed || c.kind === 'travel' ? 'stop' : 'warn',
    message: `site ${site.id}${nudged ? ' after its nudge' : ''} is ${shortLength(c.distance, units)} from ${c.name}, needed are ${shortLength(c.needed, units)}${more}`,
    facts: {
      site: site.id,
      kind: c.kind,
      distance: rounded(c.distance, 3),
      needed: rounded(c.needed, 3),
      count: group.length,
    },
    help: clearanceHelp(worst, units),
  });
}

function clearanceHelp({ site, clearance: c, nudged }: Short, units: Units): string {
  if (c.kind === 'travel')
    return `move ${site.id} into the reach of the spindle, or use a larger pocket cutter`;
  if (site.placedBy === 'ledger') return `look at the bed around ${site.id} before loading its screw`;
  if (nudged) return `make the nudge of ${site.id} smaller or turn it away from ${c.name}`;
  return `move ${site.id} by ${shortLength(c.needed - c.distance, units)} or more away from ${c.name}`;
}

/** Farthest point of the board from any site, and a finding when the pitch does not allow it. */
export function coverageOf(
  record: MachineRecord,
  lands: Lands,
  pitch: PitchRule,
  sites: readonly Site[],
): { readonly coverage: Layout['coverage']; readonly findings: readonly Diagnostic[] } {
  const allowed = coverageLimit(pitch);
  const { units } = record.machine;
  if (sites.length === 0) {
    const at = lands.boardCorners[0] ?? [0, 0];
    return { coverage: { radius: Number.POSITIVE_INFINITY, at, allowed }, findings: [] };
  }
  const actual = sites.map((s) => s.actual);
  const found = coverageRadius(actual, lands.board);
  const coverage = { radius: found.radius, at: found.at, allowed };
  if (found.radius <= allowed + 1e-6) return { coverage, findings: [] };
  const nudged = Math.max(0, ...sites.flatMap((s) => s.nudges.map((n) => distance([0, 0], n.by))));
  const excused = found.radius <= allowed + nudged + lands.uncertainty;
  const finding = report({
    place: profilePlace(record),
    code: 'layout/coverage',
    severity: excused || record.machine.fixing.layout.pattern === 'given' ? 'warn' : 'stop',
    message: `the board at ${placeText(found.at, units)} is ${shortLength(found.radius, units)} from its nearest site ${sites[found.site]?.id}, the pitch allows ${shortLength(allowed, units)}${excused ? ' (nudges take the rest)' : ''}`,
    facts: {
      x: rounded(found.at[0], 3),
      y: rounded(found.at[1], 3),
      radius: rounded(found.radius, 3),
      allowed: rounded(allowed, 3),
    },
  });
  return { coverage, findings: [finding] };
}
