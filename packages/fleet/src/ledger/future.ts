import type { Diagnostic } from '@bedledger/diagnostics';
import type { IsoDate } from '../model/ledger.ts';
import { report } from '../report.ts';
import type { FactWritten } from '../written/ledger.ts';

/** Facts that are dated after `today`. The clock is the caller's: a ledger reads the same on every day. */
export function futureFacts(file: string, facts: readonly FactWritten[], today: IsoDate): Diagnostic[] {
  return facts
    .filter(({ date }) => date > today)
    .map(({ fact, date }) =>
      report({
        code: 'ledger/future',
        place: { file },
        message: `the ${fact} is dated ${date}, and today is ${today}`,
      }),
    );
}
