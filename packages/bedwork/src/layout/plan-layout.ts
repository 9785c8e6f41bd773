import type { Diagnostic } from '@bedledger/diagnostics';
import { placeText, rounded, shortLength, type Units } from '@bedledger/diagnostics';
import { type MachineRecord, standingStill } from '@bedledger/fleet';
import { distance, type Point } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { type Hold, holdOf } from '../base/hold.ts';
import { profilePlace } from '../base/places.ts';
import { type Clearance, clearancesAt } from '../lands/clearances.ts';
import { computeLands, type Lands } from '../lands/lands.ts';
import { siteNeeds } from '../lands/needs.ts';
import { report } from '../report.ts';
import type { LAYOUT_RULES } from '../rules/layout.ts';
import { type BedFit, fitBed } from '../survey/bed-fit.ts';
import { alignedLayout } from './aligned.ts';
import { HOLES_LOST, keepTheHoles } from './as-given.ts';
import { boardLie } from './board-lie.ts';
import type { Draft, DraftSite, Effort } from './draft.ts';
import { fewestLayout } from './fewest.ts';
import { givenLayout } from './given.ts';
import { isInBed, type LedgerMatch, matchLedger, placeTolerance } from './ledger-sites.ts';
import type { Layout, Site } from './model.ts';
import { type PitchRule, pitchRule } from './pitch.ts';
import { findRemedies } from './remedies.ts';
import { clearanceFindings, coverageOf } from './site-findings.ts';
import { symmetryOf } from './symmetry.ts';
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

/** The same, when fit and lands are at hand. What stops a layout is told with changes that were tried and work. */
export function layOut(record: MachineRecord, fit: BedFit, lands: Lands): Layout {
  const layout = withHoles(record, fit, lands, plainLayout(record, fit, lands, 'full'));
  // On a survey that is refused no layout is worth a change.
  if (fit.findings.some((f) => f.severity === 'stop')) return layout;
  if (record.machine.fixing.layout.pattern === 'given' || !layout.findings.some(asksForRemedy)) return layout;
  // What only the layout rules change needs no new lands.
  const remedies = findRemedies(record, layout, lands, (changed, effort) => {
    const same =
      changed.machine.bed === record.machine.bed &&
      changed.machine.board === record.machine.board &&
      changed.machine.cutters === record.machine.cutters;
    return plainLayout(changed, fit, same ? lands : computeLands(changed, fit), effort);
  });
  const help =
    remedies.length > 0
      ? remedies.map((r) => r.say).join('; or ')
      : 'no single change of nudge, edge, pattern, pitch, a groove, the pocket cutter or the board, nor two together, of those tried makes a layout possible: make room on the bed, or use a fixing that needs less';
  return {
    ...layout,
    remedies,
    findings: layout.findings.map((f) => (asksForRemedy(f) ? { ...f, help } : f)),
  };
}

/** What contradicts the holes in the bed is told with what was tried for it. */
function withHoles(record: MachineRecord, fit: BedFit, lands: Lands, layout: Layout): Layout {
  const lost = (f: Diagnostic): boolean => f.severity === 'stop' && HOLES_LOST.has(f.code);
  if (fit.findings.some((f) => f.severity === 'stop') || !layout.findings.some(lost)) return layout;
  const help = keepTheHoles(record, layout, (changed) => plainLayout(changed, fit, lands, 'quick'));
  return { ...layout, findings: layout.findings.map((f) => (lost(f) ? { ...f, help } : f)) };
}

/** Findings that say that no layout is possible as things are. */
const NO_LAYOUT: ReadonlySet<string> = new Set([
  'layout/no-land',
  'layout/impossible',
  'layout/coverage',
  'layout/edge-and-pitch',
] satisfies (keyof typeof LAYOUT_RULES)[]);

function asksForRemedy(f: Diagnostic): boolean {
  return f.severity === 'stop' && NO_LAYOUT.has(f.code);
}

/** @param effort `quick`: any layout will do, to see whether there is one */
function plainLayout(record: MachineRecord, fit: BedFit, lands: Lands, effort: Effort): Layout {
  const pitch = pitchRule(record);
  const draft = draftOnBed(record, fit, lands, pitch, effort);
  const airPass = airPassNudges(record, draft.sites);
  const planned = draft.sites.map((d): Planned => {
    const mapped = fit.toActual(d.nominal);
    const uncertainty = fit.uncertaintyAt(d.nominal);
    const nudge = isWrittenOut(record, d, mapped, uncertainty) ? undefined : airPass.nudges.get(d.id);
    const by = nudge?.by ?? [0, 0];
    const at: Point = [rounded(mapped[0] + by[0], 3), rounded(mapped[1] + by[1], 3)];
    return { draft: d, id: d.id, at, uncertainty, nudge };
  });
  const ledger = matchLedger(record, lands.needs, planned);
  const placed = planned.map((p) => ({ ...p, at: ledger.kept.get(p.id)?.at ?? p.at }));
  const hold = holdOf(
    record,
    placed.map(({ id, at }) => ({ id, actual: at })),
  );
  const sites = placed.map((p) => siteOf({ record, fit, lands, placed, hold }, p, ledger.kept.get(p.id)));
  const { coverage, findings } = coverageOf(record, lands, pitch, sites);
  const actual = sites.map((s) => s.actual);
  return {
    units: record.machine.units,
    pattern: record.machine.fixing.layout.pattern,
    sites,
    rows: draft.rows,
    columns: draft.columns,
    pitch: { limit: pitch.limit, from: pitch.from },
    coverage,
    bound: draft.bound,
    lands: lands.actual,
    registration: fit.registration,
    boardLie: boardLie(record, fit),
    order: effort === 'quick' ? actual.map((_, i) => i) : visitingOrder(record.machine, actual),
    findings: [
      ...fit.findings,
      ...draft.findings,
      ...airPass.findings,
      ...ledger.findings,
      ...clearanceFindings(record, sites),
      ...findings,
    ],
    symmetric: symmetryOf(actual.map(fit.toNominal), boardBox(record.machine)),
    deflection: pitch.deflection,
    needs: lands.needs,
    uncertainty: lands.uncertainty,
    remedies: [],
  };
}

/** A layout is drawn on the bed: where the bed went with a machine that was moved changes nothing of it. */
function draftOnBed(
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
  effort: Effort,
): Draft {
  const still = standingStill(record);
  if (still === record) return draftLayout(record, fit, lands, pitch, effort);
  const before = fitBed(still);
  return draftLayout(still, before, computeLands(still, before), pitch, effort);
}

function draftLayout(
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
  effort: Effort,
): Draft {
  switch (record.machine.fixing.layout.pattern) {
    case 'aligned':
      return alignedLayout(record, fit, lands, pitch, effort);
    case 'fewest':
      return fewestLayout(record, fit, lands, pitch, effort);
    case 'given':
      return givenLayout(record, pitch.limit / 4);
  }
}

interface AirPassNudge {
  readonly by: Point;
  readonly reason: string;
}

/** Nudges found on an air pass, by site; one for a site that the layout does not have is an error. */
function airPassNudges(
  record: MachineRecord,
  sites: readonly DraftSite[],
): { readonly nudges: ReadonlyMap<string, AirPassNudge>; readonly findings: readonly Diagnostic[] } {
  const findings: Diagnostic[] = [];
  const nudges = new Map<string, AirPassNudge>();
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
    nudges.set(n.site, { by: n.by, reason: n.reason });
  }
  return { nudges, findings };
}

/** A site of the draft at its place in the surveyed frame, nudge of the air pass included. */
interface Planned {
  readonly draft: DraftSite;
  readonly id: string;
  readonly at: Point;
  readonly uncertainty: number;
  /** Of the air pass. */
  readonly nudge: AirPassNudge | undefined;
}

/** A position that was written out from where the hole is has its nudge in it already. */
function isWrittenOut(record: MachineRecord, d: DraftSite, mapped: Point, uncertainty: number): boolean {
  const hole = d.placedBy === 'given' ? record.state.sites.get(d.id) : undefined;
  return (
    hole !== undefined &&
    isInBed(hole.state) &&
    distance(mapped, hole.at) <= placeTolerance(record, uncertainty)
  );
}

interface Surroundings {
  readonly record: MachineRecord;
  readonly fit: BedFit;
  readonly lands: Lands;
  readonly placed: readonly Planned[];
  readonly hold: Hold;
}

function siteOf(around: Surroundings, p: Planned, kept: LedgerMatch | undefined): Site {
  const { record, fit, lands, placed, hold } = around;
  const airPass = p.nudge;
  const layout = p.draft.nudge;
  const nudges: Site['nudges'] = [
    ...(layout ? [{ by: layout.by, why: 'layout' as const, reason: layout.reason }] : []),
    ...(airPass ? [{ by: airPass.by, why: 'air-pass' as const, reason: airPass.reason }] : []),
  ];
  // A site that is written out has a pocket of its own size; where sites may be is decided with the widest one.
  const needs =
    p.draft.placedBy === 'given' ? siteNeeds(record, p.uncertainty, hold.reachFrom(p.at)) : lands.needs;
  const others = placed.filter((o) => o !== p);
  const { land, zone } = lands.kinds.kindAt(fit.toNominal(p.at));
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
    uncertainty: p.uncertainty,
    clearances: clearancesAt(record, lands, p, others, needs),
    state: kept?.state ?? ('none' as const),
  };
  return { ...site, reasons: reasonsOf(site, p.draft, kept?.off ?? null, record.machine.units) };
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
