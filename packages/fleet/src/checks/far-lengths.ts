import { wayText, writtenLength } from '@bedledger/diagnostics';
import type { Path } from '../model/path.ts';
import { type Findings, type Locator, report } from '../report.ts';
import { type AnySchema, schemaBelow, schemasAt } from '../source/schema-walk.ts';
import { type MachineWritten, machineSchema } from '../written/machine.ts';
import { quantityField, toInternal, type WrittenQuantity } from '../written/quantity.ts';

/** No router, and nothing on one, is larger than this, mm. Geometry is exact up to five times as much. */
export const LARGEST = 20_000;

/** Parts of a profile that say where something is on the machine, and how large. */
const PLACES = ['bed', 'datum', 'board', 'fixing', 'park', 'home', 'clamps'] as const;

/**
 * Lengths on the machine that are longer than any machine: a point or a length too much, or another unit. Nothing can be
 * laid out with them.
 */
export function* farLengths(written: MachineWritten, at: Locator): Findings {
  for (const part of PLACES) {
    const schema = schemaBelow(machineSchema, part);
    for (const { path, mm } of schema ? lengths(schema, written[part], [part], written.units) : []) {
      if (Math.abs(mm) <= LARGEST) continue;
      yield report({
        code: 'profile/not-plausible',
        ...at(path),
        message: `${writtenLength(mm, written.units)} is farther than any router reaches, ${wayText(LARGEST, written.units)}`,
      });
    }
  }
}

/** Every length of a written value, with its path. */
function* lengths(
  schema: AnySchema,
  value: unknown,
  path: Path,
  units: MachineWritten['units'],
): Iterable<{ path: Path; mm: number }> {
  if (value === undefined) return;
  for (const own of schemasAt(schema, [], value)) {
    if (quantityField(own)?.dimension === 'length') {
      yield { path, mm: toInternal(value as WrittenQuantity, 'length', units) };
    } else if (typeof value === 'object' && value !== null) {
      for (const [key, inner] of Object.entries(value)) {
        const step = Array.isArray(value) ? Number(key) : key;
        const next = schemaBelow(own, step);
        if (next) yield* lengths(next, inner, [...path, step], units);
      }
    }
  }
}
