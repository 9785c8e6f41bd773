import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';
import { type FactWritten, factsGone, ledgerEntries } from '@bedledger/fleet';

/** The entries of a machine's ledger as they stand in a fleet; null where there is no such ledger, or it does not read. */
function entriesOf(root: string, id: string): readonly FactWritten[] | null {
  const path = join(root, 'machines', id, 'ledger.yaml');
  return existsSync(path) ? (ledgerEntries(readFileSync(path, 'utf8'))?.facts ?? null) : null;
}

/** Facts of a machine that its ledger had in the fleet at `base` and has no longer; none where one side cannot be read. */
export function lostFacts(base: string, head: string, id: string, revision: string): Diagnostic[] {
  const [before, after] = [entriesOf(base, id), entriesOf(head, id)];
  if (before === null || after === null) return [];
  return factsGone(`machines/${id}/ledger.yaml`, before, after, `at ${revision}`);
}
