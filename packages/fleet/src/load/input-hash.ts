import { createHash } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { codeOf } from '../durable/disk.ts';
import { LARGEST, readFleetFolder } from './files.ts';
import { SHARED_PATHS } from './shared.ts';

/**
 * One hash over every file that loading the machine reads. Equal before and after: what was read in between stood in the
 * files at one time. A file that cannot be read counts as such; loading it says why.
 */
export function inputHash(root: string, id: string): string {
  const folder = `machines/${id}`;
  const heights = (readFleetFolder(root, `${folder}/heights`) ?? []).map((e) => `heights/${e.name}`);
  const own = ['machine.yaml', 'ledger.yaml', 'survey.csv', 'package.json', ...heights];
  const hash = createHash('sha256');
  for (const path of [...Object.values(SHARED_PATHS), ...own.map((name) => `${folder}/${name}`)]) {
    const content = contentOf(join(root, path));
    hash.update(`${path}\n${typeof content === 'string' ? content : content.length}\n`);
    hash.update(content);
  }
  return hash.digest('hex');
}

function contentOf(path: string): Buffer | string {
  try {
    const found = statSync(path);
    return found.isFile() && found.size <= LARGEST ? readFileSync(path) : 'not a file';
  } catch (error) {
    return codeOf(error) ?? 'unreadable';
  }
}
