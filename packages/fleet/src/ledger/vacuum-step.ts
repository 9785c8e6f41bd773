import { pressureText } from '@bedledger/diagnostics';
import type { FactOf } from '../model/ledger.ts';
import { type Findings, type Locator, report } from '../report.ts';
import type { Fold } from './fold-state.ts';

/** Standard atmosphere at sea level, Pa (ISO 2533). */
const ATMOSPHERE = 101_325;

/** A gauge reading changes nothing on the bed; it can only be wrong. */
export function* vacuumRead(fold: Fold, fact: FactOf<'vacuum'>, at: Locator): Findings {
  const { zones, units } = fold;
  const { zone, covered, uncovered } = fact;
  if (zone !== undefined && zones && !zones.has(zone)) {
    yield report({
      code: 'ledger/unknown-zone',
      ...at(['zone']),
      message: `the bed has no zone \`${zone}\``,
      help: `the zones are ${[...zones].join(', ')}`,
    });
  }
  // A pascal is rounding.
  if (uncovered !== undefined && uncovered > covered + 1) {
    yield report({
      code: 'ledger/vacuum-order',
      ...at(['uncovered']),
      message: 'the bare board reads a higher vacuum than the sealed one',
      help: 'the two readings may be exchanged',
    });
  }
  for (const [field, value] of Object.entries({ covered, uncovered })) {
    if (value === undefined || value <= ATMOSPHERE) continue;
    yield report({
      code: 'ledger/vacuum-range',
      ...at([field]),
      message: `a gauge reading of ${pressureText(value, units)} is more than the whole atmosphere, ${pressureText(ATMOSPHERE, units)}`,
    });
  }
}
