import { mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Disk } from '@bedledger/fleet';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  Killed,
  killingDisk,
  refusingDisk,
  systemError,
  TestProcesses,
  watchedDisk,
} from '../../../../test/support/faulty-disk.ts';
import { systemDisk } from './disk.ts';
import { LockedError, type LockOptions, liveHolder, withLock } from './lock.ts';
import { systemProcesses } from './processes.ts';

let root: string;
let path: string;
let computers: TestProcesses;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'bedledger-lock-'));
  path = join(root, 'lock');
  computers = new TestProcesses();
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

/** The same disk on a drive that gives a file only one name. */
function withoutLinks(disk: Disk): Disk {
  return {
    ...disk,
    link: (from) => {
      disk.look(from);
      throw systemError('EPERM', 'link', from);
    },
  };
}

const DRIVES = [
  ['with hard links', (disk: Disk) => disk],
  ['without hard links', withoutLinks],
] as const;

/** No test waits: pauses take no time, and patience is counted in pauses. */
const quick = watchedDisk(() => {});

function attempt(act: () => void, options: LockOptions): 'had it' | 'locked' | 'killed' {
  try {
    withLock(path, 'test', act, { disk: quick, ...options });
    return 'had it';
  } catch (error) {
    if (error instanceof LockedError) return 'locked';
    if (error instanceof Killed) return 'killed';
    throw error;
  }
}

describe.each(DRIVES)('a lock, %s', (_, drive) => {
  test('keeps everybody else out, says once who holds it, and is gone afterwards', () => {
    const [a, b] = [computers.start(), computers.start()];
    const told: (string | undefined)[] = [];
    withLock(
      path,
      'regenerate heron',
      () => {
        const outcome = attempt(() => expect.unreachable(), {
          disk: drive(quick),
          processes: b.processes,
          onWait: (holder) => told.push(holder?.doing),
        });
        expect(outcome).toBe('locked');
        expect(liveHolder(path, b)?.doing).toBe('regenerate heron');
      },
      { disk: drive(quick), processes: a.processes },
    );
    expect(told).toEqual(['regenerate heron']);
    expect(readdirSync(root)).toEqual([]);
    expect(liveHolder(path)).toBeNull();
  });

  test('is let go when what was done in it throws', () => {
    const a = computers.start();
    expect(() =>
      withLock(
        path,
        'test',
        () => {
          throw new RangeError('inside');
        },
        { disk: drive(quick), processes: a.processes },
      ),
    ).toThrow('inside');
    expect(readdirSync(root)).toEqual([]);
  });

  test('of a process killed at any operation is taken over at once, and nothing of it stays', () => {
    let points = 0;
    for (let at = 1; ; at++) {
      const [a, b] = [computers.start(), computers.start()];
      const { disk, killed } = killingDisk(at);
      attempt(() => {}, { disk: drive(disk), processes: a.processes });
      if (!killed()) break;
      points++;
      a.end();
      let pauses = 0;
      const counting: Disk = {
        ...quick,
        pause: (ms) => {
          pauses += ms;
        },
      };
      expect(
        attempt(() => {}, { disk: drive(counting), processes: b.processes }),
        `killed at ${at}`,
      ).toBe('had it');
      // A lock that is written says whose it is. One that was never written to the end is watched for two seconds.
      expect(pauses, `killed at ${at}`).toBeLessThanOrEqual(drive === withoutLinks ? 2200 : 0);
      // A file that never got its writer's text goes when no process has the number in its name; here it has ours.
      const left = readdirSync(root);
      expect(left.filter((name) => readFileSync(join(root, name), 'utf8').endsWith('}\n'))).toEqual([]);
      for (const name of left) rmSync(join(root, name));
    }
    expect(points).toBeGreaterThan(8);
  });

  test('two that see the same dead lock, at every interleaving: one has it at a time, each in its turn', () => {
    let overlaps = 0;
    let met = 0;
    for (let at = 1; ; at++) {
      const [dead, a, b] = [computers.start(), computers.start(), computers.start()];
      const { disk, killed } = killingDisk(Number.POSITIVE_INFINITY);
      expect(killed()).toBe(false);
      attempt(
        () => {
          throw new Killed();
        },
        { disk: { ...drive(disk), read: () => Buffer.from('') }, processes: dead.processes },
      );
      dead.end();
      expect(readdirSync(root)).toEqual(['lock']);
      let inside = 0;
      const enter = (): void => {
        if (++inside > 1) overlaps++;
      };
      // While A stands before its operation number `at`, B runs from beginning to end.
      let bOutcome = '';
      const disturbed = watchedDisk((_op, _path, count) => {
        if (count !== at || bOutcome !== '') return;
        bOutcome = attempt(
          () => {
            enter();
            inside--;
          },
          { disk: drive(quick), processes: b.processes, patience: 300 },
        );
      });
      const aOutcome = attempt(
        () => {
          enter();
          disturbed.look(path);
          inside--;
        },
        { disk: drive(disturbed), processes: a.processes },
      );
      expect(aOutcome, `B at operation ${at} of A`).toBe('had it');
      expect(readdirSync(root).filter((n) => n !== 'lock')).toEqual([]);
      expect(liveHolder(path, a)).toBeNull();
      if (bOutcome === '') break;
      met++;
    }
    expect(met).toBeGreaterThan(8);
    expect(overlaps).toBe(0);
  });

  test('three that see the same dead lock, the third at every operation of the second at every operation of the first', () => {
    let overlaps = 0;
    let runs = 0;
    for (let at = 1, second = true; second; at++) {
      second = false;
      for (let then = 1, third = true; third; then++) {
        third = false;
        const [dead, a, b, c] = [computers.start(), computers.start(), computers.start(), computers.start()];
        const identity = { ...dead.processes.self(), doing: 'test' };
        writeFileSync(path, `${JSON.stringify(identity)}\n`);
        dead.end();
        let inside = 0;
        const enter = (): void => {
          if (++inside > 1) overlaps++;
        };
        const at1 = (act: () => void, when: number): Disk => {
          let done = false;
          return drive(
            watchedDisk((_op, _path, count) => {
              if (count !== when || done) return;
              done = true;
              act();
            }),
          );
        };
        const body = (): void => {
          enter();
          runs++;
          inside--;
        };
        const runThird = (): void => {
          third = true;
          attempt(body, { disk: drive(quick), processes: c.processes, patience: 50 });
        };
        const runSecond = (): void => {
          second = true;
          attempt(body, { disk: at1(runThird, then), processes: b.processes, patience: 50 });
        };
        const first = attempt(body, { disk: at1(runSecond, at), processes: a.processes });
        expect(first).toBe('had it');
        expect(readdirSync(root), `${at} ${then}`).toEqual([]);
      }
    }
    expect(runs).toBeGreaterThan(500);
    expect(overlaps).toBe(0);
  });

  test('a second crash while a dead lock is taken over is healed as well, wherever it hits', () => {
    for (let at = 1; ; at++) {
      const [dead, a, b] = [computers.start(), computers.start(), computers.start()];
      writeFileSync(path, `${JSON.stringify({ ...dead.processes.self(), doing: 'test' })}\n`);
      dead.end();
      const { disk, killed } = killingDisk(at);
      attempt(() => {}, { disk: drive(disk), processes: a.processes });
      a.end();
      expect(attempt(() => {}, { disk: drive(quick), processes: b.processes })).toBe('had it');
      expect(readdirSync(root).filter((name) => name.includes('claim'))).toEqual([]);
      for (const name of readdirSync(root)) rmSync(join(root, name));
      if (!killed()) break;
    }
  });
});

describe('who is dead', () => {
  const lockOf = (holder: object, age = 0): void => {
    writeFileSync(
      path,
      JSON.stringify({
        pid: 1,
        host: 'here',
        born: null,
        space: null,
        token: '',
        doing: 'record',
        ...holder,
      }),
    );
    const then = Date.now() / 1000 - age;
    utimesSync(path, then, then);
  };
  const outcome = (): string =>
    attempt(() => {}, { processes: computers.start().processes, patience: 5_000 });

  test('not a process whose start is unknown, nor one on another computer, unless the lock is older than an hour', () => {
    for (const holder of [{ born: null }, { host: 'elsewhere' }]) {
      lockOf(holder, 60);
      expect(outcome()).toBe('locked');
      lockOf(holder, 3_700);
      expect(outcome()).toBe('had it');
    }
  });

  test('not one whose lock lies in the future because the clock was set back', () => {
    lockOf({ host: 'elsewhere' }, -86_400);
    expect(outcome()).toBe('locked');
  });

  test('a lock that says nothing is dead when nobody wrote into it for two seconds, and not before', () => {
    writeFileSync(path, '');
    expect(attempt(() => {}, { processes: computers.start().processes, patience: 1_500 })).toBe('locked');
    expect(outcome()).toBe('had it');
  });

  test('this process is alive; the same number with another start, and a number that nobody has, are dead', () => {
    const self = systemProcesses.self();
    expect(self.host).toBe(hostname());
    if (self.born === null) {
      // No /proc here (not Linux): a number in use may be anybody.
      expect(systemProcesses.state(self)).toBe('perhaps');
    } else {
      expect(systemProcesses.state(self)).toBe('alive');
      expect(systemProcesses.state({ ...self, born: `${self.born}1` })).toBe('dead');
    }
    // Above the greatest number that Linux gives (proc(5): pid_max is at most 2^22).
    expect(systemProcesses.state({ ...self, pid: 4_194_999 })).toBe('dead');
    expect(systemProcesses.state({ ...self, host: 'elsewhere' })).toBe('elsewhere');
  });
});

test('a lock that cannot be written is trouble of the system, with its code and path, and nothing is done', () => {
  for (const code of ['EROFS', 'ENOSPC', 'EACCES', 'EDQUOT']) {
    const disk = refusingDisk((operation) => (operation === 'open' ? code : null));
    let done = false;
    expect(() =>
      withLock(
        path,
        'test',
        () => {
          done = true;
        },
        { disk },
      ),
    ).toThrow(expect.objectContaining({ code, path: expect.stringContaining(path) }));
    expect(done).toBe(false);
  }
});

test('a lock that cannot be removed does not undo what was done', () => {
  const [a, b] = [computers.start(), computers.start()];
  const disk = refusingDisk((operation, at) => (operation === 'removeFile' && at === path ? 'EBUSY' : null));
  expect(withLock(path, 'test', () => 'done', { disk, processes: a.processes })).toBe('done');
  a.end();
  expect(attempt(() => {}, { processes: b.processes })).toBe('had it');
  expect(systemDisk.list(root)).toEqual([]);
});
