import { catalogue } from '../catalogue/catalogue.ts';
import type { WrittenSize } from '../catalogue/size.ts';
import { mustFigure } from '../catalogue/table.ts';
import type { Dimension, Provenance, Screw, Washer } from '../model.ts';
import { between, largest, smallest } from '../stack/dimension.ts';
import { type FixingReport, mm } from './report.ts';
import { provenanceOf } from './resolve-screw.ts';
import type { FixingWritten, WasherWritten } from './written.ts';

/** What an own washer's dimensions may be off by when no uncertainty is stated, mm [common practice, no source]. */
const UNSTATED = 0.1;

/** Washers of the catalogue by the name a fixing uses. */
export const WASHER_NAMES = ['iso7089', 'asme-b18.21.1-narrow', 'asme-b18.21.1-wide'] as const;

/** A washer of the catalogue, with its limits of size; undefined when the table has no such size. */
export function publishedWasher(name: string, size: string): Washer | undefined {
  const book = catalogue();
  if (name === 'iso7089') {
    const main = book.row('iso7089', size);
    const limits = book.row('iso7089-limits', size);
    if (main === undefined || limits === undefined) return undefined;
    const from = provenanceOf(main);
    return {
      inside: between(
        mustFigure(main.table, main.row, 'insideMin'),
        mustFigure(limits.table, limits.row, 'insideMax'),
        from,
      ),
      outside: between(
        mustFigure(limits.table, limits.row, 'outsideMin'),
        mustFigure(main.table, main.row, 'outsideMax'),
        from,
      ),
      thickness: between(
        mustFigure(main.table, main.row, 'thicknessMin'),
        mustFigure(main.table, main.row, 'thicknessMax'),
        from,
      ),
    };
  }
  const series =
    name === 'asme-b18.21.1-narrow' ? 'narrow' : name === 'asme-b18.21.1-wide' ? 'wide' : undefined;
  if (series === undefined) return undefined;
  const main = book
    .table('asme-b18.21.1-type-a')
    .rows.find((r) => r.size === size && r.values.series === series);
  const limits = book
    .table('asme-b18.21.1-limits')
    .rows.find((r) => r.size === size && r.values.series === series);
  if (main === undefined || limits === undefined) return undefined;
  const [mainTable, limitsTable] = [book.table('asme-b18.21.1-type-a'), book.table('asme-b18.21.1-limits')];
  const from = provenanceOf({ table: limitsTable, row: limits });
  return {
    inside: between(
      mustFigure(mainTable, main, 'inside'),
      mustFigure(limitsTable, limits, 'insideMax'),
      from,
    ),
    outside: between(
      mustFigure(limitsTable, limits, 'outsideMin'),
      mustFigure(mainTable, main, 'outside'),
      from,
    ),
    thickness: between(
      mustFigure(limitsTable, limits, 'thicknessMin'),
      mustFigure(limitsTable, limits, 'thicknessMax'),
      from,
    ),
  };
}

/** Resolves the washer. `null` for none; undefined after a stop was reported. */
export function resolveWasher(
  written: FixingWritten['washer'],
  screw: Screw,
  size: WrittenSize,
  hole: number,
  report: FixingReport,
): Washer | null | undefined {
  if (written === undefined || written === 'none') return null;
  const washer = typeof written === 'string' ? named(written, size, report) : own(written, report);
  if (washer === undefined) return undefined;

  const major = screw.thread.majorDiameter;
  if (smallest(washer.inside) < major) {
    report.add(
      'stop',
      'washer-inside',
      'washer.inside',
      `the washer's hole can be ${mm(smallest(washer.inside))}, the screw is ${mm(major)}`,
      { inside: smallest(washer.inside), screw: major },
      'use a washer of the screw’s size',
    );
  }
  if (smallest(washer.outside) <= largest(washer.inside)) {
    report.add(
      'stop',
      'washer-ring',
      'washer',
      `the washer's outside of ${mm(smallest(washer.outside))} is not larger than its hole of ${mm(largest(washer.inside))}`,
      { outside: smallest(washer.outside), inside: largest(washer.inside) },
      'look whether inside and outside are swapped',
    );
  }
  if (screw.countersunk && washer.cup !== true) {
    report.add(
      'stop',
      'washer-countersunk',
      'washer',
      `a flat washer cannot seat the cone of ${screw.head}`,
      { head: screw.head },
      'use a cup washer (`cup: true`, with its dimensions measured), no washer, or a flat-bearing head',
    );
  }
  if (!screw.countersunk && washer.cup === true) {
    report.add(
      'stop',
      'washer-cup',
      'washer.cup',
      `a cup washer takes a countersunk head, ${screw.head} is not one`,
      { head: screw.head },
      'use a flat washer, or a countersunk head',
    );
  }
  const bearing = screw.bearing ?? screw.headDiameter;
  if (washer.cup !== true && smallest(bearing) <= largest(washer.inside)) {
    report.add(
      'stop',
      'washer-head',
      'washer.inside',
      `the head bears on ${mm(smallest(bearing))} and would pull through the washer's hole of ${mm(largest(washer.inside))}`,
      { head: smallest(bearing), inside: largest(washer.inside) },
      'use a washer with a smaller hole',
    );
  }
  if (smallest(washer.outside) <= hole) {
    report.add(
      'stop',
      'washer-covers',
      'washer.outside',
      `the washer's outside of ${mm(smallest(washer.outside))} does not cover the clearance hole of ${mm(hole)}`,
      { outside: smallest(washer.outside), hole },
      'use a larger washer',
    );
  }
  return report.stopped ? undefined : washer;
}

function named(name: string, size: WrittenSize, report: FixingReport): Washer | undefined {
  const washer = publishedWasher(name, size.size);
  if (washer === undefined) {
    const known = (WASHER_NAMES as readonly string[]).includes(name);
    report.add(
      'stop',
      known ? 'washer-size' : 'washer-unknown',
      'washer',
      known ? `washer ${name} has no size ${size.size}` : `washer "${name}" is not in the catalogue`,
      { washer: name, size: size.size, expected: WASHER_NAMES.join(', ') },
      known
        ? 'measure yours and write its three dimensions'
        : `use one of ${WASHER_NAMES.join(', ')}, none, or its three dimensions`,
    );
    return undefined;
  }
  if (washer.inside.from.grade === 'C') {
    report.add(
      'warn',
      'washer-grade',
      'washer',
      `the washer's limits come from memory (${washer.inside.from.standard}, grade C)`,
      { standard: washer.inside.from.standard, grade: 'C' },
      'measure yours and write its three dimensions',
    );
  }
  return washer;
}

function own(written: WasherWritten, report: FixingReport): Washer | undefined {
  const uncertainty = written.uncertainty ?? UNSTATED;
  if (!Number.isFinite(uncertainty) || uncertainty < 0) {
    report.add(
      'stop',
      'uncertainty',
      'washer.uncertainty',
      `the washer's uncertainty is ${uncertainty}, expected a length of 0 or more`,
      { uncertainty: String(uncertainty) },
      'state how far off the caliper can be',
    );
    return undefined;
  }
  const from: Provenance = {
    standard: `measured by ${written.by ?? 'caliper'}`,
    grade: 'measured',
    note:
      written.uncertainty === undefined
        ? `no uncertainty stated: ± ${mm(UNSTATED)} assumed`
        : `± ${mm(uncertainty)}`,
  };
  const dimension = (key: 'inside' | 'outside' | 'thickness'): Dimension | undefined => {
    const value = written[key];
    if (Number.isFinite(value) && value > uncertainty) return { value, uncertainty, from };
    report.add(
      'stop',
      'washer-dimension',
      `washer.${key}`,
      `the washer's ${key} is ${value}, expected a length above its uncertainty of ${mm(uncertainty)}`,
      { [key]: String(value) },
      `measure the ${key} again`,
    );
    return undefined;
  };
  const [inside, outside, thickness] = [dimension('inside'), dimension('outside'), dimension('thickness')];
  if (inside === undefined || outside === undefined || thickness === undefined) return undefined;
  return { inside, outside, thickness, ...(written.cup === true && { cup: true }) };
}
