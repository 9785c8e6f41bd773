import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Manifest } from '@bedledger/fleet';
import { loadFleet } from '@bedledger/fleet';
import type { Issued } from './score.ts';

/** The issued files of every machine under `root`, as they stand on disk, with the machine's record. */
export function issuedFleet(root: string): Issued[] {
  const { machines } = loadFleet(root);
  const sets: Issued[] = [];
  for (const { id, record } of machines) {
    const folder = `machines/${id}/issued`;
    if (!record || !existsSync(join(root, folder, 'manifest.json'))) continue;
    const read = (path: string): { path: string; text: string } => ({
      path: `${folder}/${path}`,
      text: readFileSync(join(root, folder, path), 'utf8'),
    });
    sets.push({
      record,
      issued: {
        programs: readdirSync(join(root, folder, 'programs'))
          .sort()
          .map((name) => read(`programs/${name}`)),
        manifest: JSON.parse(read('manifest.json').text) as Manifest,
        holes: read('holes.csv'),
        runSheet: read('run-sheet.html'),
      },
    });
  }
  return sets;
}
