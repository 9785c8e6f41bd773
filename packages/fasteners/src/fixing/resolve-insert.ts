import { catalogue } from '../catalogue/catalogue.ts';
import { parseSize, type WrittenSize } from '../catalogue/size.ts';
import { figure, mustFigure } from '../catalogue/table.ts';
import type { Dimension, Insert, Thread } from '../model.ts';
import { largest, smallest } from '../stack/dimension.ts';
import { measuredDimension, usableMeasuring } from './measured.ts';
import { type FixingReport, mm } from './report.ts';
import { provenanceOf } from './resolve-screw.ts';
import type { InsertWritten } from './written.ts';

/** What a dimension from a maker's list may be off by when nobody measured it, mm [common practice, no source]. */
const UNMEASURED = 0.1;

/** Resolves the insert of a fixing. Undefined after a stop was reported. */
export function resolveInsert(
  id: string,
  written: InsertWritten,
  thread: Thread,
  size: WrittenSize,
  report: FixingReport,
): Insert | undefined {
  const book = catalogue();
  if (written.size !== undefined) {
    const own = parseSize(written.size);
    // an insert named by size only (`1/4`) agrees with every pitch the catalogue has for it
    const agrees =
      own !== null && own.size === size.size && (own.thread === null || own.thread === size.thread);
    if (!agrees) {
      report.add(
        'stop',
        'insert-thread',
        'insert.size',
        `the insert's thread is ${written.size}, the screw's is ${thread.designation}; they must be the same`,
        { insert: written.size, screw: thread.designation },
        'change the insert or the screw',
      );
      return undefined;
    }
  }

  let outside: Dimension | undefined;
  let length: Dimension | undefined;
  let bore: Dimension | undefined;
  let core: Dimension | undefined;
  const kind = written.kind ?? 'bush';
  if (kind === 'din7965') {
    const found = book.row('din-7965', size.size);
    if (found === undefined) {
      report.add(
        'stop',
        'insert-size',
        'insert.kind',
        `DIN 7965 has no insert for ${thread.designation}; it has ${book
          .table('din-7965')
          .rows.map((r) => r.size)
          .join(', ')}`,
        { thread: thread.designation },
        'use `kind: bush` with your own measurements',
      );
      return undefined;
    }
    const from = provenanceOf(found);
    const dimension = (key: string): Dimension => ({
      value: mustFigure(found.table, found.row, key),
      uncertainty: UNMEASURED,
      from,
    });
    outside = dimension('outside');
    length = dimension('length');
    core = dimension('core');
    bore = { ...dimension('hole'), uncertainty: 0 };
  }

  const nominal = (value: number | undefined, key: 'outside' | 'length'): Dimension | undefined => {
    if (value === undefined) return undefined;
    if (!Number.isFinite(value) || value <= 0) {
      report.add(
        'stop',
        'insert-dimension',
        `insert.${key}`,
        `the insert's ${key} is ${value}, expected a length above 0`,
        { [key]: String(value) },
        `state the ${key}, or measure it`,
      );
      return undefined;
    }
    return {
      value,
      uncertainty: UNMEASURED,
      from: { standard: "the maker's list", grade: 'B', note: `not measured: ± ${mm(UNMEASURED)} assumed` },
    };
  };
  outside = nominal(written.outside, 'outside') ?? outside;
  length = nominal(written.length, 'length') ?? length;

  let taper = written.taper ?? 0;
  const measured = written.measured;
  if (measured !== undefined) {
    if (!usableMeasuring(measured, 'insert.measured', report)) return undefined;
    if (measured.outside !== undefined) {
      const d = measuredDimension(
        measured.outside,
        measured,
        outside,
        "the insert's outside",
        'insert.measured.outside',
        report,
      );
      // own measurement of a screw-in insert: the wood hole of the list no longer belongs to it by itself
      if (d !== undefined) outside = d;
    }
    if (measured.length !== undefined) {
      const d = measuredDimension(
        measured.length,
        measured,
        length,
        "the insert's length",
        'insert.measured.length',
        report,
      );
      if (d !== undefined) length = d;
    }
    if (measured.taper !== undefined) taper = measured.taper;
  }
  if (report.stopped) return undefined;

  if (outside === undefined || length === undefined) {
    const missing = [outside === undefined && 'outside', length === undefined && 'length']
      .filter(Boolean)
      .join(' and ');
    report.add(
      'stop',
      'insert-dimensions',
      'insert',
      `the insert's ${missing} ${missing.includes(' ') ? 'are' : 'is'} not known: no standard gives the dimensions of a bush`,
      { missing },
      'measure one: `measured: { outside: 9.52, length: 13.0, by: caliper, uncertainty: 0.02 }`',
    );
    return undefined;
  }
  if (!(taper >= 0 && taper < 60)) {
    report.add(
      'stop',
      'insert-taper',
      'insert.taper',
      `the insert's taper is ${taper}°, expected a full angle from 0° to below 60°`,
      { taper: String(taper) },
      'state the full angle between opposite sides; 0 for a parallel body',
    );
    return undefined;
  }
  const inner = smallest(core ?? outside);
  if (inner <= thread.majorDiameter) {
    report.add(
      'stop',
      'insert-wall',
      'insert.outside',
      `an insert ${mm(inner)} thick has no wall round a thread of ${mm(thread.majorDiameter)}`,
      { outside: inner, thread: thread.majorDiameter },
      'look whether unit and part are right',
    );
    return undefined;
  }
  const foot = smallest(outside) - 2 * largest(length) * Math.tan((taper * Math.PI) / 360);
  if (taper > 0 && foot <= thread.majorDiameter) {
    report.add(
      'stop',
      'insert-taper',
      'insert.taper',
      `with a taper of ${taper}° the insert is ${mm(Math.max(0, foot))} at its foot, thinner than its thread of ${mm(thread.majorDiameter)}`,
      { taper, foot, thread: thread.majorDiameter },
      'taper is the full angle in degrees: measure both ends and the length',
    );
    return undefined;
  }
  if (outside.from.grade !== 'measured' || length.from.grade !== 'measured') {
    report.add(
      'warn',
      'insert-unmeasured',
      'insert.measured',
      `the insert's dimensions come from ${outside.from.standard} (grade ${outside.from.grade}) and were not measured`,
      { outside: outside.value, length: length.value, grade: outside.from.grade },
      'measure three of them before a bed is drilled; a hole in a bed is permanent',
    );
  }

  const material = written.material ?? 'brass';
  const row = book.row('materials', material);
  if (row === undefined) {
    report.add(
      'stop',
      'material',
      'insert.material',
      `insert material "${material}" is not in the catalogue`,
      { material },
      'use brass, steel, stainless, zinc or pa66',
    );
    return undefined;
  }
  let shear = figure(row.table, row.row, 'shear') ?? 0;
  let strengthFrom = provenanceOf(row);
  if (written.strength !== undefined) {
    shear = written.strength.shear;
    strengthFrom = { standard: written.strength.source, grade: 'B', note: 'stated by the owner' };
    if (!(Number.isFinite(shear) && shear > 0)) {
      report.add(
        'stop',
        'strength',
        'insert.strength',
        `shear strength is ${shear}, expected a number above 0 in N/mm²`,
        { shear: String(shear) },
        'copy it from the data sheet of the insert',
      );
      return undefined;
    }
  }
  return {
    id: kind === 'din7965' ? `din7965-${size.size}` : `${id}/insert`,
    thread,
    outside,
    length,
    taper,
    material,
    shearStrength: shear,
    through: written.through ?? false,
    strengthFrom,
    ...(bore && measured?.outside === undefined && { bore }),
    ...(core && { core }),
  };
}
