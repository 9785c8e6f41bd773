import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { ManifestProgram } from '@bedledger/fleet';
import { type Case, gridStep, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { RAPID } from '../trace.ts';
import type { HoleRow } from './hole-table.ts';
import { cutsBySite, measureRound, type SiteCut } from './site-cuts.ts';

/** Diameter from cells is good to this many cells, and flat floors to this many millimetres. */
const AREA_CELLS = 0.35;
const FLAT = 0.02;
/** Diameters of the path are exact to the text's rounding and the chords' sagitta. */
const PATH_SLACK = 0.004;

/** What an operation is to make at a site. */
export interface Target {
  readonly diameter: number;
  readonly floor: number;
  /** The floor must be flat and empty. */
  readonly flat: boolean;
  /** Height at which a through hole must be open at its full diameter, mm above the bed. */
  readonly openAt?: number;
}

export interface SiteReport {
  readonly findings: Diagnostic[];
  readonly cuts: readonly SiteCut[];
  readonly measures: readonly { site: string; diameter: number; floor: number }[];
}

/** Round cuts at sites: every one in place, of the right size and depth, once, and nothing elsewhere. */
export function checkSites(
  c: Case,
  entry: ManifestProgram,
  holes: readonly HoleRow[],
  targetOf: (hole: HoleRow) => Target | null,
): SiteReport {
  const { units } = c.record.machine;
  const { machine } = c.record;
  const found: Diagnostic[] = [];
  const rounding = roundingOf(machine.controller);
  // where arcs must become lines, their corners lie on the circle and its quarter points need not be among them
  const chords = machine.controller.arcs.form === 'none' ? machine.controller.arcs.chord : 0;
  const around = (hole: HoleRow): number => (targetOf(hole)?.diameter ?? 0) / 2 + 3;
  const { cuts, strays } = cutsBySite(c.simulation, holes, around);
  const measures: { site: string; diameter: number; floor: number }[] = [];

  for (const stray of strays.slice(0, 5)) {
    found.push(
      report({
        code: 'work/stray-cut',
        ...inFile(c.file, stray.line),
        message: `a cut at ${exactPlace([stray.x, stray.y], units)}, Z ${exactLength(stray.z, units)} belongs to no site; the nearest is ${stray.nearest}, ${exactLength(stray.distance, units)} away`,
        facts: { x: stray.x, y: stray.y, z: stray.z, nearest: stray.nearest, strays: strays.length },
      }),
    );
  }
  const bySite = new Map(cuts.map((cut) => [cut.hole.site, cut]));
  for (const site of entry.sites) {
    if (!bySite.has(site)) {
      found.push(
        report({
          code: 'work/missing-site',
          ...inFile(c.file),
          message: `site ${site} is in the manifest for this program and is not cut`,
          facts: { site },
        }),
      );
    }
  }
  for (const cut of cuts) {
    const { hole } = cut;
    if (!entry.sites.includes(hole.site)) {
      found.push(
        report({
          code: 'work/stray-cut',
          ...inFile(c.file, cut.firstLine),
          message: `site ${hole.site} is cut and is not among the program's sites`,
          facts: { site: hole.site },
        }),
      );
    }
    const label = labelAt(c, cut.firstLine);
    if (label !== null && !names(label, hole.site)) {
      found.push(
        report({
          code: 'work/label',
          ...inFile(c.file, cut.firstLine),
          message: `site ${hole.site} is cut under the comment of site ${label}`,
          facts: { site: hole.site, label },
        }),
      );
    }
    if (cut.arrivals > 1) {
      found.push(
        report({
          code: 'work/site-twice',
          ...inFile(c.file, cut.lastLine),
          message: `the tip goes down to the floor of site ${hole.site} ${cut.arrivals} times`,
          facts: { site: hole.site, times: cut.arrivals },
        }),
      );
    }
    const target = targetOf(hole);
    if (!target) continue;
    const off = Math.max(Math.abs(cut.middleX - hole.x), Math.abs(cut.middleY - hole.y));
    if (off > 2 * rounding + 0.0006 + chords) {
      found.push(
        report({
          code: 'work/site-place',
          ...inFile(c.file, cut.floorLine),
          message: `site ${hole.site} is cut about ${exactPlace([cut.middleX, cut.middleY], units)}; it lies at ${exactPlace([hole.x, hole.y], units)}`,
          facts: { site: hole.site, x: cut.middleX, y: cut.middleY, off },
        }),
      );
    }
    if (Math.abs(cut.floor - target.floor) > rounding + 0.0006) {
      found.push(
        report({
          code: 'work/floor',
          ...inFile(c.file, cut.floorLine, 'Z'),
          message: `site ${hole.site} ends at ${exactLength(cut.floor, units)} above the bed, expected ${exactLength(target.floor, units)}`,
          facts: { site: hole.site, found: cut.floor, expected: target.floor },
        }),
      );
    }
    const measure = target.flat
      ? measureRound(
          c.simulation,
          hole.x,
          hole.y,
          cut.floor,
          FLAT,
          target.diameter / 2 + 2,
          Math.max(0, target.diameter / 2 - (c.simulation.field?.cell ?? 0.1) * 1.5),
        )
      : null;
    const wide = cut.widest - target.diameter;
    const tolerance = 4 * rounding + PATH_SLACK + 2 * chords + (target.flat ? 0 : 0.06);
    if (Math.abs(wide) > tolerance) {
      found.push(
        report({
          code: 'work/diameter',
          ...inFile(c.file, cut.widestLine),
          message: `site ${hole.site} is cut ${exactLength(cut.widest, units)} wide, expected ${exactLength(target.diameter, units)}`,
          facts: { site: hole.site, found: cut.widest, expected: target.diameter },
        }),
      );
    } else if (
      measure &&
      Math.abs(measure.floorDiameter - target.diameter) > AREA_CELLS * measure.cell + 0.01
    ) {
      found.push(
        report({
          code: 'work/diameter',
          ...inFile(c.file, cut.floorLine),
          message: `the floor of site ${hole.site} has the area of a circle ${exactLength(measure.floorDiameter, units)} wide, expected ${exactLength(target.diameter, units)}`,
          facts: { site: hole.site, found: measure.floorDiameter, expected: target.diameter },
        }),
      );
    }
    if (target.openAt !== undefined) {
      const open = measureRound(
        c.simulation,
        hole.x,
        hole.y,
        target.openAt,
        FLAT,
        target.diameter / 2 + 2,
        0,
      );
      if (open && target.diameter - open.floorDiameter > AREA_CELLS * open.cell + 0.01 + 2 * chords) {
        found.push(
          report({
            code: 'work/diameter',
            ...inFile(c.file, cut.lastLine),
            message: `the hole of site ${hole.site} is open over the area of a circle ${exactLength(open.floorDiameter, units)} wide at the underside of the board, expected ${exactLength(target.diameter, units)}`,
            facts: { site: hole.site, found: open.floorDiameter, expected: target.diameter },
          }),
        );
      }
    }
    if (measure && measure.highestInside > cut.floor + FLAT) {
      found.push(
        report({
          code: 'work/post-left',
          ...inFile(c.file, cut.lastLine),
          message: `material stands ${exactLength(measure.highestInside - cut.floor, units)} above the floor inside site ${hole.site}`,
          facts: { site: hole.site, height: measure.highestInside - cut.floor },
        }),
      );
    }
    measures.push({ site: hole.site, diameter: measure?.floorDiameter ?? cut.widest, floor: cut.floor });
  }
  return { findings: found, cuts, measures };
}

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
          message: `site ${cut.hole.site} is marked ${exactLength(-cut.floor, units)} deep, others ${exactLength(-deepest, units)}`,
          facts: { site: cut.hole.site, found: -cut.floor, others: -deepest },
        }),
      );
    }
    const siteState = state.sites.get(cut.hole.site)?.state;
    if (siteState === 'set' || state.inserts.some((i) => i.site === cut.hole.site)) {
      found.push(
        report({
          code: 'interlock/bed-mark',
          ...inFile(c.file, cut.firstLine),
          message: `site ${cut.hole.site} has its insert and is marked again`,
          facts: { site: cut.hole.site },
        }),
      );
    }
  }
  return found;
}

/** Floors of the clearance holes against the ledger: through only where the bed is bored. */
export function checkBreakThrough(c: Case, cuts: readonly SiteCut[]): Diagnostic[] {
  const { units } = c.record.machine;
  const { state, machine } = c.record;
  const rounding = roundingOf(machine.controller);
  const found: Diagnostic[] = [];
  for (const cut of cuts) {
    if (cut.floor >= -rounding) continue;
    const site = state.sites.get(cut.hole.site);
    if (site?.state !== 'bored') {
      found.push(
        report({
          code: 'interlock/bored-only',
          ...inFile(c.file, cut.floorLine, 'Z'),
          message: `the hole of site ${cut.hole.site} ends ${exactLength(-cut.floor, units)} below the bed surface, and the ledger has no open bore there (state ${site?.state ?? 'none'})`,
          facts: { site: cut.hole.site, depth: -cut.floor },
        }),
      );
    } else if (site.depth !== undefined && -cut.floor > site.depth + rounding) {
      found.push(
        report({
          code: 'interlock/bored-only',
          ...inFile(c.file, cut.floorLine, 'Z'),
          message: `the hole of site ${cut.hole.site} ends ${exactLength(-cut.floor, units)} below the bed surface, the bore there is ${exactLength(site.depth, units)} deep`,
          facts: { site: cut.hole.site, depth: -cut.floor, bored: site.depth },
        }),
      );
    }
  }
  return found;
}

/** The heights that a stack asks of pocket and holes. */
export function pocketTarget(stack: Stack): Target {
  return { diameter: stack.pocketDiameter, floor: stack.web, flat: true };
}

/** Stops of a visiting program: where the machine stands at each, in order. */
export function stopsOf(c: Case): { x: number; y: number; line: number }[] {
  const m = c.simulation.motions;
  return c.trace.events
    .filter((e) => (e.kind === 'stop' || e.kind === 'optional-stop') && e.at > 0)
    .map((e) => ({ x: m.toX(e.at - 1), y: m.toY(e.at - 1), line: e.line }));
}

/** Every place once, each stop above one of them. */
export function checkVisits(
  c: Case,
  places: readonly { name: string; x: number; y: number }[],
  options: { complete: boolean },
): { findings: Diagnostic[]; visited: string[] } {
  const { units } = c.record.machine;
  const { machine } = c.record;
  const tolerance = 2 * gridStep(machine.controller);
  const found: Diagnostic[] = [];
  const visited = new Map<string, number>();
  for (const stop of stopsOf(c)) {
    const place = places.find(
      (p) => Math.abs(p.x - stop.x) <= tolerance && Math.abs(p.y - stop.y) <= tolerance,
    );
    if (!place) {
      found.push(
        report({
          code: 'work/visit',
          ...inFile(c.file, stop.line),
          message: `the program stops above ${exactPlace([stop.x, stop.y], units)}, where there is nothing to visit`,
          facts: { x: stop.x, y: stop.y },
        }),
      );
    } else {
      visited.set(place.name, (visited.get(place.name) ?? 0) + 1);
      const label = labelAt(c, stop.line);
      if (label !== null && !names(label, place.name)) {
        found.push(
          report({
            code: 'work/label',
            ...inFile(c.file, stop.line),
            message: `${place.name} is visited under the comment of ${label}`,
            facts: { place: place.name, label },
          }),
        );
      }
    }
  }
  for (const [name, times] of visited) {
    if (times > 1) {
      found.push(
        report({
          code: 'work/visit',
          ...inFile(c.file),
          message: `${name} is visited ${times} times`,
          facts: { place: name, times },
        }),
      );
    }
  }
  if (options.complete) {
    for (const place of places) {
      if (!visited.has(place.name)) {
        found.push(
          report({
            code: 'work/visit',
            ...inFile(c.file),
            message: `${place.name} at ${exactPlace([place.x, place.y], units)} is not visited`,
            facts: { place: place.name },
          }),
        );
      }
    }
  }
  // nothing but rapids belongs into a visit
  const m = c.simulation.motions;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] !== RAPID) {
      found.push(
        report({
          code: 'work/visit',
          ...inFile(c.file, c.trace.line[i]!),
          message: 'a visit consists of rapids at the clear height; this motion feeds',
        }),
      );
      break;
    }
  }
  return { findings: found, visited: [...visited.keys()] };
}

/** Name in the last comment `SITE …` or `FEATURE …` before a line, upper case; null when the program has none. */
function labelAt(c: Case, line: number): string | null {
  let label: string | null = null;
  for (const e of c.trace.events) {
    if (e.line > line) break;
    if (e.kind !== 'comment') continue;
    const match = /^(?:SITE|FEATURE) (.+)$/i.exec(e.text.trim());
    if (match) label = match[1]!.trim().toUpperCase();
  }
  return label;
}

/** Does a comment begin with that name? Comments are upper case and may leave signs out. */
function names(label: string, name: string): boolean {
  const plain = (text: string): string =>
    text
      .toUpperCase()
      .replace(/[^A-Z0-9]+/g, ' ')
      .trim();
  return `${plain(label)} `.startsWith(`${plain(name)} `);
}
