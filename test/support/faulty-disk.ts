import { type Disk, type Processes, type ProcessIdentity, systemDisk } from '@bedledger/fleet';

/** Name of one operation of the disk. */
export type Operation = Exclude<keyof Disk, 'pause'>;

/** The process is gone: no clean-up of its own runs any more. */
export class Killed extends Error {}

type Before = (operation: Operation, path: string, count: number) => void;

/**
 * The computer's disk with something before each operation: it may throw, or do what another process does at that moment.
 * Pauses take no time, and nothing is flushed: nobody pulls the plug here.
 */
export function watchedDisk(before: Before): Disk {
  let count = 0;
  const disk: Record<string, unknown> = { pause: () => {} };
  for (const operation of Object.keys(systemDisk) as (keyof Disk)[]) {
    if (operation === 'pause') continue;
    const act = operation === 'flush' ? () => {} : (systemDisk[operation] as (...args: unknown[]) => unknown);
    disk[operation] = (...args: unknown[]) => {
      const first = args[0] as string | { path: string };
      before(operation, typeof first === 'string' ? first : first.path, ++count);
      return act(...args);
    };
  }
  return disk as unknown as Disk;
}

/** Kills its process at one operation; a write that is hit has half its bytes on the disk. */
export function killingDisk(at: number): { disk: Disk; killed: () => boolean } {
  let dead = false;
  const watched = watchedDisk((operation, _, count) => {
    if (count < at) return;
    const first = !dead;
    dead = true;
    if (!first || operation !== 'write') throw new Killed();
  });
  const disk: Disk = {
    ...watched,
    write: (file, bytes, offset) => {
      const half = Math.ceil((bytes.length - offset) / 2);
      watched.write(file, dead ? bytes : bytes.subarray(0, offset + half), offset);
      if (dead) throw new Killed();
      return half;
    },
  };
  return { disk, killed: () => dead };
}

/** A fault of the system, as Node throws it. */
export function systemError(code: string, operation: string, path: string): NodeJS.ErrnoException {
  return Object.assign(new Error(`${code}: ${operation} '${path}'`), { code, path });
}

/** Refuses operations with a code of the system: as `refuse` says, by name, path and how often it was refused before. */
export function refusingDisk(
  refuse: (operation: Operation, path: string, refused: number) => string | null,
): Disk {
  let refused = 0;
  return watchedDisk((operation, path) => {
    const code = refuse(operation, path, refused);
    if (code === null) return;
    refused++;
    throw systemError(code, operation, path);
  });
}

/** Processes of a test: each `self` is another one, alive until it is told dead. */
export class TestProcesses {
  readonly #dead = new Set<number>();
  #next = 1;

  start(): { processes: Processes; end: () => void } {
    const pid = this.#next++;
    const identity: ProcessIdentity = {
      pid,
      host: 'here',
      born: `start ${pid}`,
      space: null,
      token: `token-${pid}`,
    };
    const state = (of: ProcessIdentity) =>
      of.host !== 'here'
        ? 'elsewhere'
        : of.born === null
          ? 'perhaps'
          : this.#dead.has(of.pid)
            ? 'dead'
            : 'alive';
    return { processes: { self: () => identity, state }, end: () => this.#dead.add(pid) };
  }
}
