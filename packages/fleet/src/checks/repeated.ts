import type { Path } from '../model/path.ts';
import { type Findings, type Locator, relatedTo, report } from '../report.ts';

/** Entries of a list of the profile that have the name of an earlier one. */
export function* repeatedNames(
  list: readonly { readonly id: string }[],
  what: string,
  path: Path,
  at: Locator,
): Findings {
  const seen = new Map<string, number>();
  for (const [i, { id }] of list.entries()) {
    const first = seen.get(id);
    if (first === undefined) {
      seen.set(id, i);
      continue;
    }
    yield report({
      code: 'profile/repeated-name',
      ...at([...path, i, 'id']),
      related: relatedTo(at([...path, first, 'id']), 'the first one'),
      message: `${what} \`${id}\` is here twice`,
    });
  }
}
