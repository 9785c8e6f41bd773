import { foldFindings } from '@bedledger/diagnostics';
import { UsageError } from '../arguments.ts';
import type { RecordCall, SiteFact } from './call.ts';

/**
 * On a machine that is stopped the planned places mean nothing: what was made is recorded where it was found. A place that the
 * ledger has already stays.
 *
 * @throws UsageError for a site whose place would be taken from such a plan
 */
export function placeIsKnown(call: RecordCall, kind: SiteFact, site: string): void {
  if (call.text('at') !== undefined) return;
  const before = call.record.state.sites.get(site);
  if (before && before.state !== 'filled') return;
  const [first] = foldFindings(call.plan().findings);
  if (first?.finding.severity !== 'stop') return;
  const { message, help } = first.finding;
  throw new UsageError(
    `the plan of ${call.record.machine.id} is stopped, so where it puts ${site} means nothing: ${message}`,
    `${help ?? 'clear that first'}; or say where the ${kind} really is: \`bedledger record ${call.record.machine.id} ${kind} ${site} --at X,Y\``,
  );
}
