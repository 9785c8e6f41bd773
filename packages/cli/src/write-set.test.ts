import { execFileSync } from 'node:child_process';
import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { compareSet, filesBelow, recoverSet, writeSet } from './write-set.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bedledger-set-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const set = (files: Record<string, string>): ReadonlyMap<string, string> => new Map(Object.entries(files));
const read = (path: string): string => readFileSync(join(folder, 'issued', path), 'utf8');

describe('a machine’s issued files', () => {
  it('are written whole, and again without touching what did not change', () => {
    expect(
      writeSet(folder, set({ 'manifest.json': '{}\n', 'programs/a.ngc': 'M2\n' })).map((c) => c.change),
    ).toEqual(['new', 'new']);
    const before = statSync(join(folder, 'issued/manifest.json'));
    expect(writeSet(folder, set({ 'manifest.json': '{}\n', 'programs/a.ngc': 'M30\n' }))).toEqual([
      { path: 'programs/a.ngc', change: 'changed' },
    ]);
    const after = statSync(join(folder, 'issued/manifest.json'));
    expect([after.ino, after.mtimeMs]).toEqual([before.ino, before.mtimeMs]);
    expect(read('programs/a.ngc')).toBe('M30\n');
  });

  it('lose what is no longer issued, orphans of any kind among it', () => {
    writeSet(folder, set({ 'programs/a.ngc': 'a\n', 'programs/b.ngc': 'b\n' }));
    writeFileSync(join(folder, 'issued/programs/notes.txt'), 'by hand');
    expect(writeSet(folder, set({ 'programs/a.ngc': 'a\n' }))).toEqual([
      { path: 'programs/b.ngc', change: 'gone' },
      { path: 'programs/notes.txt', change: 'gone' },
    ]);
    expect(filesBelow(join(folder, 'issued'))).toEqual(['programs/a.ngc']);
  });

  it('are files: a pipe, a link and a link to nowhere in their place are replaced, not read', () => {
    mkdirSync(join(folder, 'issued'));
    writeFileSync(join(folder, 'elsewhere.txt'), 'same');
    execFileSync('mkfifo', [join(folder, 'issued/a.txt')]);
    symlinkSync('../elsewhere.txt', join(folder, 'issued/b.txt'));
    symlinkSync('nowhere', join(folder, 'issued/c.txt'));
    const files = set({ 'a.txt': 'same', 'b.txt': 'same', 'c.txt': 'same' });
    expect(writeSet(folder, files).map((c) => c.change)).toEqual(['changed', 'changed', 'changed']);
    expect(compareSet(join(folder, 'issued'), files)).toEqual([]);
    expect(readFileSync(join(folder, 'elsewhere.txt'), 'utf8')).toBe('same');
    for (const name of ['a.txt', 'b.txt', 'c.txt'])
      expect(lstatSync(join(folder, 'issued', name)).isFile()).toBe(true);
  });

  it('stay as they were when writing fails half-way', () => {
    writeSet(folder, set({ 'a.txt': 'old a', 'b.txt': 'old b' }));
    // A file cannot stand where a folder of the same name must: the second write fails after the first was staged.
    expect(() =>
      writeSet(
        folder,
        new Map([
          ['a.txt', 'new a'],
          ['b.txt/x', '1'],
          ['b.txt', 'new b'],
        ]),
      ),
    ).toThrow();
    expect(read('a.txt')).toBe('old a');
    expect(read('b.txt')).toBe('old b');
    expect(writeSet(folder, set({ 'a.txt': 'newer a', 'b.txt': 'old b' }))).toHaveLength(1);
    expect(filesBelow(folder)).toEqual(['issued/a.txt', 'issued/b.txt']);
  });

  it('come back after a crash between the two renames', () => {
    writeSet(folder, set({ 'a.txt': 'old' }));
    renameSync(join(folder, 'issued'), join(folder, '.issued-previous'));
    mkdirSync(join(folder, '.issued-staged'));
    writeFileSync(join(folder, '.issued-staged/a.txt'), 'half');
    expect(recoverSet(folder).restored).toBe(true);
    expect(read('a.txt')).toBe('old');
    expect(existsSync(join(folder, '.issued-staged'))).toBe(false);
    expect(recoverSet(folder)).toEqual({ restored: false, leftovers: [] });
  });

  it('are compared without writing', () => {
    expect(compareSet(join(folder, 'issued'), set({ 'a.txt': 'x' }))).toEqual([
      { path: 'a.txt', change: 'new' },
    ]);
    expect(existsSync(join(folder, 'issued'))).toBe(false);
  });
});
