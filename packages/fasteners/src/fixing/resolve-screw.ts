import { MM_PER_INCH } from '@bedledger/diagnostics';
import { type Catalogue, catalogue, type Found, provenanceOf } from '../catalogue/catalogue.ts';
import type { WrittenSize } from '../catalogue/size.ts';
import { figure, mustFigure } from '../catalogue/table.ts';
import type { Dimension, Provenance, Screw, Thread } from '../model.ts';
import { between } from '../stack/dimension.ts';
import type { FixingFindings } from './findings.ts';
import { materialOf } from './material.ts';
import { measuredDimension, usableMeasuring } from './measured.ts';
import type { ScrewMaterial, ScrewWritten } from './written.ts';

const MATERIALS: readonly ScrewMaterial[] = ['pa66', 'steel', 'stainless', 'brass'];

/** 2/√3: across corners of a hexagon over across flats. */
export const CORNERS = 1.1547005383792515;

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
  return match ? (Number(match[1]) / Number(match[2])) * MM_PER_INCH : undefined;
}

/** Resolves the screw of a fixing: head, lengths and strength, own figures in place of published ones. Undefined after a stop. */
export function resolveScrew(
  written: ScrewWritten,
  { thread, size }: { readonly thread: Thread; readonly size: WrittenSize },
  findings: FixingFindings,
): Screw | undefined {
  const published = headOf(written, size, findings);
  if (published === undefined) return undefined;
  const head = measuredHead(written, published, findings);
  if (head === undefined) return undefined;
  const lengths = resolveLengths(written, size, findings);
  if (lengths === undefined) return undefined;
  const strength = screwStrength(written, findings);
  if (strength === undefined) return undefined;
  const material = written.material ?? 'pa66';
  if (material !== 'pa66') {
    findings.add({
      code: 'fixing/metal-screw',
      path: 'screw.material',
      message: `the screw is of ${material}: a cutter that reaches its head meets metal`,
      facts: { material },
    });
  }
  const load = written.strength === undefined ? publishedLoad(material, size) : undefined;
  return {
    thread,
    head: written.head,
    headDiameter: head.diameter,
    headHeight: head.height,
    bearing: head.bearing,
    countersunk: head.countersunk,
    ...(head.angle !== undefined && { headAngle: head.angle }),
    drive: head.drive,
    material,
    tensileStrength: strength.tensile,
    shearStrength: strength.shear,
    strengthFrom: strength.from,
    lengths: lengths.lengths,
    lengthsFrom: lengths.from,
    ...(load !== undefined && { published: load }),
  };
}

/** The published head that the entry names. Undefined after a finding. */
function headOf(
  written: ScrewWritten,
  size: WrittenSize,
  findings: FixingFindings,
): PublishedHead | undefined {
  const book = catalogue();
  const path = 'screw.head';
  if (!book.heads.has(written.head)) {
    const expected = [...book.heads.keys()].join(', ');
    findings.add({
      code: 'fixing/head-unknown',
      path,
      message: `head "${written.head}" is not in the catalogue`,
      facts: { head: written.head, expected },
      help: `use one of ${expected}`,
    });
    return undefined;
  }
  const head = publishedHead(written.head, size.size, book);
  if (head === undefined) {
    const expected = book.table(written.head).rows.map((r) => r.size).join(', '); // biome-ignore format: one line
    findings.add({
      code: 'fixing/head-size',
      path,
      message: `head ${written.head} has no size ${size.size}; it has ${expected}`,
      facts: { head: written.head, size: size.size, expected },
    });
  }
  return head;
}

/** The head with what was measured of it. Undefined when the measurement cannot be used. */
function measuredHead(
  written: ScrewWritten,
  head: PublishedHead,
  findings: FixingFindings,
): PublishedHead | undefined {
  const { measured } = written;
  if (measured === undefined) return head;
  if (!usableMeasuring(measured, 'screw.measured', findings)) return undefined;
  const dimension = (key: 'head_diameter' | 'head_height', published: Dimension): Dimension | undefined => {
    const value = measured[key];
    if (value === undefined) return published;
    const what = key.replace('_', ' ');
    return measuredDimension(
      { value, measuring: measured, published, what, path: `screw.measured.${key}` },
      findings,
    );
  };
  const diameter = dimension('head_diameter', head.diameter);
  const height = diameter && dimension('head_height', head.height);
  if (diameter === undefined || height === undefined) return undefined;
  if (diameter === head.diameter) return { ...head, height };
  // What was measured over the corners of a hexagon bears on its flats.
  const bearing =
    head.drive.kind === 'hex-outside'
      ? { ...diameter, value: diameter.value / CORNERS, uncertainty: diameter.uncertainty / CORNERS }
      : diameter;
  return { ...head, diameter, height, bearing };
}

/** Strength, N/mm²: the owner's own figures, else the material's. Undefined after a finding. */
function screwStrength(
  written: ScrewWritten,
  findings: FixingFindings,
): { readonly tensile: number; readonly shear: number; readonly from: Provenance } | undefined {
  const found = materialOf('screw', written.material ?? 'pa66', MATERIALS, findings);
  if (found === undefined) return undefined;
  if (written.strength === undefined) {
    const read = (key: string): number => mustFigure(found.table, found.row, key);
    return { tensile: read('tensile'), shear: read('shear'), from: provenanceOf(found) };
  }
  const { tensile, shear, source } = written.strength;
  if (!(tensile > 0 && shear > 0 && Number.isFinite(tensile) && Number.isFinite(shear))) {
    findings.add({
      code: 'fixing/strength',
      path: 'screw.strength',
      message: `strength is ${tensile} tensile and ${shear} shear, expected numbers above 0 in N/mm²`,
      facts: { tensile: String(tensile), shear: String(shear) },
      help: 'copy both from the screws’ data sheet',
    });
    return undefined;
  }
  return { tensile, shear, from: { standard: source, grade: 'B', note: 'stated by the owner' } };
}

/** Breaking load and torque that are published for nylon screws of a size. */
function publishedLoad(material: ScrewMaterial, size: WrittenSize): Screw['published'] {
  const found = material === 'pa66' ? catalogue().row('pa66-screws', size.size) : undefined;
  if (found === undefined) return undefined;
  const torque = figure(found.table, found.row, 'torque');
  return {
    breakingLoad: mustFigure(found.table, found.row, 'breakingLoad'),
    ...(torque !== undefined && { torque }),
    from: provenanceOf(found),
  };
}

/** Longest screw that an entry may list, mm. */
const LONGEST = 500;

/** Lengths to choose from: those in stock, else the published ones. Undefined after a stop. */
function resolveLengths(
  written: ScrewWritten,
  size: WrittenSize,
  findings: FixingFindings,
): { readonly lengths: readonly number[]; readonly from: Provenance } | undefined {
  const path = 'screw.lengths';
  const published = catalogue().lengths(written.head, size.size);
  if (written.lengths === undefined) {
    if (published !== undefined) return { lengths: published.lengths, from: provenanceOf(published.found) };
    findings.add({
      code: 'fixing/lengths-unknown',
      path,
      message: `no lengths are published for ${written.head} in ${size.size}`,
      facts: { head: written.head, size: size.size },
    });
    return undefined;
  }
  const bad = written.lengths.filter((l) => !(Number.isFinite(l) && l > 0 && l <= LONGEST));
  if (written.lengths.length === 0 || bad.length > 0) {
    findings.add({
      code: 'fixing/lengths',
      path,
      message:
        bad.length > 0
          ? `a screw length is ${findings.length(bad[0]!)}, expected more than 0 and at most ${findings.length(LONGEST)}`
          : 'the list of screw lengths is empty',
      facts: { lengths: written.lengths.join(', ') },
    });
    return undefined;
  }
  const lengths = [...new Set(written.lengths)].sort((a, b) => a - b);
  const odd = lengths.filter(
    (l) => published !== undefined && !published.lengths.some((p) => Math.abs(p - l) < 0.05),
  );
  if (odd.length > 0) {
    findings.add({
      code: 'fixing/lengths-odd',
      path,
      message: `${odd.map((l) => findings.length(l)).join(', ')} ${odd.length === 1 ? 'is not a length' : 'are not lengths'} that ${written.head} is published in`,
      facts: { odd: odd.join(', ') },
    });
  }
  return { lengths, from: { standard: 'lengths in stock', grade: 'measured', note: 'listed by the owner' } };
}
