import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { MACHINE, MACHINE_X, MACHINE_Y, MACHINE_Z, RAPID } from '../trace.ts';
import { type Case, RAPID_AIR, roundingOf } from './case.ts';

/** How far from home a motion may end and still count as one that goes home, mm. */
const AT_HOME = 1e-6;

/**
 * Motions written in machine coordinates. A rapid that lifts Z home, with the spindle at rest, meets nothing wherever
 * home is. Anything else is as safe as its place is known, and starts above everything that stands on the bed: a
 * controller may send X and Y home before Z.
 */
export function checkHomes(c: Case): Diagnostic[] {
  const found: Diagnostic[] = [];
  for (let i = 0; i < c.trace.length; i++) {
    if ((c.trace.flags[i]! & MACHINE) !== 0) found.push(...checkHome(c, i));
  }
  return found;
}

/**
 * Where an issued program must go home: with G53, which lifts Z from anywhere, first of all and before each change of
 * cutters; with any home word at the end. X and Y stay where the profile parks them.
 */
export function checkOwnHomes(c: Case): Diagnostic[] {
  const { trace, file } = c;
  const { home } = c.record.machine.controller;
  if (home === 'none' || trace.length === 0) return [];
  const found: Diagnostic[] = [];
  const goesHome = (i: number): boolean => i >= 0 && (trace.flags[i]! & MACHINE) !== 0;
  const missing = (line: number, message: string): void => {
    found.push(report({ code: 'program/home-missing', ...inFile(file, line), message }));
  };
  const parksElsewhere = (line: number): void => {
    const message = 'X and Y go home as well, and leave the park position';
    found.push(report({ code: 'program/park', ...inFile(file, line, 'G'), message }));
  };
  const last = trace.length - 1;
  if (!goesHome(last)) missing(trace.line[last]!, 'the program ends here and has not gone home');
  for (const { kind, line, text } of trace.events) {
    if (kind === 'home' && text !== 'G28 Z') parksElsewhere(line);
  }
  if (home !== 'G53') return found;
  if (!goesHome(0)) missing(trace.line[0]!, 'the first motion does not lift Z home');
  for (const { kind, line, at } of trace.events) {
    if (kind === 'tool' && at > 0 && !goesHome(at - 1))
      missing(line, 'M6 does not come right after Z has gone home');
  }
  for (let i = 0; i < trace.length; i++) {
    if (goesHome(i) && goesAcross(c, i)) parksElsewhere(trace.line[i]!);
  }
  return found;
}

function checkHome(c: Case, i: number): Diagnostic[] {
  const { trace, simulation } = c;
  const m = simulation.motions;
  const place = inFile(c.file, trace.line[i]!, 'G');
  if (trace.kind[i] !== RAPID || !isHome(c, i)) {
    const message = 'a motion in machine coordinates that does not go home';
    return [report({ code: 'program/machine-coordinates', ...place, message })];
  }
  const found: Diagnostic[] = [];
  if (trace.rpm[i] !== 0) {
    const message = `the spindle turns at ${Math.abs(trace.rpm[i]!)} rpm while the machine goes home`;
    found.push(report({ code: 'program/home-turning', ...place, message }));
  }
  if (!goesAcross(c, i)) return found;
  const { units, controller } = c.record.machine;
  const needed = c.scene.highest + RAPID_AIR;
  if (m.fromZ(i) >= needed - roundingOf(controller)) return found;
  const from = Number.isNaN(m.fromZ(i))
    ? 'a height that is not known'
    : `Z ${exactLength(m.fromZ(i), units)}`;
  const message = `X and Y go home from ${from}, everything on the bed is passed at ${exactLength(needed, units)}`;
  return [...found, report({ code: 'program/home-low', ...place, message })];
}

/** Does the motion end at home in every axis that it moves? Where nobody knows home, at machine zero. */
function isHome(c: Case, i: number): boolean {
  const { trace, record } = c;
  const m = c.simulation.motions;
  const flags = trace.flags[i]!;
  const { home } = record.machine;
  const axes = [
    [MACHINE_X, trace.x[i]!, m.fromX(i), m.toX(i), home?.at?.[0]],
    [MACHINE_Y, trace.y[i]!, m.fromY(i), m.toY(i), home?.at?.[1]],
    [MACHINE_Z, trace.z[i]!, m.fromZ(i), m.toZ(i), home?.z],
  ] as const;
  return axes.every(([bit, written, from, to, at]) => {
    if ((flags & bit) !== 0) return written === 0 || Number.isNaN(written);
    if (to === from || (Number.isNaN(to) && Number.isNaN(from))) return true;
    return at !== undefined && Math.abs(to - at) <= AT_HOME;
  });
}

function goesAcross(c: Case, i: number): boolean {
  const m = c.simulation.motions;
  const flags = c.trace.flags[i]!;
  if ((flags & (MACHINE_X | MACHINE_Y)) !== 0) return true;
  const moves = (from: number, to: number): boolean =>
    from !== to && !(Number.isNaN(from) && Number.isNaN(to));
  return moves(m.fromX(i), m.toX(i)) || moves(m.fromY(i), m.toY(i));
}
