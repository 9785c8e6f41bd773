import type { Ledger, OperationName } from '@bedledger/fleet';

/** What the machine's own clock has taught of an operation: recorded minutes over predicted ones. */
export interface TimeCorrection {
  readonly factor: number;
  /** Number of records behind it; 0: nothing learned, factor 1. */
  readonly records: number;
}

/**
 * Correction for one operation from the ledger's `time` facts of it: the median of actual ÷ predicted. The median, because one
 * interrupted run must not spoil the rest. What another operation took says nothing of this one: pockets wait for ramps and
 * retracts, a skim runs rows.
 */
export function timeCorrection(ledger: Ledger, operation: OperationName): TimeCorrection {
  const own = ledger.facts.flatMap((fact) =>
    fact.fact === 'time' && fact.operation === operation && fact.predicted > 0 && fact.minutes > 0
      ? [fact.minutes / fact.predicted]
      : [],
  );
  return { factor: own.length > 0 ? median(own) : 1, records: own.length };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
