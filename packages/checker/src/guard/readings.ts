import type { Machine } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import { homeInProgram } from '../programs/case.ts';
import { readProgram } from '../reader/index.ts';
import { CYCLE, type Trace } from '../trace.ts';

/** One way in which a job can be read. */
export interface Reading {
  readonly trace: Trace;
  /** Which way, for the findings; empty for the first. */
  readonly label: string;
}

/** Motions of one reading that are followed. A job of a million blocks is within it. */
const MOST_MOTIONS = 1_200_000;

/**
 * Visits every reading of a job: both positions of the block delete switch where blocks have its mark, and, where the
 * standard leaves open what drilling cycles do, both ways. One trace at a time is in memory.
 *
 * @param zeroHeight height of the job's Z 0 above the bed, mm
 */
export function forEachReading(
  { text, path }: ProgramFile,
  machine: Machine,
  zeroHeight: number,
  visit: (reading: Reading) => void,
): void {
  const bytes = new TextEncoder().encode(text);
  const home = homeInProgram(machine, zeroHeight);
  const read = (blockDelete: boolean, cycles: 'block' | 'chain'): Trace =>
    readProgram(bytes, path, machine.controller, {
      strict: false,
      comments: 'any',
      blockDelete,
      cycles,
      mostMotions: MOST_MOTIONS,
      ...(home && { home }),
    });
  const bothWays = (blockDelete: boolean, label: string): boolean => {
    const trace = read(blockDelete, 'block');
    visit({ trace, label });
    if (trace.flags.some((flags) => (flags & CYCLE) !== 0)) {
      const other = read(blockDelete, 'chain');
      const way = `${label === '' ? '' : `${label}, `}cycles read the other way`;
      if (!samePath(trace, other)) visit({ trace: other, label: way });
    }
    return trace.deletable > 0;
  };
  if (bothWays(false, '')) bothWays(true, 'with block delete on');
}

function samePath(a: Trace, b: Trace): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) {
    if (!(Object.is(a.z[i], b.z[i]) && Object.is(a.x[i], b.x[i]) && Object.is(a.y[i], b.y[i]))) return false;
  }
  return true;
}
