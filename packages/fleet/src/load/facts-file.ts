import type { Diagnostic, Units } from '@bedledger/diagnostics';
import { report } from '../report.ts';
import { validateYaml } from '../source/validate.ts';
import { type FactWritten, ledgerSchema } from '../written/ledger.ts';

/** Facts of a file, or what is wrong with it. */
export interface FactsFile {
  readonly facts: readonly FactWritten[] | null;
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * A file of facts to be recorded together: the same as a ledger (`units` and `facts`), or the list alone, whose bare numbers
 * are in the unit of the ledger that it is for.
 */
export function readFactsFile(file: string, text: string, units: Units): FactsFile {
  if (isBareList(text)) {
    const { written, diagnostics } = validateYaml(ledgerSchema.shape.facts, file, text, 'ledger');
    return { facts: written, diagnostics };
  }
  const { written, source, diagnostics } = validateYaml(ledgerSchema, file, text, 'ledger');
  if (!written || written.units === units) return { facts: written?.facts ?? null, diagnostics };
  const found = report({
    code: 'ledger/other-units',
    ...source.at(['units']),
    message: `the facts are in ${written.units}, and the ledger that they are for is in ${units}`,
    help: `write \`units: ${units}\`, and lengths in ${written.units} with their unit: \`18.04 ${written.units}\``,
  });
  return { facts: null, diagnostics: [found] };
}

/** The first line that says something is an item of a list. */
function isBareList(text: string): boolean {
  return /^(?:\s*(?:#[^\n]*)?\r?\n)*(?:---\s*\r?\n)?\s*[-[]/.test(
    text.replace(/^\ufeff/, '').replace(/^---[ \t]*\r?\n/, ''),
  );
}

/** The entries of a ledger as they stand in its file, withdrawn ones included; null when it does not read. */
export function ledgerEntries(
  text: string,
): { readonly units: Units; readonly facts: readonly FactWritten[] } | null {
  return validateYaml(ledgerSchema, 'ledger.yaml', text, 'ledger').written;
}
