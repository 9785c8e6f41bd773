import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { UNITS } from '../simulation/height-field.ts';
import type { Site } from './hole-table.ts';
import type { RimTarget, SitesOfRecord } from './operation-view.ts';
import { cutsBySite, type SiteCut } from './site-cuts.ts';
import {
  checkIdentity,
  checkPlace,
  chordOf,
  finding,
  missingFindings,
  PATH_SLACK,
  type SiteReport,
  strayFindings,
  TABLE_SLACK,
} from './site-rules.ts';

/** The tip of the cone stays this far from the wall of the pocket and above its floor, mm (ours). */
const CLEAR_OF_WALL = 0.2;
const CLEAR_OF_FLOOR = 0.5;
/** Heights of the chamfer are as the cone leaves them to this, mm: the chords of the simulation. */
const EVEN = 0.02;
/** Cells this near to an edge of the chamfer are not asked, mm: the pocket is a polygon there. */
const EDGE = 0.05;

/** The rims of the pockets, as the profile asks for them on the board of the ledger; null where no stack holds. */
export function rimTarget(
  { record }: Case,
  { stacks }: SitesOfRecord,
): (site: Pick<Site, 'site'>) => RimTarget | null {
  const { rimBreak } = record.machine.board;
  const top = record.state.board?.thickness;
  return ({ site }) => {
    const stack = stacks.get(site);
    if (!stack || rimBreak === null || top === undefined) return null;
    return { radius: stack.pocketDiameter / 2, floor: stack.web, top, width: rimBreak };
  };
}

/**
 * Chamfers on the rims of pockets: each about its site's axis, of the right width at the board's top, the same all round,
 * with the tip clear of wall and floor, once, and nothing elsewhere.
 * @param expected ids of the sites whose rims this program is to break
 */
export function checkRims(
  c: Case,
  expected: readonly string[],
  sites: readonly Site[],
  targetOf: (site: Site) => RimTarget | null,
): SiteReport {
  const { shape } = c.simulation.cutter;
  if (c.cutter === null || shape.form !== 'cone') {
    const message = 'rims are broken with a cone, and the profile names no pointed cutter for it';
    return {
      findings: [report({ code: 'program/cutter', ...inFile(c.file), message })],
      cuts: [],
      measures: [],
    };
  }
  const around = (site: Site): number => (targetOf(site)?.radius ?? 0) + 3;
  const { cuts, strays } = cutsBySite(c.simulation, sites, around);
  const findings = [...strayFindings(c, strays), ...missingFindings(c, expected, cuts)];
  const measures: { site: string; diameter: number; floor: number }[] = [];
  for (const cut of cuts) {
    findings.push(...checkIdentity(c, cut, expected));
    const target = targetOf(cut.site);
    if (!target) continue;
    findings.push(
      ...checkPlace(c, cut),
      ...checkTip(c, cut, target),
      ...checkWidth(c, cut, target),
      ...checkAllRound(c, cut, target),
    );
    measures.push({ site: cut.site.site, diameter: 2 * outerRadius(c, cut, target), floor: cut.floor });
  }
  return { findings, cuts, measures };
}

/** How far the tip goes from the axis of its site, mm. */
function tipRadius(c: Case, cut: SiteCut): number {
  return cut.widest / 2 - c.simulation.cutter.shape.radius;
}

/** Where the flank meets the board's top: a cone rises by `slope` a millimetre from its axis. */
function outerRadius(c: Case, cut: SiteCut, { top }: RimTarget): number {
  return tipRadius(c, cut) + (top - cut.floor) / c.simulation.cutter.shape.slope;
}

function checkTip(c: Case, cut: SiteCut, target: RimTarget): Diagnostic[] {
  const { units } = c.record.machine;
  const { site } = cut.site;
  const found: Diagnostic[] = [];
  const above = cut.floor - target.floor;
  if (above < CLEAR_OF_FLOOR) {
    found.push(
      finding(c, 'work/rim-tip', {
        line: cut.floorLine,
        word: 'Z',
        message: `the tip goes down to ${exactLength(cut.floor, units)} above the bed at site ${site}, the floor of its pocket is at ${exactLength(target.floor, units)}`,
        facts: { site, found: cut.floor, floor: target.floor },
      }),
    );
  }
  const inside = target.radius - tipRadius(c, cut);
  if (inside < CLEAR_OF_WALL) {
    found.push(
      finding(c, 'work/rim-tip', {
        line: cut.widestLine,
        message: `the tip runs ${exactLength(tipRadius(c, cut), units)} from the axis of site ${site}, the wall of its pocket stands at ${exactLength(target.radius, units)}`,
        facts: { site, found: tipRadius(c, cut), wall: target.radius },
      }),
    );
  }
  return found;
}

function checkWidth(c: Case, cut: SiteCut, target: RimTarget): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { slope } = c.simulation.cutter.shape;
  const found = outerRadius(c, cut, target) - target.radius;
  const rounding = roundingOf(controller);
  const tolerance = 2 * rounding + rounding / slope + TABLE_SLACK + PATH_SLACK + chordOf(c);
  if (Math.abs(found - target.width) <= tolerance) return [];
  const { site } = cut.site;
  return [
    finding(c, 'work/rim-width', {
      line: cut.widestLine,
      message: `the rim of site ${site} is broken ${exactLength(found, units)} wide, expected ${exactLength(target.width, units)}`,
      facts: { site, found, expected: target.width },
    }),
  ];
}

/** What the simulation left of the rim, cell by cell, against the flank of a cone that went all round. */
function checkAllRound(c: Case, cut: SiteCut, target: RimTarget): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { field, cutter } = c.simulation;
  const { slope } = cutter.shape;
  if (!field) return [];
  const { site, x, y } = cut.site;
  const outer = target.radius + target.width;
  const tolerance = EVEN + (chordOf(c) + 3 * roundingOf(controller)) * Math.max(slope, 1);
  let most = 0;
  const { cell } = field;
  const r0 = Math.floor((y - outer - field.y0) / cell);
  const r1 = Math.ceil((y + outer - field.y0) / cell);
  const c0 = Math.floor((x - outer - field.x0) / cell);
  const c1 = Math.ceil((x + outer - field.x0) / cell);
  for (let row = r0; row <= r1; row++) {
    const dy = field.y0 + (row + 0.5) * cell - y;
    for (let column = c0; column <= c1; column++) {
      const dx = field.x0 + (column + 0.5) * cell - x;
      const r = Math.sqrt(dx * dx + dy * dy);
      if (r < target.radius + EDGE || r > outer - EDGE) continue;
      const off = field.heightAt(column, row) / UNITS - (target.top - (outer - r) * slope);
      if (Math.abs(off) > Math.abs(most)) most = off;
    }
  }
  if (Math.abs(most) <= tolerance) return [];
  const where = most > 0 ? 'stands above' : 'is cut below';
  return [
    finding(c, 'work/rim-uneven', {
      line: cut.firstLine,
      message: `the rim of site ${site} is not broken alike all round: in one place the board ${where} the chamfer by ${exactLength(Math.abs(most), units)}`,
      facts: { site, found: most },
    }),
  ];
}
