import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import type { Site } from './hole-table.ts';
import { isNamed, labelAt } from './labels.ts';
import type { Target } from './operation-view.ts';
import { cutsBySite, measureRound, type RoundMeasure, type SiteCut, type StrayCut } from './site-cuts.ts';

/** Diameter from cells is good to this many cells, and flat floors to this many millimetres. */
const AREA_CELLS = 0.35;
const FLAT = 0.02;
/** Diameters of the path are exact to the text's rounding and the chords' sagitta. */
export const PATH_SLACK = 0.004;
/** Heights and places of a table are rounded to thousandths of a millimetre. */
export const TABLE_SLACK = 0.0006;
/** Stray cuts that are listed one by one. */
const STRAYS_LISTED = 5;

export interface SiteReport {
  readonly findings: Diagnostic[];
  readonly cuts: readonly SiteCut[];
  readonly measures: readonly { site: string; diameter: number; floor: number }[];
}

/**
 * Round cuts at sites: every one in place, of the right size and depth, once, and nothing elsewhere.
 * @param expected ids of the sites that this program is to cut
 */
export function checkSites(
  c: Case,
  expected: readonly string[],
  sites: readonly Site[],
  targetOf: (site: Site) => Target | null,
): SiteReport {
  const around = (site: Site): number => (targetOf(site)?.diameter ?? 0) / 2 + 3;
  const { cuts, strays } = cutsBySite(c.simulation, sites, around);
  const findings = [...strayFindings(c, strays), ...missingFindings(c, expected, cuts)];
  const measures: { site: string; diameter: number; floor: number }[] = [];
  for (const cut of cuts) {
    findings.push(...checkIdentity(c, cut, expected));
    const target = targetOf(cut.site);
    if (!target) continue;
    const measure = target.flat ? measureFloor(c, cut, target) : null;
    findings.push(
      ...checkPlace(c, cut),
      ...checkFloor(c, cut, target),
      ...checkDiameter(c, cut, target, measure),
      ...checkOpening(c, cut, target),
      ...checkCleared(c, cut, measure),
    );
    measures.push({
      site: cut.site.site,
      diameter: measure?.floorDiameter ?? cut.widest,
      floor: cut.floor,
    });
  }
  return { findings, cuts, measures };
}

/** Where arcs must become lines, their corners lie on the circle and its quarter points need not be among them. */
export function chordOf(c: Case): number {
  const { arcs } = c.record.machine.controller;
  return arcs.form === 'none' ? arcs.chord : 0;
}

export interface AtCut {
  readonly line?: number;
  /** Letter of the word to point at. */
  readonly word?: string;
  readonly message: string;
  readonly facts: Readonly<Record<string, string | number>>;
}

export function finding(c: Case, code: CheckerCode, { line, word, message, facts }: AtCut): Diagnostic {
  return report({ code, ...inFile(c.file, line, word), message, facts });
}

export function strayFindings(c: Case, strays: readonly StrayCut[]): Diagnostic[] {
  const { units } = c.record.machine;
  return strays.slice(0, STRAYS_LISTED).map(({ line, x, y, z, nearest, distance }) =>
    finding(c, 'work/stray-cut', {
      line,
      message: `a cut at ${exactPlace([x, y], units)}, Z ${exactLength(z, units)} belongs to no site; the nearest is ${nearest}, ${exactLength(distance, units)} away`,
      facts: { x, y, z, nearest, strays: strays.length },
    }),
  );
}

export function missingFindings(
  c: Case,
  expected: readonly string[],
  cuts: readonly SiteCut[],
): Diagnostic[] {
  const cut = new Set(cuts.map(({ site }) => site.site));
  return expected
    .filter((site) => !cut.has(site))
    .map((site) =>
      finding(c, 'work/missing-site', {
        message: `site ${site} is in the manifest for this program and is not cut`,
        facts: { site },
      }),
    );
}

/** Is it a site of the program, cut under its own comment, and once? */
export function checkIdentity(c: Case, cut: SiteCut, expected: readonly string[]): Diagnostic[] {
  const { site } = cut.site;
  const found: Diagnostic[] = [];
  if (!expected.includes(site)) {
    const message = `site ${site} is cut and is not among the program's sites`;
    found.push(finding(c, 'work/stray-cut', { line: cut.firstLine, message, facts: { site } }));
  }
  const label = labelAt(c, cut.firstLine);
  if (label !== null && !isNamed(label, site)) {
    const message = `site ${site} is cut under the comment of site ${label}`;
    found.push(finding(c, 'work/label', { line: cut.firstLine, message, facts: { site, label } }));
  }
  if (cut.arrivals > 1) {
    const message = `the tip goes down to the floor of site ${site} ${cut.arrivals} times`;
    const facts = { site, times: cut.arrivals };
    found.push(finding(c, 'work/site-twice', { line: cut.lastLine, message, facts }));
  }
  return found;
}

export function checkPlace(c: Case, cut: SiteCut): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { site, x, y } = cut.site;
  const off = Math.max(Math.abs(cut.middleX - x), Math.abs(cut.middleY - y));
  if (off <= 2 * roundingOf(controller) + TABLE_SLACK + chordOf(c)) return [];
  return [
    finding(c, 'work/site-place', {
      line: cut.floorLine,
      message: `site ${site} is cut about ${exactPlace([cut.middleX, cut.middleY], units)}; it lies at ${exactPlace([x, y], units)}`,
      facts: { site, x: cut.middleX, y: cut.middleY, off },
    }),
  ];
}

function checkFloor(c: Case, cut: SiteCut, target: Target): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { site } = cut.site;
  if (Math.abs(cut.floor - target.floor) <= roundingOf(controller) + TABLE_SLACK) return [];
  return [
    finding(c, 'work/floor', {
      line: cut.floorLine,
      word: 'Z',
      message: `site ${site} ends at ${exactLength(cut.floor, units)} above the bed, expected ${exactLength(target.floor, units)}`,
      facts: { site, found: cut.floor, expected: target.floor },
    }),
  ];
}

/** What the simulation left at the floor, measured to a cell and a half short of the wall. */
function measureFloor(c: Case, { site, floor }: SiteCut, target: Target): RoundMeasure | null {
  const cell = c.simulation.field?.cell ?? 0.1;
  const radius = target.diameter / 2;
  return measureRound(c.simulation, site, {
    floor: floor + FLAT,
    reach: radius + 2,
    within: Math.max(0, radius - cell * 1.5),
  });
}

/** The width of the path, and where that is right the area of the floor. */
function checkDiameter(c: Case, cut: SiteCut, target: Target, measure: RoundMeasure | null): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { site } = cut.site;
  const expected = target.diameter;
  const tolerance = 4 * roundingOf(controller) + PATH_SLACK + 2 * chordOf(c) + (target.flat ? 0 : 0.06);
  if (Math.abs(cut.widest - expected) > tolerance) {
    return [
      finding(c, 'work/diameter', {
        line: cut.widestLine,
        message: `site ${site} is cut ${exactLength(cut.widest, units)} wide, expected ${exactLength(expected, units)}`,
        facts: { site, found: cut.widest, expected },
      }),
    ];
  }
  if (!measure || Math.abs(measure.floorDiameter - expected) <= AREA_CELLS * measure.cell + 0.01) return [];
  return [
    finding(c, 'work/diameter', {
      line: cut.floorLine,
      message: `the floor of site ${site} has the area of a circle ${exactLength(measure.floorDiameter, units)} wide, expected ${exactLength(expected, units)}`,
      facts: { site, found: measure.floorDiameter, expected },
    }),
  ];
}

/** A through hole must be open over its whole width at the underside of the board. */
function checkOpening(c: Case, cut: SiteCut, target: Target): Diagnostic[] {
  if (target.openAt === undefined) return [];
  const { units } = c.record.machine;
  const { site } = cut.site;
  const expected = target.diameter;
  const open = measureRound(c.simulation, cut.site, {
    floor: target.openAt + FLAT,
    reach: expected / 2 + 2,
    within: 0,
  });
  const tolerance = (cell: number): number => AREA_CELLS * cell + 0.01 + 2 * chordOf(c);
  if (!open || expected - open.floorDiameter <= tolerance(open.cell)) return [];
  return [
    finding(c, 'work/diameter', {
      line: cut.lastLine,
      message: `the hole of site ${site} is open over the area of a circle ${exactLength(open.floorDiameter, units)} wide at the underside of the board, expected ${exactLength(expected, units)}`,
      facts: { site, found: open.floorDiameter, expected },
    }),
  ];
}

function checkCleared(c: Case, cut: SiteCut, measure: RoundMeasure | null): Diagnostic[] {
  if (!measure || measure.highestInside <= cut.floor + FLAT) return [];
  const height = measure.highestInside - cut.floor;
  return [
    finding(c, 'work/post-left', {
      line: cut.lastLine,
      message: `material stands ${exactLength(height, c.record.machine.units)} above the floor inside site ${cut.site.site}`,
      facts: { site: cut.site.site, height },
    }),
  ];
}
