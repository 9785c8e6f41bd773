import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import type { ReadOptions } from '../reader/options.ts';
import { readProgram } from '../reader/read-program.ts';
import { inFile, report } from '../report.ts';
import type { ModalState, Trace } from '../trace.ts';

/** What the most unfriendly program could leave in force, as far as this controller has words for it. */
function unfriendly(record: MachineRecord): Partial<ModalState> {
  const { controller } = record.machine;
  return {
    ...(controller.unitsWord === 'none' ? {} : { units: controller.units === 'mm' ? 'in' : 'mm' }),
    distance: controller.distance === 'absolute' ? 'incremental' : 'absolute',
    ...(controller.plane === 'G17' ? { plane: 'XZ' } : {}),
    ...(controller.feed.mode === 'G94' ? { feedMode: 'inverse' } : {}),
    ...(controller.workOffset === 'none'
      ? {}
      : { workOffset: record.machine.datum.workOffset === 1 ? 2 : 1 }),
    ...(controller.cycles.use === 'G81-G83' && controller.cycles.return === 'G98/G99'
      ? { cycleReturn: 'r-plane' }
      : {}),
    motion: 'G1',
    feed: 7,
    speed: 123,
    spindle: 'off',
  };
}

/** The program read again, with the options it was read with, after an unfriendly one must be the same motions. */
export function checkLeak(
  record: MachineRecord,
  file: ProgramFile,
  plain: Trace,
  options: ReadOptions,
): Diagnostic[] {
  const again = readProgram(file.text, file.path, record.machine.controller, {
    ...options,
    initial: unfriendly(record),
  });
  const differs = firstDifference(plain, again);
  if (differs === null) return [];
  return [
    report({
      code: 'sequence/leak',
      ...inFile(file, plain.line[Math.min(differs, Math.max(0, plain.length - 1))]),
      message:
        'this motion changes when the program before left other units, distances, plane, feed or offset in force',
    }),
  ];
}

function same(a: number, b: number): boolean {
  return Object.is(a, b) || a === b || Math.abs(a - b) < 1e-9;
}

/** Index of the first motion in which two traces differ, or null. */
function firstDifference(a: Trace, b: Trace): number | null {
  const n = Math.min(a.length, b.length);
  for (let i = 0; i < n; i++) {
    if (
      a.kind[i] !== b.kind[i] ||
      !same(a.x[i]!, b.x[i]!) ||
      !same(a.y[i]!, b.y[i]!) ||
      !same(a.z[i]!, b.z[i]!) ||
      !same(a.sweep[i]!, b.sweep[i]!) ||
      a.plane[i] !== b.plane[i] ||
      (a.kind[i] !== 0 && !same(a.feed[i]!, b.feed[i]!)) ||
      !same(a.rpm[i]!, b.rpm[i]!) ||
      a.workOffset[i] !== b.workOffset[i]
    ) {
      return i;
    }
  }
  return a.length === b.length ? null : n;
}
