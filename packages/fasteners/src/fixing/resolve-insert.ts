import { catalogue, provenanceOf } from '../catalogue/catalogue.ts';
import { parseSize, type WrittenSize } from '../catalogue/size.ts';
import { figure, mustFigure } from '../catalogue/table.ts';
import type { Dimension, Insert, Provenance, Thread } from '../model.ts';
import { largest, smallest } from '../stack/dimension.ts';
import type { FixingFindings } from './findings.ts';
import { materialOf } from './material.ts';
import { listedDimension, measuredDimension, UNMEASURED, usableMeasuring } from './measured.ts';
import type { InsertMaterial, InsertWritten } from './written.ts';

const MATERIALS: readonly InsertMaterial[] = ['brass', 'steel', 'stainless', 'zinc', 'pa66'];

/** Dimensions as far as they are known. */
interface Body {
  readonly outside?: Dimension;
  readonly length?: Dimension;
  /** Core below an outer thread. */
  readonly core?: Dimension;
  /** Hole that the standard asks for. */
  readonly bore?: Dimension;
  /** Full angle, degrees. */
  readonly taper: number;
}

type KnownBody = Body & { readonly outside: Dimension; readonly length: Dimension };

/**
 * Resolves the insert of a fixing: its thread must be the screw's; its dimensions come from the standard, from the
 * maker's list in their place, from a measurement in place of both. Undefined after a stop was found.
 *
 * @param id id of the fixing, which names a bush that is in no catalogue
 */
export function resolveInsert(
  id: string,
  written: InsertWritten,
  { thread, size }: { readonly thread: Thread; readonly size: WrittenSize },
  findings: FixingFindings,
): Insert | undefined {
  const already = findings.diagnostics.length;
  const stopped = (): boolean => findings.diagnostics.slice(already).some((d) => d.severity === 'stop');
  if (!sameThread(written, thread, size, findings)) return undefined;
  const published = publishedBody(written, thread, size, findings);
  if (published === undefined) return undefined;
  const body = measuredBody(written, statedBody(written, published, findings), findings);
  if (body === undefined || stopped()) return undefined;
  if (!isKnown(body, findings)) return undefined;
  if (!canExist(body, thread, findings)) return undefined;
  warnUnmeasured(body, findings);
  const strength = shearStrength(written, findings);
  if (strength === undefined) return undefined;
  return {
    id: written.kind === 'din7965' ? `din7965-${size.size}` : `${id}/insert`,
    thread,
    outside: body.outside,
    length: body.length,
    taper: body.taper,
    material: written.material ?? 'brass',
    shearStrength: strength.shear,
    through: written.through ?? false,
    strengthFrom: strength.from,
    ...(body.bore && { bore: body.bore }),
    ...(body.core && { core: body.core }),
  };
}

/** An insert that is named by its size only (`1/4`) agrees with every pitch that the catalogue has for it. */
function sameThread(
  written: InsertWritten,
  thread: Thread,
  size: WrittenSize,
  findings: FixingFindings,
): boolean {
  if (written.size === undefined) return true;
  const own = parseSize(written.size);
  if (own !== null && own.size === size.size && (own.thread === null || own.thread === size.thread))
    return true;
  findings.add({
    code: 'fixing/insert-thread',
    path: 'insert.size',
    message: `the insert's thread is ${written.size}, the screw's is ${thread.designation}; they must be the same`,
    facts: { insert: written.size, screw: thread.designation },
  });
  return false;
}

/** What the standard gives: all dimensions of a DIN 7965 insert, none of a bush. Undefined after a finding. */
function publishedBody(
  written: InsertWritten,
  thread: Thread,
  size: WrittenSize,
  findings: FixingFindings,
): Body | undefined {
  const taper = written.taper ?? 0;
  if (written.kind !== 'din7965') return { taper };
  const found = catalogue().row('din-7965', size.size);
  if (found === undefined) {
    const sizes = catalogue().table('din-7965').rows.map((r) => r.size); // biome-ignore format: one line
    findings.add({
      code: 'fixing/insert-size',
      path: 'insert.kind',
      message: `DIN 7965 has no insert for ${thread.designation}; it has ${sizes.join(', ')}`,
      facts: { thread: thread.designation },
    });
    return undefined;
  }
  const from = provenanceOf(found);
  const dimension = (key: string, uncertainty: number): Dimension => ({
    value: mustFigure(found.table, found.row, key),
    uncertainty,
    from,
  });
  return {
    outside: dimension('outside', UNMEASURED),
    length: dimension('length', UNMEASURED),
    core: dimension('core', UNMEASURED),
    bore: dimension('hole', 0),
    taper,
  };
}

/** The same with what the entry states from the maker's list. */
function statedBody(written: InsertWritten, body: Body, findings: FixingFindings): Body {
  const stated = (key: 'outside' | 'length'): Dimension | undefined => {
    const value = written[key];
    if (value === undefined) return body[key];
    if (Number.isFinite(value) && value > 0) return listedDimension(value, findings);
    findings.add({
      code: 'fixing/insert-dimension',
      path: `insert.${key}`,
      message: `the insert's ${key} is ${findings.length(value)}, expected a length above 0`,
      facts: { [key]: String(value) },
      help: `state the ${key}, or measure it`,
    });
    return body[key];
  };
  const [outside, length] = [stated('outside'), stated('length')];
  return { ...body, ...(outside && { outside }), ...(length && { length }) };
}

/** The same with what was measured. Undefined when the measurement cannot be used. */
function measuredBody(written: InsertWritten, body: Body, findings: FixingFindings): Body | undefined {
  const { measured } = written;
  if (measured === undefined) return body;
  if (!usableMeasuring(measured, 'insert.measured', findings)) return undefined;
  const dimension = (key: 'outside' | 'length'): Dimension | undefined => {
    const value = measured[key];
    if (value === undefined) return body[key];
    const what = `the insert's ${key}`;
    const path = `insert.measured.${key}`;
    return measuredDimension({ value, measuring: measured, published: body[key], what, path }, findings);
  };
  const [outside, length] = [dimension('outside'), dimension('length')];
  const { bore, ...rest } = body;
  return {
    ...rest,
    ...(outside && { outside }),
    ...(length && { length }),
    // The standard's hole belongs to the standard's outside, not to one that was measured.
    ...(bore && measured.outside === undefined && { bore }),
    taper: measured.taper ?? body.taper,
  };
}

/** Whether outside and length are known; a finding otherwise. */
function isKnown(body: Body, findings: FixingFindings): body is KnownBody {
  const missing = (['outside', 'length'] as const).filter((key) => body[key] === undefined);
  if (missing.length === 0) return true;
  findings.add({
    code: 'fixing/insert-dimensions',
    path: 'insert',
    message: `the insert's ${missing.join(' and ')} ${missing.length > 1 ? 'are' : 'is'} not known: no standard gives the dimensions of a bush`,
    facts: { missing: missing.join(' and ') },
  });
  return false;
}

/** Whether there is a wall round the thread everywhere; a finding otherwise. */
function canExist(body: KnownBody, thread: Thread, findings: FixingFindings): boolean {
  const { outside, length, taper } = body;
  if (!(taper >= 0 && taper < 60)) {
    findings.add({
      code: 'fixing/insert-taper',
      path: 'insert.taper',
      message: `the insert's taper is ${taper}°, expected a full angle from 0° to below 60°`,
      facts: { taper: String(taper) },
    });
    return false;
  }
  const inner = smallest(body.core ?? outside);
  if (inner <= thread.majorDiameter) {
    findings.add({
      code: 'fixing/insert-wall',
      path: 'insert.outside',
      message: `an insert ${findings.length(inner)} thick has no wall round a thread of ${findings.length(thread.majorDiameter)}`,
      facts: { outside: inner, thread: thread.majorDiameter },
    });
    return false;
  }
  const foot = smallest(outside) - 2 * largest(length) * Math.tan((taper * Math.PI) / 360);
  if (taper > 0 && foot <= thread.majorDiameter) {
    findings.add({
      code: 'fixing/insert-taper',
      path: 'insert.taper',
      message: `with a taper of ${taper}° the insert is ${findings.length(Math.max(0, foot))} at its foot, thinner than its thread of ${findings.length(thread.majorDiameter)}`,
      facts: { taper, foot, thread: thread.majorDiameter },
      help: 'taper is the full angle in degrees: measure both ends and the length',
    });
    return false;
  }
  return true;
}

function warnUnmeasured({ outside, length }: KnownBody, findings: FixingFindings): void {
  if (outside.from.grade === 'measured' && length.from.grade === 'measured') return;
  const { standard, grade } = outside.from;
  findings.add({
    code: 'fixing/insert-unmeasured',
    path: 'insert.measured',
    message: `the insert's dimensions come from ${standard} (grade ${grade}) and were not measured`,
    facts: { outside: outside.value, length: length.value, grade },
  });
}

/** Shear strength, N/mm²: the owner's own figure, else the material's. Undefined after a finding. */
function shearStrength(
  written: InsertWritten,
  findings: FixingFindings,
): { readonly shear: number; readonly from: Provenance } | undefined {
  const found = materialOf('insert', written.material ?? 'brass', MATERIALS, findings);
  if (found === undefined) return undefined;
  if (written.strength === undefined)
    return { shear: figure(found.table, found.row, 'shear') ?? 0, from: provenanceOf(found) };
  const { shear, source } = written.strength;
  if (!(Number.isFinite(shear) && shear > 0)) {
    findings.add({
      code: 'fixing/strength',
      path: 'insert.strength',
      message: `shear strength is ${shear}, expected a number above 0 in N/mm²`,
      facts: { shear: String(shear) },
      help: 'copy it from the data sheet of the insert',
    });
    return undefined;
  }
  return { shear, from: { standard: source, grade: 'B', note: 'stated by the owner' } };
}
