import { type Catalogue, catalogue, type Found } from '../catalogue/catalogue.ts';
import type { WrittenSize } from '../catalogue/size.ts';
import { figure, mustFigure } from '../catalogue/table.ts';
import type { Dimension, Provenance, Screw, Thread } from '../model.ts';
import { between } from '../stack/dimension.ts';
import { measuredDimension, usableMeasuring } from './measured.ts';
import { type FixingReport, mm } from './report.ts';
import type { ScrewWritten } from './written.ts';

/** 2/√3: across corners of a hexagon over across flats. */
const CORNERS = 1.1547005383792515;

/** Where a row of the catalogue comes from. */
export function provenanceOf(found: Found): Provenance {
  const { standard, table, grade, note } = found.row;
  return { standard, table, grade, note };
}

/** Published head of one form and size, mm. */
export interface PublishedHead {
  readonly found: Found;
  readonly diameter: Dimension;
  readonly bearing: Dimension;
  readonly height: Dimension;
  readonly countersunk: boolean;
  readonly angle: number | undefined;
  readonly drive: Screw['drive'];
}

/** Head of a form and size from the catalogue; undefined when the table has no such size. */
export function publishedHead(
  headId: string,
  size: string,
  book: Catalogue = catalogue(),
): PublishedHead | undefined {
  const found = book.heads.has(headId) ? book.row(headId, size) : undefined;
  if (found === undefined) return undefined;
  const { table, row } = found;
  const from = provenanceOf(found);
  const has = (key: string): boolean => table.columns.some((c) => c.key === key);
  const read = (key: string): number | undefined => (has(key) ? figure(table, row, key) : undefined);

  const heightMax = mustFigure(table, row, 'headHeightMax');
  const nominal = read('headHeight');
  const heightMin = read('headHeightMin') ?? (nominal === undefined ? heightMax : 2 * nominal - heightMax);
  const kind = table.drive ?? 'slot';
  let diameter: Dimension;
  let bearing: Dimension;
  let driveSize: number;
  if (has('acrossFlats')) {
    const flats = mustFigure(table, row, 'acrossFlats');
    const flatsMin = mustFigure(table, row, 'acrossFlatsMin');
    diameter = between(
      mustFigure(table, row, 'acrossCornersMin'),
      read('acrossCorners') ?? flats * CORNERS,
      from,
    );
    bearing = between(flatsMin, flats, from);
    driveSize = flats;
  } else {
    const max = read('headDiameterKnurledMax') ?? mustFigure(table, row, 'headDiameterMax');
    diameter = between(read('headDiameterMin') ?? max, max, from);
    bearing = diameter;
    driveSize = read('drive') ?? inchName(row.values.hexName) ?? max;
  }
  return {
    found,
    diameter,
    bearing,
    height: between(heightMin, heightMax, from),
    countersunk: table.countersunk === true,
    angle: read('headAngle'),
    drive: { kind, size: driveSize },
  };
}

/** `5/32` as millimetres. */
function inchName(name: unknown): number | undefined {
  const match = typeof name === 'string' ? /^(\d+)\/(\d+)$/.exec(name) : null;
  return match ? (Number(match[1]) / Number(match[2])) * 25.4 : undefined;
}

/** Resolves the screw of a fixing. Undefined after a stop was reported. */
export function resolveScrew(
  written: ScrewWritten,
  thread: Thread,
  size: WrittenSize,
  report: FixingReport,
): Screw | undefined {
  const book = catalogue();
  const headId = written.head;
  if (!book.heads.has(headId)) {
    report.add(
      'stop',
      'head-unknown',
      'screw.head',
      `head "${headId}" is not in the catalogue`,
      { head: headId, expected: [...book.heads.keys()].join(', ') },
      `use one of ${[...book.heads.keys()].join(', ')}`,
    );
    return undefined;
  }
  const head = publishedHead(headId, size.size, book);
  if (head === undefined) {
    const sizes = book
      .table(headId)
      .rows.map((r) => r.size)
      .join(', ');
    report.add(
      'stop',
      'head-size',
      'screw.head',
      `head ${headId} has no size ${size.size}; it has ${sizes}`,
      { head: headId, size: size.size, expected: sizes },
      'choose a head form that exists in this size and measuring system',
    );
    return undefined;
  }

  let diameter = head.diameter;
  let height = head.height;
  let bearing = head.bearing;
  const measured = written.measured;
  if (measured !== undefined) {
    if (!usableMeasuring(measured, 'screw.measured', report)) return undefined;
    if (measured.head_diameter !== undefined) {
      const d = measuredDimension(
        measured.head_diameter,
        measured,
        diameter,
        'head diameter',
        'screw.measured.head_diameter',
        report,
      );
      if (d === undefined) return undefined;
      diameter = d;
      // what was measured over the corners of a hexagon bears on its flats
      bearing =
        head.drive.kind === 'hex-outside'
          ? { ...d, value: d.value / CORNERS, uncertainty: d.uncertainty / CORNERS }
          : d;
    }
    if (measured.head_height !== undefined) {
      const h = measuredDimension(
        measured.head_height,
        measured,
        height,
        'head height',
        'screw.measured.head_height',
        report,
      );
      if (h === undefined) return undefined;
      height = h;
    }
  }

  const lengths = resolveLengths(written, headId, size, report);
  if (lengths === undefined) return undefined;

  const material = written.material ?? 'pa66';
  const row = book.row('materials', material);
  if (row === undefined) {
    report.add(
      'stop',
      'material',
      'screw.material',
      `screw material "${material}" is not in the catalogue`,
      { material },
      'use pa66, steel, stainless or brass',
    );
    return undefined;
  }
  let tensile = mustFigure(row.table, row.row, 'tensile');
  let shear = mustFigure(row.table, row.row, 'shear');
  let strengthFrom = provenanceOf(row);
  if (written.strength !== undefined) {
    ({ tensile, shear } = written.strength);
    strengthFrom = { standard: written.strength.source, grade: 'B', note: 'stated by the owner' };
    if (!(tensile > 0 && shear > 0 && Number.isFinite(tensile) && Number.isFinite(shear))) {
      report.add(
        'stop',
        'strength',
        'screw.strength',
        `strength is ${tensile} tensile and ${shear} shear, expected numbers above 0 in N/mm²`,
        { tensile: String(tensile), shear: String(shear) },
        'copy both from the screws’ data sheet',
      );
      return undefined;
    }
  }
  if (material !== 'pa66') {
    report.add(
      'note',
      'metal-screw',
      'screw.material',
      `the screw is of ${material}: a cutter that reaches its head meets metal`,
      { material },
      'prefer screws of nylon wherever a cutter passes over them',
    );
  }
  const published =
    material === 'pa66' && written.strength === undefined ? book.row('pa66-screws', size.size) : undefined;
  return {
    thread,
    head: headId,
    headDiameter: diameter,
    headHeight: height,
    bearing,
    countersunk: head.countersunk,
    ...(head.angle !== undefined && { headAngle: head.angle }),
    drive: head.drive,
    material,
    tensileStrength: tensile,
    shearStrength: shear,
    strengthFrom,
    lengths: lengths.lengths,
    lengthsFrom: lengths.from,
    ...(published !== undefined && {
      published: {
        breakingLoad: mustFigure(published.table, published.row, 'breakingLoad'),
        ...(figure(published.table, published.row, 'torque') !== undefined && {
          torque: mustFigure(published.table, published.row, 'torque'),
        }),
        from: provenanceOf(published),
      },
    }),
  };
}

function resolveLengths(
  written: ScrewWritten,
  headId: string,
  size: WrittenSize,
  report: FixingReport,
): { lengths: readonly number[]; from: Provenance } | undefined {
  const published = catalogue().lengths(headId, size.size);
  if (written.lengths === undefined) {
    if (published === undefined) {
      report.add(
        'stop',
        'lengths-unknown',
        'screw.lengths',
        `no lengths are published for ${headId} in ${size.size}`,
        { head: headId, size: size.size },
        'list the lengths you can buy under `screw: lengths:`',
      );
      return undefined;
    }
    return { lengths: published.lengths, from: provenanceOf(published.found) };
  }
  const bad = written.lengths.filter((l) => !(Number.isFinite(l) && l > 0 && l <= 500));
  if (written.lengths.length === 0 || bad.length > 0) {
    report.add(
      'stop',
      'lengths',
      'screw.lengths',
      bad.length > 0
        ? `screw length ${bad[0]} is not a length between 0 and 500 mm`
        : 'the list of screw lengths is empty',
      { lengths: written.lengths.join(', ') },
      'list the lengths in stock, or leave the key out for all published ones',
    );
    return undefined;
  }
  const lengths = [...new Set(written.lengths)].sort((a, b) => a - b);
  const odd =
    published === undefined
      ? []
      : lengths.filter((l) => !published.lengths.some((p) => Math.abs(p - l) < 0.05));
  if (odd.length > 0) {
    report.add(
      'note',
      'lengths-odd',
      'screw.lengths',
      `${odd.map(mm).join(', ')} ${odd.length === 1 ? 'is not a length' : 'are not lengths'} that ${headId} is published in`,
      { odd: odd.join(', ') },
    );
  }
  return { lengths, from: { standard: 'lengths in stock', grade: 'measured', note: 'listed by the owner' } };
}
