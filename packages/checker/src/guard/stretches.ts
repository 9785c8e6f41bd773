import type { ToolStretch } from '../programs/tools.ts';
import type { Trace } from '../trace.ts';
import { MACHINE_X, MACHINE_Y, MACHINE_Z } from '../trace.ts';

/**
 * One stretch of a trace as a trace of its own. It begins where the stretch before it ended; the tool change between
 * two stretches, and what happens after it, belongs to the later one.
 */
export function traceOf(trace: Trace, { from, to }: ToolStretch): Trace {
  if (from === 0 && to === trace.length) return trace;
  const last = to === trace.length;
  const begins = from === 0 ? 0 : changeAt(trace, from);
  const ends = last ? trace.events.length : changeAt(trace, to);
  const events = trace.events.slice(begins, ends).map((event) => ({ ...event, at: event.at - from }));
  const cut = <T extends { subarray(from: number, to: number): T }>(column: T): T =>
    column.subarray(from, to);
  return {
    ...trace,
    length: to - from,
    kind: cut(trace.kind),
    line: cut(trace.line),
    x: cut(trace.x),
    y: cut(trace.y),
    z: cut(trace.z),
    c1: cut(trace.c1),
    c2: cut(trace.c2),
    sweep: cut(trace.sweep),
    plane: cut(trace.plane),
    feed: cut(trace.feed),
    rpm: cut(trace.rpm),
    tool: cut(trace.tool),
    lengthOffset: cut(trace.lengthOffset),
    workOffset: cut(trace.workOffset),
    flags: cut(trace.flags),
    start: from === 0 ? trace.start : endOf(trace, from - 1),
    events,
  };
}

/** Index of the tool change before motion `i`, among the events. */
function changeAt({ events }: Trace, i: number): number {
  let at = events.findIndex((event) => event.at === i && event.kind === 'tool');
  if (at < 0) at = events.findIndex((event) => event.at >= i);
  return at < 0 ? events.length : at;
}

/** Where motion `i` ends; unknown in the axes that it moves in machine coordinates. */
function endOf(trace: Trace, i: number): [number, number, number] {
  const flags = trace.flags[i]!;
  return [
    (flags & MACHINE_X) === 0 ? trace.x[i]! : Number.NaN,
    (flags & MACHINE_Y) === 0 ? trace.y[i]! : Number.NaN,
    (flags & MACHINE_Z) === 0 ? trace.z[i]! : Number.NaN,
  ];
}
