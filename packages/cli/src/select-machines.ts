import { didYouMean } from '@bedledger/diagnostics';
import { listMachines } from '@bedledger/fleet';
import { UsageError } from './arguments.ts';

/** What a fleet without machines is told. */
export const NO_MACHINE = 'no machine in this fleet yet: `bedledger new <id>` starts one';

/**
 * The machines a call means: those named, or every machine of the fleet, each once, in the fleet's order.
 *
 * @throws UsageError for a name that is not a machine, with the nearest ones.
 */
export function selectMachines(root: string, named: readonly string[]): string[] {
  const all = listMachines(root);
  for (const name of named) {
    if (all.includes(name)) continue;
    throw new UsageError(
      `no machine \`${name}\` in this fleet`,
      didYouMean(name, all) ??
        `machines here: ${all.join(', ') || 'none yet; `bedledger new <id>` starts one'}`,
    );
  }
  return named.length === 0 ? all : all.filter((id) => named.includes(id));
}

/** The one machine a call names. */
export function selectMachine(root: string, name: string): string {
  return selectMachines(root, [name])[0] as string;
}
