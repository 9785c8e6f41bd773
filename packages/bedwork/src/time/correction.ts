import type { Ledger, OperationName } from '@bedledger/fleet';

/** What the machine's own clock has taught: recorded minutes over predicted ones. */
export interface TimeCorrection {
  readonly factor: number;
  /** Number of records behind it; 0: nothing learned, factor 1. */
  readonly records: number;
  readonly from: 'operation' | 'machine' | 'nothing';
}

/**
 * Correction for one operation from the ledger's `time` facts: the median of actual ÷ predicted over this operation's
 * records, else over all of the machine's. The median, because one interrupted run must not spoil the rest.
 */
export function timeCorrection(ledger: Ledger, operation: OperationName): TimeCorrection {
  const own: number[] = [];
  const all: number[] = [];
  for (const fact of ledger.facts) {
    if (fact.fact !== 'time' || !(fact.predicted > 0) || !(fact.minutes > 0)) continue;
    const ratio = fact.minutes / fact.predicted;
    all.push(ratio);
    if (fact.operation === operation) own.push(ratio);
  }
  if (own.length > 0) return { factor: median(own), records: own.length, from: 'operation' };
  if (all.length > 0) return { factor: median(all), records: all.length, from: 'machine' };
  return { factor: 1, records: 0, from: 'nothing' };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
