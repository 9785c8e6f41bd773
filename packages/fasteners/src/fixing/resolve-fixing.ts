import type { Diagnostic } from '@bedledger/diagnostics';
import { catalogue, provenanceOf } from '../catalogue/catalogue.ts';
import { parseSize, THREAD_DESIGNATIONS, type WrittenSize } from '../catalogue/size.ts';
import { mustFigure } from '../catalogue/table.ts';
import type { Dimension, Fixing, Thread } from '../model.ts';
import { FixingFindings, type ResolveOptions } from './findings.ts';
import { resolveInsert } from './resolve-insert.ts';
import { resolveScrew } from './resolve-screw.ts';
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
 * Lengths are millimetres; `options` say how findings are written. Never throws for what people may write: `fixing` is
 * null after any stop. Every finding carries `facts.path`, the key inside the entry.
 */
export function resolveFixing(
  id: string,
  written: FixingWritten,
  options: ResolveOptions = {},
): { readonly fixing: Fixing | null; readonly diagnostics: readonly Diagnostic[] } {
  const findings = new FixingFindings(id, options);
  const fixing = resolveParts(id, written, findings);
  return { fixing: findings.stopped ? null : (fixing ?? null), diagnostics: findings.diagnostics };
}

/** Each part is looked at even when another is wrong, so that one run tells everything. Undefined after a stop. */
function resolveParts(id: string, written: FixingWritten, findings: FixingFindings): Fixing | undefined {
  const threaded = threadOf(written, findings);
  if (threaded === undefined) return undefined;
  const size = threaded.size.size;
  const hole = clearanceHole(size, written.clearance ?? 'medium');
  const close = clearanceHole(size, 'close');
  if (hole === undefined || close === undefined) {
    findings.add({
      code: 'fixing/clearance',
      path: 'clearance',
      message: `no clearance hole is published for ${size}`,
      facts: { size },
    });
    return undefined;
  }
  const screw = resolveScrew(written.screw, threaded, findings);
  const insert = resolveInsert(id, written.insert, threaded, findings);
  if (screw === undefined) return undefined;
  const washer = resolveWasher(written.washer, { screw, size, hole: hole.value }, findings);
  const socket = resolveSocket(written.socket, screw, findings);
  if (insert === undefined || washer === undefined || socket === undefined) return undefined;
  return {
    id,
    title: written.title,
    screw,
    insert,
    ...(washer !== null && { washer }),
    socket,
    clearanceHole: hole,
    closeHole: close,
  };
}

/** Thread and size that the entry names. Undefined after a finding. */
function threadOf(
  written: FixingWritten,
  findings: FixingFindings,
): { readonly thread: Thread; readonly size: WrittenSize } | undefined {
  const size = parseSize(written.thread);
  const thread = size?.thread == null ? undefined : catalogue().threads.get(size.thread);
  if (size !== null && thread !== undefined) return { thread, size };
  const expected = THREAD_DESIGNATIONS.join(', ');
  findings.add({
    code: 'fixing/thread-unknown',
    path: 'thread',
    message: `thread "${written.thread}" ${size === null ? 'is not in the catalogue' : 'leaves the pitch open'}`,
    facts: { thread: written.thread, expected },
    help: `use one of ${expected}`,
  });
  return undefined;
}
