import { dirname, join } from 'node:path';
import {
  codeOf,
  type Disk,
  flushFolder,
  isOneOf,
  patiently,
  quietly,
  removeTree,
  systemDisk,
  writeNewFile,
} from './disk.ts';
import { numberInUse } from './processes.ts';
import { ownName } from './write-file.ts';

/** What a file of the new folder holds: a text, or what stands in the present folder under the same path. */
export type NewContent = { readonly text: string } | 'as-it-is';

/**
 * Names beside the folder `name`, while it is being replaced:
 * `.name-staged*`: the new folder being made; rubbish when nobody is writing;
 * `.name-previous*`: the old folder between the two renames; the only copy of it while there is no folder `name`;
 * `.name-discarded*`: the old folder after them; rubbish.
 */
type Part = 'staged' | 'previous' | 'discarded';

function prefixOf(name: string, part: Part): string {
  return `.${name}-${part}`;
}

function partsOf(disk: Disk, parent: string, name: string, parts: readonly Part[]): string[] {
  return disk.list(parent).filter((n) => parts.some((part) => n.startsWith(prefixOf(name, part))));
}

/** Makes a folder with everything in it, under a name of its own, and flushes it. */
function stage(disk: Disk, parent: string, name: string, files: ReadonlyMap<string, NewContent>): string {
  const staged = join(parent, ownName(`${prefixOf(name, 'staged')}-`));
  const made = new Set<string>();
  const makeFolder = (path: string): void => {
    if (made.has(path)) return;
    if (path !== staged) makeFolder(dirname(path));
    disk.makeFolder(path);
    made.add(path);
  };
  try {
    makeFolder(staged);
    for (const [path, content] of files) {
      const target = join(staged, path);
      makeFolder(dirname(target));
      if (content === 'as-it-is') keep(disk, join(parent, name, path), target);
      else writeNewFile(disk, target, content.text);
    }
    for (const folder of made) flushFolder(disk, folder);
  } catch (error) {
    quietly(() => removeTree(disk, staged));
    throw error;
  }
  return staged;
}

/** File systems and drives that give a file only one name. */
const NO_SECOND_NAME: ReadonlySet<string> = new Set([
  'EPERM',
  'EACCES',
  'EINVAL',
  'ENOTSUP',
  'EOPNOTSUPP',
  'ENOSYS',
  'EXDEV',
  'EMLINK',
]);

/** The same file under the staged name: a hard link where the file system has them, else a copy with its times. */
function keep(disk: Disk, from: string, to: string): void {
  try {
    disk.link(from, to);
  } catch (error) {
    if (!isOneOf(error, NO_SECOND_NAME)) throw error;
    const times = disk.look(from);
    writeNewFile(disk, to, disk.read(from));
    if (times !== null) quietly(() => disk.setTimes(to, times.atime, times.mtime));
  }
}

/**
 * Replaces the folder `parent/name` by one that holds exactly `files`, all or nothing. The new folder is made beside it, the
 * old one renamed out of the way, the new one renamed into its place. Where the second rename is refused, the old folder is
 * put back. A crash leaves the old folder or the new one, under its name or (between the renames) as `.name-previous-…`, from
 * where `recoverFolder` brings it back. Only one process at a time may do this to a folder: hold a lock.
 *
 * @throws the system's error; the old folder is in its place then, or the error's text says where it is. `ENOTDIR` when a
 *   file or a link has the name.
 */
export function replaceFolder(
  parent: string,
  name: string,
  files: ReadonlyMap<string, NewContent>,
  disk: Disk = systemDisk,
): void {
  const folder = join(parent, name);
  const had = isFolder(disk, folder);
  const staged = stage(disk, parent, name, files);
  const own = staged.slice(join(parent, prefixOf(name, 'staged')).length);
  const previous = join(parent, `${prefixOf(name, 'previous')}${own}`);
  try {
    if (had) patiently(disk, () => disk.rename(folder, previous));
    try {
      patiently(disk, () => disk.rename(staged, folder));
    } catch (error) {
      if (had) putBack(disk, previous, folder, error);
      throw error;
    }
  } catch (error) {
    quietly(() => removeTree(disk, staged));
    throw error;
  }
  flushFolder(disk, parent);
  if (had) discard(disk, parent, name, previous);
}

/**
 * Is there a folder of this name?
 * @throws `ENOTDIR` when there is something else: a link or a file is not ours to replace
 */
function isFolder(disk: Disk, path: string): boolean {
  const found = disk.look(path);
  if (found === null || found.isDirectory()) return found !== null;
  throw Object.assign(new Error(`${path} is no folder`), { code: 'ENOTDIR', path });
}

function putBack(disk: Disk, previous: string, folder: string, cause: unknown): void {
  // Trouble of another kind is a fault of ours: nothing more is tried.
  if (codeOf(cause) === undefined) return;
  if (quietly(() => patiently(disk, () => disk.rename(previous, folder)))) return;
  (cause as Error).message += `; the old folder stands as ${previous} until the next run puts it back`;
}

/** The old folder is renamed first, so that half of it is never taken for the whole. What cannot go stays as a leftover. */
function discard(disk: Disk, parent: string, name: string, previous: string): void {
  const discarded = join(parent, ownName(`${prefixOf(name, 'discarded')}-`));
  quietly(() => {
    patiently(disk, () => disk.rename(previous, discarded));
    removeTree(disk, discarded);
  });
}

/**
 * Makes the folder `parent/name` with `files` in it, all or nothing.
 * @throws the system's error; nothing of it is there then. `EEXIST` when there is something of that name already.
 */
export function createFolder(
  parent: string,
  name: string,
  files: ReadonlyMap<string, string>,
  disk: Disk = systemDisk,
): void {
  for (const left of partsOf(disk, parent, name, ['staged'])) {
    const maker = /-staged-(\d+)-[0-9a-f]{12}$/.exec(left);
    if (maker && !numberInUse(Number(maker[1]))) quietly(() => removeTree(disk, join(parent, left)));
  }
  const contents = new Map([...files].map(([path, text]) => [path, { text }] as const));
  const staged = stage(disk, parent, name, contents);
  const folder = join(parent, name);
  try {
    // A rename alone would replace an empty folder without a word.
    if (disk.look(folder) !== null) throw existing(folder);
    patiently(disk, () => disk.rename(staged, folder));
  } catch (error) {
    quietly(() => removeTree(disk, staged));
    // Somebody else was quicker.
    throw codeOf(error) !== undefined && disk.look(folder) !== null ? existing(folder) : error;
  }
  flushFolder(disk, parent);
}

function existing(path: string): NodeJS.ErrnoException {
  return Object.assign(new Error(`${path} is there already`), { code: 'EEXIST', path });
}

/** What an interrupted `replaceFolder` left behind, and what became of it. */
export interface Recovery {
  /** The old folder was aside and is in its place again. */
  readonly restored: boolean;
  /** Names beside the folder that could not be removed; harmless, and tried again the next time. */
  readonly leftovers: readonly string[];
}

/**
 * Puts back the folder that an interrupted `replaceFolder` had moved aside, and removes what is left of it otherwise. Only for
 * the one process that may write the folder: hold the lock.
 * @throws the system's error when the old folder cannot be put back
 */
export function recoverFolder(parent: string, name: string, disk: Disk = systemDisk): Recovery {
  const folder = join(parent, name);
  let restored = false;
  if (disk.look(folder) === null) {
    const aside = latest(disk, parent, partsOf(disk, parent, name, ['previous']));
    if (aside !== null) {
      patiently(disk, () => disk.rename(join(parent, aside), folder));
      flushFolder(disk, parent);
      restored = true;
    }
  }
  // Without a folder of the name, a folder that is aside is never removed.
  const rubbish: Part[] =
    disk.look(folder)?.isDirectory() !== true ? ['staged', 'discarded'] : ['staged', 'discarded', 'previous'];
  const leftovers = partsOf(disk, parent, name, rubbish).filter(
    (left) => !quietly(() => removeTree(disk, join(parent, left))),
  );
  return { restored, leftovers };
}

/** Of several folders that are aside (an older one could not be removed in its time) the one moved last. */
function latest(disk: Disk, parent: string, names: readonly string[]): string | null {
  let best: { name: string; at: number } | null = null;
  for (const name of names) {
    const at = disk.look(join(parent, name))?.ctimeMs ?? 0;
    if (best === null || at >= best.at) best = { name, at };
  }
  return best?.name ?? null;
}

/** Names beside the folder that a finished or interrupted `replaceFolder` left. Reads only. */
export function leftoversOf(parent: string, name: string, disk: Disk = systemDisk): string[] {
  return partsOf(disk, parent, name, ['staged', 'discarded', 'previous']);
}

/** An interrupted `replaceFolder` left no folder of the name, only the old one aside. Reads only. */
export function isAside(parent: string, name: string, disk: Disk = systemDisk): boolean {
  return disk.look(join(parent, name)) === null && partsOf(disk, parent, name, ['previous']).length > 0;
}
