import type { FactWritten } from '@bedledger/fleet';
import { UsageError } from '../arguments.ts';
import type { RecordCall } from './call.ts';

/** The withdrawal of the fact whose number the call gives: kind and day are those that the ledger has there. */
export function withdrawal(call: RecordCall): FactWritten {
  const [typed, ...more] = call.sites;
  const last = call.entries.length;
  if (typed === undefined || more.length > 0 || !/^\d{1,6}$/.test(typed))
    throw new UsageError('withdraw needs the number of one fact', listed(call));
  const of = Number(typed);
  const fact = call.entries[of - 1];
  if (!fact)
    throw new UsageError(`the ledger has no fact ${of}: it has ${last}, counted from 1`, listed(call));
  return call.fact({ of, kind: fact.fact, day: fact.date, reason: call.neededText('reason') });
}

/** How many of the last facts are named to somebody who looks for a number. */
const LAST = 5;

function listed({ entries }: RecordCall): string {
  if (entries.length === 0) return 'nothing is on record yet';
  const from = Math.max(0, entries.length - LAST);
  const named = entries.slice(from).map((f, i) => {
    const site = 'site' in f ? ` ${f.site}` : '';
    return `${from + i + 1} ${f.fact}${site} of ${f.date}`;
  });
  return `the last are ${named.join(', ')}`;
}
