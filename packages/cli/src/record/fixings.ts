import { suggest, type Units } from '@bedledger/diagnostics';
import type { Fixing, Insert } from '@bedledger/fasteners';
import { loadShared } from '@bedledger/fleet';
import { UsageError } from '../arguments.ts';

/** The shared fixings, by the name that a call gives. */
export interface FixingByName {
  /** @throws UsageError when there is none of this name, or it is wrong */
  need(name: string): Fixing;
  /** The first fixing's insert of this name. */
  insertCalled(name: string): Insert | undefined;
}

export function sharedFixings(root: string, units: Units): FixingByName {
  const shared = loadShared(root);
  const names = [...(shared.fixings?.keys() ?? [])].sort();
  return {
    need(name) {
      const { fixing, diagnostics } = shared.fixing(name, units);
      if (fixing) return fixing;
      if (names.includes(name)) {
        const why = diagnostics[0]?.message ?? 'it cannot be read';
        throw new UsageError(`the fixing \`${name}\` cannot be used: ${why}`, 'correct shared/fixings.yaml');
      }
      const near = suggest(name, names);
      throw new UsageError(
        `shared/fixings.yaml has no fixing \`${name}\``,
        near.length > 0 ? `did you mean --fixing ${near[0]}?` : `there are ${names.join(', ')}`,
      );
    },
    insertCalled(name) {
      for (const known of names) {
        const insert = shared.fixing(known, units).fixing?.insert;
        if (insert?.id === name) return insert;
      }
      return undefined;
    },
  };
}
