import { catalogue, provenanceOf } from '../catalogue/catalogue.ts';
import { type CatalogueRow, type CatalogueTable, mustFigure } from '../catalogue/table.ts';
import type { Dimension, Provenance, Screw, Washer } from '../model.ts';
import { between, largest, smallest } from '../stack/dimension.ts';
import type { FixingFindings } from './findings.ts';
import { UNMEASURED } from './measured.ts';
import type { FixingWritten, WasherName, WasherWritten } from './written.ts';

/** Tables of each washer that the catalogue has: nominal figures, limits of size, and the series in both. */
const TABLES: Readonly<
  Record<WasherName, { readonly main: string; readonly limits: string; readonly series?: string }>
> = {
  iso7089: { main: 'iso7089', limits: 'iso7089-limits' },
  'asme-b18.21.1-narrow': {
    main: 'asme-b18.21.1-type-a',
    limits: 'asme-b18.21.1-limits',
    series: 'narrow',
  },
  'asme-b18.21.1-wide': { main: 'asme-b18.21.1-type-a', limits: 'asme-b18.21.1-limits', series: 'wide' },
};

/** Washers of the catalogue by the name a fixing uses. */
export const WASHER_NAMES = Object.keys(TABLES) as readonly WasherName[];

/** A washer of the catalogue, with its limits of size; undefined when there is no such size. */
export function publishedWasher(name: WasherName, size: string): Washer | undefined {
  const { main, limits, series } = TABLES[name];
  const rowOf = (id: string): { table: CatalogueTable; row: CatalogueRow } | undefined => {
    const table = catalogue().table(id);
    const row = table.rows.find(
      (r) => r.size === size && (series === undefined || r.values.series === series),
    );
    return row && { table, row };
  };
  const [nominal, limit] = [rowOf(main), rowOf(limits)];
  if (nominal === undefined || limit === undefined) return undefined;
  const from = provenanceOf(series === undefined ? nominal : limit);
  /** A limit stands in one table or the other: ISO prints least insides with the nominal sizes, ASME basic sizes. */
  const read = (...keys: readonly string[]): number => {
    for (const { table, row } of [nominal, limit]) {
      const key = keys.find((k) => table.columns.some((c) => c.key === k));
      if (key !== undefined) return mustFigure(table, row, key);
    }
    throw new RangeError(`no table of ${name} has ${keys.join(' or ')}`);
  };
  return {
    inside: between(read('insideMin', 'inside'), read('insideMax'), from),
    outside: between(read('outsideMin'), read('outsideMax', 'outside'), from),
    thickness: between(read('thicknessMin'), read('thicknessMax'), from),
  };
}

/** Resolves the washer. `null` for none; undefined after a stop. `hole`: clearance hole of the screw, mm. */
export function resolveWasher(
  written: FixingWritten['washer'],
  { screw, size, hole }: { readonly screw: Screw; readonly size: string; readonly hole: number },
  findings: FixingFindings,
): Washer | null | undefined {
  if (written === undefined || written === 'none') return null;
  const washer = typeof written === 'string' ? named(written, size, findings) : own(written, findings);
  if (washer === undefined) return undefined;
  const already = findings.diagnostics.length;
  checkWasher(washer, { screw, hole }, findings);
  return findings.diagnostics.length > already ? undefined : washer;
}

/** Washer against screw, head and hole; every finding is a stop. */
function checkWasher(
  washer: Washer,
  { screw, hole }: { readonly screw: Screw; readonly hole: number },
  findings: FixingFindings,
): void {
  const text = (mm: number): string => findings.length(mm);
  const [inside, outside] = [largest(washer.inside), smallest(washer.outside)];
  const major = screw.thread.majorDiameter;
  if (smallest(washer.inside) < major) {
    findings.add({
      code: 'fixing/washer-inside',
      path: 'washer.inside',
      message: `the washer's hole can be ${text(smallest(washer.inside))}, the screw is ${text(major)}`,
      facts: { inside: smallest(washer.inside), screw: major },
    });
  }
  if (outside <= inside) {
    findings.add({
      code: 'fixing/washer-ring',
      path: 'washer',
      message: `the washer's outside of ${text(outside)} is not larger than its hole of ${text(inside)}`,
      facts: { outside, inside },
    });
  }
  if (screw.countersunk && washer.cup !== true) {
    findings.add({
      code: 'fixing/washer-countersunk',
      path: 'washer',
      message: `a flat washer cannot seat the cone of ${screw.head}`,
      facts: { head: screw.head },
    });
  }
  if (!screw.countersunk && washer.cup === true) {
    findings.add({
      code: 'fixing/washer-cup',
      path: 'washer.cup',
      message: `a cup washer takes a countersunk head, ${screw.head} is not one`,
      facts: { head: screw.head },
    });
  }
  const bearing = smallest(screw.bearing ?? screw.headDiameter);
  if (washer.cup !== true && bearing <= inside) {
    findings.add({
      code: 'fixing/washer-head',
      path: 'washer.inside',
      message: `the head bears on ${text(bearing)} and would pull through the washer's hole of ${text(inside)}`,
      facts: { head: bearing, inside },
    });
  }
  if (outside <= hole) {
    findings.add({
      code: 'fixing/washer-covers',
      path: 'washer.outside',
      message: `the washer's outside of ${text(outside)} does not cover the clearance hole of ${text(hole)}`,
      facts: { outside, hole },
    });
  }
}

/** A washer of the catalogue. Undefined after a stop. */
function named(name: string, size: string, findings: FixingFindings): Washer | undefined {
  const expected = WASHER_NAMES.join(', ');
  const known = WASHER_NAMES.find((n) => n === name);
  if (known === undefined) {
    findings.add({
      code: 'fixing/washer-unknown',
      path: 'washer',
      message: `washer "${name}" is not in the catalogue`,
      facts: { washer: name, size, expected },
      help: `use one of ${expected}, none, or its three dimensions`,
    });
    return undefined;
  }
  const washer = publishedWasher(known, size);
  if (washer === undefined) {
    findings.add({
      code: 'fixing/washer-size',
      path: 'washer',
      message: `washer ${name} has no size ${size}`,
      facts: { washer: name, size, expected },
    });
    return undefined;
  }
  const { standard, grade } = washer.inside.from;
  if (grade === 'C') {
    findings.add({
      code: 'fixing/washer-grade',
      path: 'washer',
      message: `the washer's limits come from memory (${standard}, grade C)`,
      facts: { standard, grade },
    });
  }
  return washer;
}

/** A washer by its three dimensions. Undefined after a stop. */
function own(written: WasherWritten, findings: FixingFindings): Washer | undefined {
  const uncertainty = written.uncertainty ?? UNMEASURED;
  if (!Number.isFinite(uncertainty) || uncertainty < 0) {
    findings.add({
      code: 'fixing/uncertainty',
      path: 'washer.uncertainty',
      message: `the washer's uncertainty is ${findings.length(uncertainty)}, expected a length of 0 or more`,
      facts: { uncertainty: String(uncertainty) },
    });
    return undefined;
  }
  const plusMinus = `± ${findings.length(uncertainty)}`;
  const from: Provenance = {
    standard: `measured by ${written.by ?? 'caliper'}`,
    grade: 'measured',
    note: written.uncertainty === undefined ? `no uncertainty stated: ${plusMinus} assumed` : plusMinus,
  };
  const dimension = (key: 'inside' | 'outside' | 'thickness'): Dimension | undefined => {
    const value = written[key];
    if (Number.isFinite(value) && value > uncertainty) return { value, uncertainty, from };
    findings.add({
      code: 'fixing/washer-dimension',
      path: `washer.${key}`,
      message: `the washer's ${key} is ${findings.length(value)}, expected a length above its uncertainty of ${findings.length(uncertainty)}`,
      facts: { [key]: String(value) },
      help: `measure the ${key} again`,
    });
    return undefined;
  };
  const [inside, outside, thickness] = [dimension('inside'), dimension('outside'), dimension('thickness')];
  if (inside === undefined || outside === undefined || thickness === undefined) return undefined;
  return { inside, outside, thickness, ...(written.cup === true && { cup: true }) };
}
