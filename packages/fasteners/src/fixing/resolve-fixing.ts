import type { Diagnostic } from '@bedledger/diagnostics';
import { catalogue } from '../catalogue/catalogue.ts';
import { parseSize, THREAD_DESIGNATIONS } from '../catalogue/size.ts';
import { mustFigure } from '../catalogue/table.ts';
import type { Dimension, Fixing } from '../model.ts';
import { FixingReport } from './report.ts';
import { resolveInsert } from './resolve-insert.ts';
import { provenanceOf, resolveScrew } from './resolve-screw.ts';
import { resolveSocket } from './resolve-socket.ts';
import { resolveWasher } from './resolve-washer.ts';
import type { ClearanceSeries, FixingWritten } from './written.ts';

/** Smallest clearance hole of a size by its standard, mm; undefined when the size is unknown. */
export function clearanceHole(size: string, series: ClearanceSeries): Dimension | undefined {
  const found = catalogue().row(size.startsWith('M') ? 'iso-273' : 'asme-b18.2.8', size);
  if (found === undefined) return undefined;
  return { value: mustFigure(found.table, found.row, series), uncertainty: 0, from: provenanceOf(found) };
}

/**
 * Resolves a written fixing against the catalogue and cross-checks it: thread of screw and insert agree, the tool
 * fits the head, the washer suits head and hole, measured dimensions replace published ones with their uncertainty.
 * Lengths are millimetres. Never throws for what people may write: `fixing` is null after any stop, and every
 * diagnostic carries `facts.path`, the key inside the entry, for whoever knows the file's lines.
 */
export function resolveFixing(
  id: string,
  written: FixingWritten,
): { readonly fixing: Fixing | null; readonly diagnostics: readonly Diagnostic[] } {
  const report = new FixingReport(id);
  const fixing = resolve(id, written, report);
  return { fixing: report.stopped ? null : (fixing ?? null), diagnostics: report.diagnostics };
}

function resolve(id: string, written: FixingWritten, report: FixingReport): Fixing | undefined {
  const size = parseSize(written.thread);
  const thread = size?.thread == null ? undefined : catalogue().threads.get(size.thread);
  if (size === null || thread === undefined) {
    const open = size !== null;
    report.add(
      'stop',
      'thread-unknown',
      'thread',
      open
        ? `thread "${written.thread}" leaves the pitch open`
        : `thread "${written.thread}" is not in the catalogue`,
      { thread: written.thread, expected: THREAD_DESIGNATIONS.join(', ') },
      `use one of ${THREAD_DESIGNATIONS.join(', ')}`,
    );
    return undefined;
  }
  const series = written.clearance ?? 'medium';
  const hole = clearanceHole(size.size, series);
  if (hole === undefined) {
    report.add('stop', 'clearance', 'clearance', `no clearance hole is published for ${size.size}`, {
      size: size.size,
    });
    return undefined;
  }
  // each part is looked at even when another is wrong, so that one run tells everything
  const screw = resolveScrew(written.screw, thread, size, report);
  const insert = resolveInsert(id, written.insert, thread, size, report);
  if (screw === undefined) return undefined;
  const washer = resolveWasher(written.washer, screw, size, hole.value, report);
  const socket = resolveSocket(written.socket, screw, report);
  if (insert === undefined || washer === undefined || socket === undefined) return undefined;
  return {
    id,
    title: written.title,
    screw,
    insert,
    ...(washer !== null && { washer }),
    socket,
    clearanceHole: hole,
  };
}
