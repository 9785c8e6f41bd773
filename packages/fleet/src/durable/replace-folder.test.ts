import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Disk } from '@bedledger/fleet';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  Killed,
  killingDisk,
  type Operation,
  refusingDisk,
  systemError,
  watchedDisk,
} from '../../../../test/support/faulty-disk.ts';
import { codeOf } from './disk.ts';
import {
  createFolder,
  isAside,
  leftoversOf,
  type NewContent,
  recoverFolder,
  replaceFolder,
} from './replace-folder.ts';
import { writeFileAtomic } from './write-file.ts';

let root: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'bedledger-durable-'));
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

/** Every file below a folder with its text; null when there is no folder. */
function contentOf(folder: string): Record<string, string> | null {
  if (!existsSync(folder)) return null;
  const found: Record<string, string> = {};
  const walk = (at: string): void => {
    for (const entry of readdirSync(join(folder, at), { withFileTypes: true })) {
      const path = at === '' ? entry.name : `${at}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else found[path] = readFileSync(join(folder, path), 'utf8');
    }
  };
  walk('');
  return found;
}

const OLD = { 'manifest.json': 'old manifest', 'same.txt': 'the same', 'programs/a.ngc': 'old a' };
const NEW = { 'manifest.json': 'new manifest', 'same.txt': 'the same', 'programs/b.ngc': 'new b' };
const CHANGE: ReadonlyMap<string, NewContent> = new Map<string, NewContent>([
  ['manifest.json', { text: NEW['manifest.json'] }],
  ['same.txt', 'as-it-is'],
  ['programs/b.ngc', { text: NEW['programs/b.ngc'] }],
]);

function putOld(parent: string): void {
  for (const [path, text] of Object.entries(OLD)) {
    mkdirSync(join(parent, 'set', path, '..'), { recursive: true });
    writeFileSync(join(parent, 'set', path), text);
  }
}

/** A fresh parent folder with the old set in it. */
function freshOld(name: string): string {
  const parent = join(root, name);
  mkdirSync(parent);
  putOld(parent);
  return parent;
}

/** Runs `act` with a kill at its first, second, … operation until it comes through; what is left is looked at each time. */
function killedEverywhere(act: (disk: Disk, at: number) => void, look: (at: number) => void): number {
  for (let at = 1; ; at++) {
    const { disk, killed } = killingDisk(at);
    try {
      act(disk, at);
    } catch (error) {
      if (!(error instanceof Killed)) throw error;
    }
    if (!killed()) return at - 1;
    look(at);
  }
}

describe('killed at every operation', () => {
  test.each([
    ['with hard links', false],
    ['where hard links are refused', true],
  ])(
    'a replaced folder is the old one or the new one, or the old one is aside until the next run, %s',
    (_, refused) => {
      let outcomes = { old: 0, new: 0, aside: 0 };
      const points = killedEverywhere(
        (disk, at) => {
          const without: Disk = {
            ...disk,
            link: (from) => {
              disk.look(from);
              throw systemError('EPERM', 'link', from);
            },
          };
          replaceFolder(freshOld(`k${at}`), 'set', CHANGE, refused ? without : disk);
        },
        (at) => {
          const parent = join(root, `k${at}`);
          const found = contentOf(join(parent, 'set'));
          const aside = isAside(parent, 'set');
          if (found === null) expect(aside).toBe(true);
          else expect([OLD, NEW]).toContainEqual(found);
          outcomes = {
            old: outcomes.old + (found !== null && 'programs/a.ngc' in found ? 1 : 0),
            new: outcomes.new + (found !== null && 'programs/b.ngc' in found ? 1 : 0),
            aside: outcomes.aside + (aside ? 1 : 0),
          };
          // The next run heals it, and says so exactly when the old folder had been aside.
          expect(recoverFolder(parent, 'set')).toEqual({ restored: aside, leftovers: [] });
          expect(contentOf(join(parent, 'set'))).toEqual(found ?? OLD);
          expect(readdirSync(parent)).toEqual(['set']);
        },
      );
      expect(points).toBeGreaterThan(30);
      // Every outcome did occur: the kills reached before, between and after the two renames.
      expect(Math.min(outcomes.old, outcomes.new, outcomes.aside)).toBeGreaterThan(0);
    },
  );

  test('the healing itself killed anywhere: the run after it ends with the old folder or the new one', () => {
    const seen = new Set<string>();
    killedEverywhere(
      (disk, at) => replaceFolder(freshOld(`k${at}`), 'set', CHANGE, disk),
      (at) => {
        // One of each kind of state that a kill leaves: which folders stand side by side, and whether they hold anything.
        const parts = readdirSync(join(root, `k${at}`)).map((name) => {
          const inside = readdirSync(join(root, `k${at}`, name)).length;
          return `${name.replace(/-\d+-[0-9a-f]+$/, '')} ${Math.min(inside, 3)}`;
        });
        if (seen.has(parts.join())) return;
        seen.add(parts.join());
        killedEverywhere(
          (disk, again) => {
            const parent = join(root, `k${at}-${again}`);
            cpSync(join(root, `k${at}`), parent, { recursive: true });
            recoverFolder(parent, 'set', disk);
          },
          (again) => {
            const parent = join(root, `k${at}-${again}`);
            recoverFolder(parent, 'set');
            expect([OLD, NEW]).toContainEqual(contentOf(join(parent, 'set')));
            expect(readdirSync(parent)).toEqual(['set']);
          },
        );
      },
    );
    expect(seen.size).toBeGreaterThan(5);
  });

  test('a first set is there whole or not at all', () => {
    const files = new Map(Object.entries(NEW).map(([path, text]) => [path, { text }] as const));
    killedEverywhere(
      (disk, at) => {
        mkdirSync(join(root, `k${at}`));
        replaceFolder(join(root, `k${at}`), 'set', files, disk);
      },
      (at) => {
        const parent = join(root, `k${at}`);
        expect([null, NEW]).toContainEqual(contentOf(join(parent, 'set')));
        expect(recoverFolder(parent, 'set').restored).toBe(false);
        expect(leftoversOf(parent, 'set')).toEqual([]);
      },
    );
  });

  test('a file is the old one or the new one, and the next write clears away what was left', () => {
    let left = 0;
    killedEverywhere(
      (disk, at) => {
        mkdirSync(join(root, `k${at}`));
        writeFileSync(join(root, `k${at}`, 'ledger.yaml'), 'old');
        writeFileAtomic(join(root, `k${at}`, 'ledger.yaml'), 'a new text', disk);
      },
      (at) => {
        const folder = join(root, `k${at}`);
        expect(['old', 'a new text']).toContain(readFileSync(join(folder, 'ledger.yaml'), 'utf8'));
        for (const name of readdirSync(folder)) {
          if (name === 'ledger.yaml') continue;
          left++;
          // The number of a process that ended: none is that high (proc(5), pid_max is at most 2^22).
          const ended = name.replace(/\d+-/, '4194999-');
          cpSync(join(folder, name), join(folder, ended));
          rmSync(join(folder, name));
        }
        writeFileAtomic(join(folder, 'ledger.yaml'), 'newer');
        expect(readdirSync(folder)).toEqual(['ledger.yaml']);
      },
    );
    expect(left).toBeGreaterThan(0);
  });

  test('a new folder is there whole or not at all', () => {
    const files = new Map(Object.entries(NEW));
    killedEverywhere(
      (disk, at) => {
        mkdirSync(join(root, `k${at}`));
        createFolder(join(root, `k${at}`), 'set', files, disk);
      },
      (at) => expect([null, NEW]).toContainEqual(contentOf(join(root, `k${at}`, 'set'))),
    );
  });
});

/** Every operation that replacing a folder uses, found by watching it once. */
function operationsUsed(): Operation[] {
  const used = new Set<Operation>();
  replaceFolder(
    freshOld('watched'),
    'set',
    CHANGE,
    watchedDisk((operation) => used.add(operation)),
  );
  return [...used];
}

describe('refused by the system', () => {
  /** Codes that say: never mind, the next time it may work. */
  const HELD_OPERATIONS: readonly Operation[] = ['rename', 'removeFile', 'removeFolder'];

  test('each operation with each code: the new folder, or the old one and the error says which file', () => {
    const table: Record<string, string> = {};
    let n = 0;
    for (const operation of operationsUsed()) {
      for (const code of [
        'ENOSPC',
        'EROFS',
        'EIO',
        'EDQUOT',
        'EACCES',
        'EPERM',
        'EBUSY',
        'EMFILE',
        'EINVAL',
        'EISDIR',
      ]) {
        const parent = freshOld(`r${n++}`);
        let outcome = 'new';
        try {
          replaceFolder(
            parent,
            'set',
            CHANGE,
            refusingDisk((o) => (o === operation ? code : null)),
          );
        } catch (error) {
          expect(codeOf(error)).toBe(code);
          expect((error as NodeJS.ErrnoException).path).toContain(parent);
          outcome = 'old';
        }
        table[`${operation} ${code}`] = outcome;
        const { restored } = recoverFolder(parent, 'set');
        // Where every rename is refused, nothing was moved; where only removals are, the new folder is in its place.
        expect(restored, `${operation} ${code}`).toBe(false);
        expect(contentOf(join(parent, 'set')), `${operation} ${code}`).toEqual(outcome === 'new' ? NEW : OLD);
        expect(readdirSync(parent), `${operation} ${code}`).toEqual(['set']);
      }
    }
    // Data that may not have reached the disk is never passed over.
    for (const code of ['ENOSPC', 'EIO', 'EDQUOT', 'EPERM', 'EINVAL'])
      expect(table[`flush ${code}`]).toBe('old');
    // No second name for a file: it is copied.
    for (const code of ['EPERM', 'EINVAL']) expect(table[`link ${code}`]).toBe('new');
    // What cannot be removed is left over, and nothing else.
    for (const code of ['EACCES', 'EBUSY', 'EIO']) expect(table[`removeFile ${code}`]).toBe('new');
  });

  test.each(['EISDIR', 'EPERM', 'EACCES', 'EINVAL', 'EBADF', 'ENOTSUP'])(
    'a folder that cannot be flushed (%s) is no error; a file that cannot is one',
    (code) => {
      const isFolder = (path: string): boolean => statSync(path).isDirectory();
      const parent = freshOld('folder');
      replaceFolder(
        parent,
        'set',
        CHANGE,
        refusingDisk((o, path) => (o === 'flush' && isFolder(path) ? code : null)),
      );
      expect(contentOf(join(parent, 'set'))).toEqual(NEW);
      const other = freshOld('file');
      expect(() =>
        replaceFolder(
          other,
          'set',
          CHANGE,
          refusingDisk((o, path) => (o === 'flush' && !isFolder(path) ? code : null)),
        ),
      ).toThrow(code);
      expect(contentOf(join(other, 'set'))).toEqual(OLD);
    },
  );

  test('a scanner that holds a file for a while is waited for', () => {
    for (const operation of HELD_OPERATIONS) {
      for (const code of ['EPERM', 'EACCES', 'EBUSY']) {
        const parent = freshOld(`${operation}-${code}`);
        replaceFolder(
          parent,
          'set',
          CHANGE,
          refusingDisk((o, _, refused) => (o === operation && refused < 5 ? code : null)),
        );
        expect(contentOf(join(parent, 'set'))).toEqual(NEW);
        expect(readdirSync(parent), `${operation} ${code}`).toEqual(['set']);
      }
    }
  });

  test('the second rename refused for good: the old folder is put back', () => {
    for (const code of ['EPERM', 'EACCES', 'EBUSY', 'ENOSPC', 'EIO']) {
      const parent = freshOld(code);
      const disk = refusingDisk((o, path) => (o === 'rename' && path.includes('-staged') ? code : null));
      expect(() => replaceFolder(parent, 'set', CHANGE, disk)).toThrow(code);
      expect(contentOf(join(parent, 'set'))).toEqual(OLD);
      expect(readdirSync(parent)).toEqual(['set']);
    }
  });

  test('putting back refused as well: the error says where the old folder is, and the next run puts it back', () => {
    const parent = freshOld('both');
    const disk = refusingDisk((o, path) => (o === 'rename' && !path.endsWith('set') ? 'EPERM' : null));
    expect(() => replaceFolder(parent, 'set', CHANGE, disk)).toThrow(
      /the old folder stands as .*\.set-previous-/,
    );
    expect(isAside(parent, 'set')).toBe(true);
    expect(recoverFolder(parent, 'set')).toEqual({ restored: true, leftovers: [] });
    expect(contentOf(join(parent, 'set'))).toEqual(OLD);
  });

  test('what cannot be removed is named, does no harm, and goes the next time', () => {
    const parent = freshOld('held');
    replaceFolder(
      parent,
      'set',
      CHANGE,
      refusingDisk((o) => (o === 'removeFile' ? 'EBUSY' : null)),
    );
    const left = leftoversOf(parent, 'set');
    expect(left).toHaveLength(1);
    expect(
      recoverFolder(
        parent,
        'set',
        refusingDisk((o) => (o === 'removeFile' ? 'EBUSY' : null)),
      ),
    ).toEqual({
      restored: false,
      leftovers: left,
    });
    expect(contentOf(join(parent, 'set'))).toEqual(NEW);
    expect(recoverFolder(parent, 'set').leftovers).toEqual([]);
    expect(readdirSync(parent)).toEqual(['set']);
  });

  test('a set that was aside is never removed while there is no other', () => {
    const parent = freshOld('aside');
    // Two interrupted runs, the first of which left its old set behind because it could not be removed.
    mkdirSync(join(parent, '.set-previous-1-aaaaaaaaaaaa'));
    writeFileSync(join(parent, '.set-previous-1-aaaaaaaaaaaa/manifest.json'), 'older');
    const { disk } = killingDisk(Number.POSITIVE_INFINITY);
    disk.rename(join(parent, 'set'), join(parent, '.set-previous-2-bbbbbbbbbbbb'));
    expect(recoverFolder(parent, 'set').restored).toBe(true);
    expect(contentOf(join(parent, 'set'))).toEqual(OLD);
    expect(readdirSync(parent)).toEqual(['set']);
  });
});

test('a new folder never replaces what is there, not even an empty folder', () => {
  const parent = freshOld('new');
  mkdirSync(join(parent, 'empty'));
  for (const name of ['set', 'empty']) {
    let thrown: unknown;
    try {
      createFolder(parent, name, new Map([['a.txt', 'a']]));
    } catch (error) {
      thrown = error;
    }
    expect(codeOf(thrown)).toBe('EEXIST');
  }
  expect(readdirSync(parent).sort()).toEqual(['empty', 'set']);
  expect(contentOf(join(parent, 'set'))).toEqual(OLD);
});

test('a file or a link in the place of the folder is not replaced, and a folder that is aside stays', () => {
  for (const put of [
    (path: string) => writeFileSync(path, 'a file'),
    (path: string) => symlinkSync('nowhere', path),
  ]) {
    const parent = freshOld(`other-${put.length}-${readdirSync(root).length}`);
    renameSync(join(parent, 'set'), join(parent, '.set-previous-1-aaaaaaaaaaaa'));
    put(join(parent, 'set'));
    expect(recoverFolder(parent, 'set')).toEqual({ restored: false, leftovers: [] });
    expect(() => replaceFolder(parent, 'set', CHANGE)).toThrow(
      expect.objectContaining({ code: 'ENOTDIR', path: join(parent, 'set') }),
    );
    expect(readdirSync(parent)).toEqual(['.set-previous-1-aaaaaaaaaaaa', 'set']);
    expect(contentOf(join(parent, '.set-previous-1-aaaaaaaaaaaa'))).toEqual(OLD);
  }
});

test('a kept file keeps its time where hard links are refused', () => {
  const parent = freshOld('times');
  const before = statSync(join(parent, 'set/same.txt'));
  replaceFolder(
    parent,
    'set',
    CHANGE,
    refusingDisk((o) => (o === 'link' ? 'ENOTSUP' : null)),
  );
  const after = statSync(join(parent, 'set/same.txt'));
  // Times are kept to the millisecond.
  expect(Math.abs(after.mtimeMs - before.mtimeMs)).toBeLessThan(1);
  expect(after.ino).not.toBe(before.ino);
});
