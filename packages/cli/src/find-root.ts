import { existsSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { UsageError } from './arguments.ts';

/** A folder is a fleet when it holds `machines/` and `shared/house.yaml`. */
export function isFleet(folder: string): boolean {
  const machines = join(folder, 'machines');
  return (
    existsSync(join(folder, 'shared', 'house.yaml')) &&
    existsSync(machines) &&
    statSync(machines).isDirectory()
  );
}

/**
 * The fleet's folder: `given` when it is one, else the nearest fleet upwards from `from`.
 *
 * @throws UsageError when there is none.
 */
export function findRoot(given: string | undefined, from: string): string {
  if (given !== undefined) {
    const folder = resolve(from, given);
    if (isFleet(folder)) return folder;
    throw new UsageError(
      `${given} is not a fleet: it has no machines/ or no shared/house.yaml`,
      'name the folder that holds both with --root',
    );
  }
  for (let folder = resolve(from); ; folder = dirname(folder)) {
    if (isFleet(folder)) return folder;
    if (dirname(folder) === folder) {
      throw new UsageError(
        'no fleet here or above: no folder with machines/ and shared/house.yaml',
        'go to the fleet, or name it with --root',
      );
    }
  }
}
