import type { Diagnostic } from '@bedledger/diagnostics';
import { placeText, shortLength, type Units } from '@bedledger/diagnostics';
import type { MachineRecord, SiteState } from '@bedledger/fleet';
import { coverageRadius, distance, type Point } from '@bedledger/geometry';
import { ledgerPlace, profilePlace } from '../base/places.ts';
import { type Clearance, clearancesAt } from '../lands/clearances.ts';
import { computeLands, type Lands } from '../lands/lands.ts';
import { report } from '../report.ts';
import { type BedFit, fitBed } from '../survey/bed-fit.ts';
import { alignedLayout } from './aligned.ts';
import type { Draft, DraftSite } from './draft.ts';
import { fewestLayout } from './fewest.ts';
import { givenLayout } from './given.ts';
import { matchLedger } from './ledger-sites.ts';
import type { Layout, Site } from './model.ts';
import { type PitchRule, pitchRule } from './pitch.ts';
import { visitingOrder } from './visiting-order.ts';

/**
 * The layout of a machine's sites: placed on lands, mapped through the survey, checked against the bed as measured,
 * with the ledger's sites exactly where they are, coverage proven and an order of visiting.
 *
 * Never throws for a bad bed: what is wrong comes back as findings, and a finding of severity `stop` means that the
 * layout must not be used.
 */
export function planLayout(record: MachineRecord): Layout {
  const fit = fitBed(record);
  const lands = computeLands(record, fit);
  return layOut(record, fit, lands);
}

/** The same, when fit and lands are at hand. */
export function layOut(record: MachineRecord, fit: BedFit, lands: Lands): Layout {
  const pitch = pitchRule(record);
  const pattern = record.machine.fixing.layout.pattern;
  const draft = draftLayout(record, fit, lands, pitch);
  const findings: Diagnostic[] = [...fit.findings, ...draft.findings];

  const airPass = airPassNudges(record, draft.sites, findings);
  const planned = draft.sites.map((d) => {
    const mapped = fit.toActual(d.nominal);
    const by = airPass.get(d.id)?.by ?? [0, 0];
    const at: Point = [micron(mapped[0] + by[0]), micron(mapped[1] + by[1])];
    return { draft: d, id: d.id, at, uncertainty: fit.uncertaintyAt(d.nominal) };
  });
  const ledger = matchLedger(record, lands.needs, planned);
  findings.push(...ledger.findings);

  const placed = planned.map((p) => ({ ...p, at: ledger.kept.get(p.id)?.at ?? p.at }));
  const sites: Site[] = placed.map((p) => {
    const kept = ledger.kept.get(p.id);
    const nudge = airPass.get(p.id);
    const nudges: Site['nudges'] = [
      ...(p.draft.nudge
        ? [{ by: p.draft.nudge.by, why: 'layout' as const, reason: p.draft.nudge.reason }]
        : []),
      ...(nudge ? [{ by: nudge.by, why: 'air-pass' as const, reason: nudge.reason }] : []),
    ];
    // What is in the bed already is off by nothing: the ledger says where it is.
    const uncertainty = p.uncertainty;
    const clearances = clearancesAt(
      record,
      lands,
      p.at,
      uncertainty,
      placed.filter((o) => o !== p),
    );
    const { land, zone } = lands.kinds.kindAt(fit.toNominal(p.at));
    const state: SiteState = kept?.state ?? 'none';
    const site = {
      id: p.id,
      row: p.draft.row,
      column: p.draft.column,
      nominal: p.draft.nominal,
      actual: p.at,
      placedBy: kept ? ('ledger' as const) : p.draft.placedBy,
      nudges,
      land,
      zone,
      uncertainty,
      clearances,
      state,
    };
    findings.push(...clearanceFindings(record, site, nudge !== undefined));
    return { ...site, reasons: reasonsOf(site, p.draft, kept?.off ?? null, record.machine.units) };
  });

  const coverage = cover(record, lands, pitch, sites, findings);
  return {
    units: record.machine.units,
    pattern,
    sites,
    rows: draft.rows,
    columns: draft.columns,
    pitch: { limit: pitch.limit, from: pitch.from },
    coverage,
    bound: draft.bound,
    lands: lands.actual,
    registration: fit.registration,
    order: visitingOrder(
      record.machine,
      sites.map((s) => s.actual),
    ),
    findings,
    symmetric: draft.symmetric,
    deflection: pitch.deflection,
    needs: lands.needs,
    uncertainty: lands.uncertainty,
  };
}

function draftLayout(record: MachineRecord, fit: BedFit, lands: Lands, pitch: PitchRule): Draft {
  switch (record.machine.fixing.layout.pattern) {
    case 'aligned':
      return alignedLayout(record, lands, pitch);
    case 'fewest':
      return fewestLayout(record, fit, lands, pitch);
    case 'given':
      return givenLayout(record, pitch.limit / 4);
  }
}

/** Nudges found on an air pass, by site; one for a site that the layout does not have is an error. */
function airPassNudges(
  record: MachineRecord,
  sites: readonly DraftSite[],
  findings: Diagnostic[],
): Map<string, { readonly by: Point; readonly reason: string }> {
  const out = new Map<string, { by: Point; reason: string }>();
  const names = new Set(sites.map((s) => s.id));
  for (const n of record.machine.fixing.nudges) {
    if (!names.has(n.site)) {
      findings.push(
        report({
          place: profilePlace(record),
          code: 'layout/unknown-nudge',
          message: `fixing.nudges names site ${n.site}, which the layout does not have`,
          facts: { site: n.site },
          help: `remove the nudge of ${n.site}, or name one of ${sites.length > 0 ? `${sites[0]?.id} … ${sites.at(-1)?.id}` : 'the sites'}`,
        }),
      );
      continue;
    }
    out.set(n.site, { by: n.by, reason: n.reason });
  }
  return out;
}

function clearanceFindings(
  record: MachineRecord,
  site: Omit<Site, 'reasons'>,
  nudged: boolean,
): Diagnostic[] {
  const out: Diagnostic[] = [];
  const { units } = record.machine;
  for (const c of site.clearances) {
    const short = c.needed - c.distance;
    if (!(short > 1e-6)) continue;
    const inBed = site.placedBy === 'ledger';
    // What is in the bed is there: only what a program would still run into stops.
    const stops = !inBed || c.kind === 'travel';
    const why = nudged ? ' after its nudge' : '';
    out.push(
      report({
        place: inBed ? ledgerPlace(record) : profilePlace(record),
        code: nudged ? 'layout/nudge' : 'layout/clearance',
        severity: stops ? 'stop' : 'warn',
        message: `site ${site.id}${why} is ${shortLength(c.distance, units)} from ${c.name}, needed are ${shortLength(c.needed, units)}`,
        facts: { site: site.id, kind: c.kind, distance: round(c.distance), needed: round(c.needed) },
        help: clearanceHelp(site, c, nudged, units),
      }),
    );
  }
  return out;
}

function clearanceHelp(site: Omit<Site, 'reasons'>, c: Clearance, nudged: boolean, units: Units): string {
  if (c.kind === 'travel')
    return `move ${site.id} into the reach of the spindle, or use a larger pocket cutter`;
  if (site.placedBy === 'ledger') return `look at the bed around ${site.id} before loading its screw`;
  if (nudged) return `make the nudge of ${site.id} smaller or turn it away from ${c.name}`;
  return `move ${site.id} by ${shortLength(c.needed - c.distance, units)} or more away from ${c.name}`;
}

function cover(
  record: MachineRecord,
  lands: Lands,
  pitch: PitchRule,
  sites: readonly Site[],
  findings: Diagnostic[],
): Layout['coverage'] {
  const allowed = coverageLimit(pitch);
  const { units } = record.machine;
  if (sites.length === 0) {
    return { radius: Number.POSITIVE_INFINITY, at: lands.boardCorners[0] ?? [0, 0], allowed };
  }
  const found = coverageRadius(
    sites.map((s) => s.actual),
    lands.board,
  );
  const nudged = Math.max(0, ...sites.flatMap((s) => s.nudges.map((n) => distance([0, 0], n.by))));
  if (found.radius > allowed + 1e-6) {
    const excused = found.radius <= allowed + nudged + lands.uncertainty;
    findings.push(
      report({
        place: profilePlace(record),
        code: 'layout/coverage',
        severity: excused || record.machine.fixing.layout.pattern === 'given' ? 'warn' : 'stop',
        message: `the board at ${placeText(found.at, units)} is ${shortLength(found.radius, units)} from its nearest site ${sites[found.site]?.id}, the pitch allows ${shortLength(allowed, units)}${excused ? ' (nudges take the rest)' : ''}`,
        facts: {
          x: round(found.at[0]),
          y: round(found.at[1]),
          radius: round(found.radius),
          allowed: round(allowed),
        },
      }),
    );
  }
  return { radius: found.radius, at: found.at, allowed };
}

/** Half the diagonal of a full pitch square: the farthest a point can be from the sites of a square grid. */
export function coverageLimit(pitch: Pick<PitchRule, 'limit'>): number {
  return pitch.limit * Math.SQRT1_2;
}

function reasonsOf(
  site: Omit<Site, 'reasons'>,
  draft: DraftSite,
  off: number | null,
  units: Units,
): string[] {
  const out: string[] = [];
  if (site.placedBy === 'ledger') {
    const what = site.state === 'set' ? 'insert' : site.state === 'bored' ? 'bore' : 'mark';
    out.push(
      `kept where the ledger has its ${what}${off !== null && off > 0.05 ? `, ${shortLength(off, units)} from where the profile would put it now` : ''}`,
    );
  }
  if (site.land === 'divider') out.push('on a divider between zones: the screw hole does not open a zone');
  else if (site.land === 'outer') out.push('on the outer land: the screw hole does not open a zone');
  else {
    out.push(
      `inside zone ${site.zone}, on the land between grooves: nothing else covers this part of the board; the screw hole leaks into the zone, so keep a washer or tape under the head`,
    );
  }
  out.push(...draft.reasons);
  for (const n of site.nudges) {
    out.push(
      n.why === 'layout'
        ? `moved by the layout ${placeText(n.by, units)}: ${n.reason}`
        : `nudged after an air pass ${placeText(n.by, units)}: ${n.reason}`,
    );
  }
  let tightest: Clearance | null = null;
  for (const c of site.clearances) {
    if (tightest === null || c.distance - c.needed < tightest.distance - tightest.needed) tightest = c;
  }
  if (tightest) {
    out.push(
      `tightest is ${tightest.name} at ${shortLength(tightest.distance, units)}, needed ${shortLength(tightest.needed, units)} (uncertainty ${shortLength(site.uncertainty, units)} included)`,
    );
  }
  return out;
}

/** Whole micrometres, the last digit programs carry. */
function micron(v: number): number {
  return Math.round(v * 1000) / 1000 + 0;
}

function round(v: number): number {
  return Math.round(v * 1000) / 1000;
}
