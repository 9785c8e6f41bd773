import type { Found } from '../catalogue/catalogue.ts';
import { catalogue } from '../catalogue/catalogue.ts';
import type { FixingFindings } from './findings.ts';

/** Row of a part's material in the catalogue. Undefined after a finding. */
export function materialOf(
  part: 'screw' | 'insert',
  material: string,
  known: readonly string[],
  findings: FixingFindings,
): Found | undefined {
  const found = catalogue().row('materials', material);
  if (found === undefined) {
    findings.add({
      code: 'fixing/material',
      path: `${part}.material`,
      message: `${part} material "${material}" is not in the catalogue`,
      facts: { material },
      help: `use ${known.slice(0, -1).join(', ')} or ${known.at(-1)}`,
    });
  }
  return found;
}
