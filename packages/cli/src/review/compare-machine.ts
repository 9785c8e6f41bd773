import { type ChangeWords, changeWords, type Site, type WorkPlan } from '@bedledger/bedwork';
import {
  type Diagnostic,
  foldFindings,
  lengthText,
  screwName,
  type Told,
  type Units,
} from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import type { IssuedSet } from '../issued-set.ts';
import { IMPACTS, type Impact, impactOf } from './impact.ts';

export interface SiteChange {
  readonly site: string;
  readonly change: 'moved' | 'new' | 'gone';
  /** Surveyed frame, mm. */
  readonly from: readonly [number, number] | null;
  readonly to: readonly [number, number] | null;
  readonly distance: number;
  readonly state: string;
}

export interface ValueChange {
  readonly what: string;
  /** Lengths are in mm here, and in the machine's unit in what people read. */
  readonly unit: '' | 'mm' | 'skims' | 'min';
  readonly before: number | null;
  readonly after: number | null;
}

export interface MachineChange {
  readonly id: string;
  readonly title: string;
  /** What its people read. */
  readonly units: Units;
  readonly change: 'new' | 'gone' | 'changed' | 'same';
  readonly sites: readonly SiteChange[];
  /** Depths, diameters, life and time that differ, worst site each. */
  readonly values: readonly ValueChange[];
  readonly programs: readonly { readonly file: string; readonly impact: Impact }[];
  /** What people must do in the shop because of the change. */
  readonly byHand: readonly string[];
  readonly withheld: readonly string[];
  /** What is found of the plan after the change and was not before, and the reverse. */
  readonly findings: { readonly appear: readonly Diagnostic[]; readonly vanish: readonly Diagnostic[] };
  readonly impact: Impact;
  /** What stops the machine after the change, causes with what hangs on them. While there is any, nothing else is told of it. */
  readonly stops: readonly Told[];
}

/** A machine that a change does not reach. */
export function unchanged({ machine }: MachineRecord): MachineChange {
  return {
    id: machine.id,
    title: machine.title,
    units: machine.units,
    change: 'same',
    sites: [],
    values: [],
    programs: [],
    byHand: [],
    withheld: [],
    findings: { appear: [], vanish: [] },
    impact: 'same',
    stops: [],
  };
}

/** What the change from `before` to `after` does to one machine; either side may be missing. Pure. */
export function compareMachine(before: IssuedSet | null, after: IssuedSet | null): MachineChange {
  const one = (after ?? before) as IssuedSet;
  if (after?.blocked) return stoppedMachine(before, after);
  const sites = compareSites(before?.plan ?? null, after?.plan ?? null);
  const values = compareValues(before, after);
  const programs = comparePrograms(before, after);
  const withheld = compareWithheld(before, after);
  const impact = programs.reduce<Impact>(
    (worst, p) => (IMPACTS.indexOf(p.impact) > IMPACTS.indexOf(worst) ? p.impact : worst),
    'same',
  );
  const findings = {
    appear: after === null ? [] : missingFrom(before, after.findings),
    vanish: before === null ? [] : missingFrom(after, before.findings),
  };
  const byHand = before === null || after === null ? [] : handWork(sites, before.plan, after.plan);
  const parts = [sites, values, programs, withheld, byHand, findings.appear, findings.vanish];
  const quiet = parts.every((part) => part.length === 0);
  return {
    id: one.id,
    title: one.plan.record.machine.title,
    units: one.plan.record.machine.units,
    change: before === null ? 'new' : after === null ? 'gone' : quiet ? 'same' : 'changed',
    sites,
    values,
    programs,
    byHand,
    withheld,
    findings,
    impact,
    stops: [],
  };
}

/** Of a machine that is stopped nothing is issued, so nothing that would follow from its plan is told: no hand work either. */
function stoppedMachine(before: IssuedSet | null, after: IssuedSet): MachineChange {
  const stops = foldFindings(after.findings).filter(({ finding }) => finding.severity === 'stop');
  return {
    ...unchanged(after.plan.record),
    change: before === null ? 'new' : 'changed',
    findings: { appear: missingFrom(before, after.findings), vanish: [] },
    stops,
  };
}

/** Findings that the other side does not have in the same words. */
function missingFrom(side: IssuedSet | null, findings: readonly Diagnostic[]): Diagnostic[] {
  const known = new Set((side?.findings ?? []).map((d) => `${d.severity} ${d.code} ${d.message}`));
  return findings.filter((d) => !known.has(`${d.severity} ${d.code} ${d.message}`));
}

function compareSites(before: WorkPlan | null, after: WorkPlan | null): SiteChange[] {
  const was = new Map((before?.layout.sites ?? []).map((s) => [s.id, s]));
  const is = new Map((after?.layout.sites ?? []).map((s) => [s.id, s]));
  const changes: SiteChange[] = [];
  for (const [id, site] of is) {
    const old = was.get(id);
    if (old === undefined) {
      if (before !== null)
        changes.push({
          site: id,
          change: 'new',
          from: null,
          to: site.actual,
          distance: 0,
          state: site.state,
        });
    } else {
      const [dx, dy] = [site.actual[0] - old.actual[0], site.actual[1] - old.actual[1]];
      const distance = Math.sqrt(dx * dx + dy * dy);
      // A thousandth of a millimetre is the programs' grid: less is no move.
      if (distance >= 0.0005)
        changes.push({
          site: id,
          change: 'moved',
          from: old.actual,
          to: site.actual,
          distance,
          state: site.state,
        });
    }
  }
  if (after !== null) {
    for (const [id, site] of was) {
      if (!is.has(id))
        changes.push({
          site: id,
          change: 'gone',
          from: site.actual,
          to: null,
          distance: 0,
          state: site.state,
        });
    }
  }
  return changes;
}

const STACK_VALUES: readonly (readonly [string, (s: Stack) => number, 'min' | 'max'])[] = [
  ['screw length', (s) => s.screwLength, 'max'],
  ['web under the head', (s) => s.web, 'min'],
  ['pocket depth', (s) => s.pocketDepth, 'max'],
  ['pocket diameter', (s) => s.pocketDiameter, 'max'],
  ['clearance hole', (s) => s.clearanceDiameter, 'max'],
  ['cover over the head', (s) => s.cover, 'min'],
  ['bore by hand, depth', (s) => s.handDrill.depth, 'max'],
  ['bore by hand, diameter', (s) => s.handDrill.diameter, 'max'],
];

function compareValues(before: IssuedSet | null, after: IssuedSet | null): ValueChange[] {
  const changes: ValueChange[] = [];
  const add = (what: string, unit: ValueChange['unit'], was: number | null, is: number | null): void => {
    if (was === is || (was !== null && is !== null && Math.abs(was - is) < 0.0005)) return;
    changes.push({ what, unit, before: was, after: is });
  };
  const worst = (set: IssuedSet | null, of: (s: Stack) => number, pick: 'min' | 'max'): number | null => {
    const all = [...(set?.plan.stacks.values() ?? [])].map(of);
    return all.length === 0 ? null : pick === 'min' ? Math.min(...all) : Math.max(...all);
  };
  if (before !== null && after !== null) {
    add('sites', '', before.plan.layout.sites.length, after.plan.layout.sites.length);
    for (const [what, of, pick] of STACK_VALUES)
      add(what, 'mm', worst(before, of, pick), worst(after, of, pick));
    add(
      'life',
      'skims',
      worst(before, (s) => s.life.skims, 'min'),
      worst(after, (s) => s.life.skims, 'min'),
    );
    add(
      'replace the board at',
      'mm',
      worst(before, (s) => s.life.replaceAt, 'max'),
      worst(after, (s) => s.life.replaceAt, 'max'),
    );
    add(
      'farthest point from a site',
      'mm',
      before.plan.layout.coverage.radius,
      after.plan.layout.coverage.radius,
    );
    add('machine time', 'min', minutes(before), minutes(after));
  }
  return changes;
}

function minutes(set: IssuedSet): number {
  let sum = 0;
  for (const { minutes: m } of set.manifest.programs) sum += m;
  return Math.round(sum * 10) / 10;
}

function comparePrograms(
  before: IssuedSet | null,
  after: IssuedSet | null,
): { file: string; impact: Impact }[] {
  const names = new Set<string>();
  for (const set of [before, after])
    for (const path of set?.files.keys() ?? []) if (path.startsWith('programs/')) names.add(path);
  const one = (after ?? before) as IssuedSet;
  const controller = one.plan.record.machine.controller;
  return [...names]
    .sort()
    .map((file) => ({
      file,
      impact: impactOf(
        before?.files.get(file) ?? null,
        after?.files.get(file) ?? null,
        before?.plan.record.machine.controller ?? controller,
        after?.plan.record.machine.controller ?? controller,
      ),
    }))
    .filter((p) => p.impact !== 'same');
}

function compareWithheld(before: IssuedSet | null, after: IssuedSet | null): string[] {
  if (after === null) return [];
  const nameOf = (w: { operation: string; form: string | null }): string =>
    w.form === null ? w.operation : `${w.operation} ${w.form}`;
  const is = after.plan.withheld;
  // What the profile never asked for is no news of a new machine.
  if (before === null)
    return is.filter((w) => w.asked !== false).map((w) => `${nameOf(w)} is not issued: ${w.reason}`);
  const was = before.plan.withheld.map(nameOf);
  const now = is.map(nameOf);
  return [
    ...is.filter((w) => !was.includes(nameOf(w))).map((w) => `${nameOf(w)} is no longer issued: ${w.reason}`),
    ...was.filter((name) => !now.includes(name)).map((name) => `${name} may be issued now`),
  ];
}

/** What the change asks of the shop beyond what was asked for before: now, at the next board, and what will never be. */
function plannedWork(before: WorkPlan, after: WorkPlan): string[] {
  const [was, is] = [changeWords(before), changeWords(after)];
  const added = (part: keyof ChangeWords): string[] => is[part].filter((line) => !was[part].includes(line));
  return [...added('now'), ...added('next'), ...added('never')];
}

function handWork(sites: readonly SiteChange[], before: WorkPlan, after: WorkPlan): string[] {
  const { units } = after.record.machine;
  const lines: string[] = [];
  const inBed = (s: SiteChange): boolean => s.state === 'bored' || s.state === 'set';
  for (const s of sites) {
    if (s.change === 'moved' && inBed(s))
      lines.push(
        `${s.site}: its hole is in the bed ${lengthText(s.distance, units)} from the new place: \`bedledger explain ${after.record.machine.id} --as-given\` writes the places out as they are`,
      );
    if (s.change === 'gone' && inBed(s))
      lines.push(`${s.site}: is no longer used, and its hole is in the bed; fill it and record that`);
  }
  const fresh = sites.filter((s) => s.change === 'new' && s.state === 'none').map((s) => s.site);
  if (fresh.length > 0) lines.push(`mark, bore and set inserts at ${fresh.join(', ')}`);
  lines.push(...plannedWork(before, after));
  const screws = (plan: WorkPlan): Map<number, number> => {
    const counts = new Map<number, number>();
    for (const { screwLength } of plan.stacks.values())
      counts.set(screwLength, (counts.get(screwLength) ?? 0) + 1);
    return counts;
  };
  const [was, is] = [screws(before), screws(after)];
  for (const [length, count] of is) {
    if ((was.get(length) ?? 0) !== count && before.layout.sites.length > 0)
      lines.push(
        `${count} screws ${screwName(after.record.planned.screw.thread.designation, length)} are needed (before: ${was.get(length) ?? 0})`,
      );
  }
  const done = (s: Site): boolean => s.state === 'set';
  if (after.layout.sites.some(done) && worstDiameter(before) !== worstDiameter(after))
    lines.push('holes in the fitted board change; a board that is already bored has the old ones');
  return lines;
}

function worstDiameter(plan: WorkPlan): number {
  return Math.max(0, ...[...plan.stacks.values()].map((s) => s.clearanceDiameter));
}
