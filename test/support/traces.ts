import type { ModalState, Trace } from '@bedledger/checker';

/** Modes that a bare block needs around it: everything stated, nothing unknown. */
export const STATED: Partial<ModalState> = {
  units: 'mm',
  distance: 'absolute',
  plane: 'XY',
  feedMode: 'per-minute',
  motion: 'G1',
  workOffset: 1,
  lengthOffset: 0,
  cutterCompensation: 'off',
  cycleReturn: 'initial',
  feed: 100,
  spindle: 'off',
};

/** Motions in the notation of the published examples: T rapid, F feed, ARC end, centre, direction, height. */
export function moves(trace: Trace): (string | number)[][] {
  const list: (string | number)[][] = [];
  for (let i = 0; i < trace.length; i++) {
    const [x, y, z] = [trace.x[i]!, trace.y[i]!, trace.z[i]!];
    if (trace.kind[i] === 2)
      list.push(['ARC', x, y, trace.c1[i]!, trace.c2[i]!, Math.sign(trace.sweep[i]!), z]);
    else list.push([trace.kind[i] === 0 ? 'T' : 'F', x, y, z]);
  }
  return list;
}

/** Codes of the findings of a severity, without repeats. */
export function codes(trace: Trace, severity?: 'stop' | 'warn' | 'note'): string[] {
  return [
    ...new Set(
      trace.findings.filter((f) => severity === undefined || f.severity === severity).map((f) => f.code),
    ),
  ];
}
