import type { FactWritten } from '@bedledger/fleet';
import { UsageError } from '../arguments.ts';

/**
 * A day that nobody typed is today. Where facts of later days are on record, clock or ledger is wrong, and only the caller
 * knows which.
 *
 * @throws UsageError then
 */
export function checkToday(today: string, entries: readonly FactWritten[]): void {
  const last = entries.at(-1);
  if (!last || last.date <= today) return;
  throw new UsageError(
    `today is ${today}, and the last fact on record, ${last.fact}, is of ${last.date}`,
    `say on which day it was done, as --date ${last.date}; when the clock of this computer is wrong, set it first`,
  );
}

/** The calendar date where the command is run: the one clock in the program, and only a default. */
export function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
