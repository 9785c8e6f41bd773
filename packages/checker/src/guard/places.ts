import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import { type Case, RAPID_AIR } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { Scene } from '../scene/scene.ts';
import { isPlaced } from '../simulation/motions.ts';
import { MACHINE, MACHINE_X, MACHINE_Y, MACHINE_Z, RAPID, type Trace } from '../trace.ts';

/** Height above the bed at which a cutter of unknown place is clear of everything: material, screw heads, clamps, the tool setter. */
function clearOfAll(scene: Scene): number {
  return Math.max(scene.highest, scene.surface.highest) + RAPID_AIR;
}

/**
 * Where nobody knows home: the trace with every lift of Z home at rest ending at the top of the travel, so that what
 * comes down from there is followed. It is the one motion in machine coordinates of which everybody knows where it leads.
 *
 * @param zeroHeight height of the program's Z 0 above the bed, mm
 */
export function withHomeLifts(trace: Trace, record: MachineRecord, zeroHeight: number): Trace {
  if (!trace.flags.some((flags) => (flags & MACHINE) !== 0)) return trace;
  const { flags, z } = trace;
  const top = record.machine.travel.z[1] - zeroHeight;
  const lifted = { flags: flags.slice(), z: z.slice() };
  let height = false;
  for (let i = 0; i < trace.length; i++) {
    if (isHomeLift(trace, i)) {
      lifted.flags[i] = 0;
      height = true;
    } else if (!(Number.isNaN(z[i]!) && (flags[i]! & MACHINE) === 0)) height = false;
    if (height) lifted.z[i] = top;
  }
  return { ...trace, ...lifted };
}

/** Z alone, by a rapid, with the spindle at rest, to machine zero or to the place that G28 keeps. */
function isHomeLift(trace: Trace, i: number): boolean {
  const flags = trace.flags[i]!;
  const zAlone = (flags & MACHINE_Z) !== 0 && (flags & (MACHINE_X | MACHINE_Y)) === 0;
  const z = trace.z[i]!;
  return zAlone && trace.kind[i] === RAPID && trace.rpm[i] === 0 && (z === 0 || Number.isNaN(z));
}

/**
 * Motions in machine coordinates whose place nobody knows, whatever they are called: machine zero and the second home are
 * set by whoever set the machine up. Only a lift of Z, and the way home of a profile that has one, from above everything,
 * are known to meet nothing.
 */
export function checkMachinePlaces(c: Case): Diagnostic[] {
  const { trace, file, record } = c;
  const m = c.simulation.motions;
  const clear = clearOfAll(c.scene);
  const g28 = new Set(trace.events.filter((e) => e.kind === 'home' && e.value === 28).map((e) => e.at - 1));
  const goesHome = record.machine.controller.home === 'G28';
  for (let i = 0; i < trace.length; i++) {
    if ((trace.flags[i]! & (MACHINE_X | MACHINE_Y | MACHINE_Z)) === 0 || isHomeLift(trace, i)) continue;
    if (goesHome && g28.has(i) && m.fromZ(i) >= clear) continue;
    const message = 'this motion runs in machine coordinates, whose place on the bed is not known';
    const place = inFile(file, trace.line[i]!, 'G');
    return [report({ code: 'program/machine-coordinates', ...place, message })];
  }
  return [];
}

/** Motions from or to places that nobody can know. The first of each kind. */
export function checkJobPlaces(c: Case): Diagnostic[] {
  return [...checkWorkOffset(c), ...checkUnplaced(c)];
}

/** Does the motion run in another work offset than the machine's datum? */
function inOtherOffset({ record, trace }: Case, i: number): boolean {
  const { controller, datum } = record.machine;
  const offset = trace.workOffset[i]!;
  if (controller.workOffset === 'none' || (trace.flags[i]! & MACHINE) !== 0) return false;
  // where none is stated, the end of a program before has put the first one in force (NGC 3.6.1)
  const first = offset === 0 && controller.dialect === 'rs274ngc';
  return (first ? 1 : offset) !== datum.workOffset;
}

function checkWorkOffset(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { trace } = c;
  for (let i = 0; i < trace.length; i++) {
    if (!inOtherOffset(c, i)) continue;
    const offset = trace.workOffset[i]!;
    const where = offset === 0 ? 'before any work offset is stated' : `in work offset ${offset}`;
    const message = `this motion is ${where}, the datum of the machine is offset ${machine.datum.workOffset}`;
    return [report({ code: 'program/work-offset', ...inFile(c.file, trace.line[i]!, 'G'), message })];
  }
  return [];
}

/** Rapids that lift above everything, or cross there, are a normal start; nothing else may come from nowhere. */
function checkUnplaced(c: Case): Diagnostic[] {
  const { trace } = c;
  const m = c.simulation.motions;
  const clear = clearOfAll(c.scene);
  for (let i = 0; i < m.length; i++) {
    if ((trace.flags[i]! & MACHINE) !== 0 || isPlaced(m, i) || inOtherOffset(c, i)) continue;
    const across = !same(m.fromX(i), m.toX(i)) || !same(m.fromY(i), m.toY(i));
    const high = m.toZ(i) >= clear && (m.fromZ(i) >= clear || (Number.isNaN(m.fromZ(i)) && !across));
    if (trace.kind[i] === RAPID && high) continue;
    const { units } = c.record.machine;
    const message = Number.isNaN(m.fromZ(i))
      ? `this motion begins at a height that the job has not given; a rapid of Z alone to at least ${exactLength(clear, units)} above the bed would`
      : 'this motion begins or ends at a place that the job has not given';
    return [report({ code: 'program/unknown-place', ...inFile(c.file, trace.line[i]!), message })];
  }
  return [];
}

function same(a: number, b: number): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

/** Offsets that the job rewrites, restores from a program before, or leaves in force for the next one. */
export function checkOffsets(file: ProgramFile, trace: Trace): Diagnostic[] {
  const found: Diagnostic[] = [];
  const origin = trace.events.find((e) => e.kind === 'origin');
  if (origin) {
    const message = `G10 rewrites work offset ${origin.value}`;
    found.push(report({ code: 'guard/origin-rewritten', ...inFile(file, origin.line, 'G'), message }));
  }
  const words = trace.events.filter((e) => e.kind === 'axis-offset');
  const [first] = words;
  const last = words.at(-1);
  if (first === undefined || last === undefined) return found;
  if (first.text === 'G92.3') {
    const message = 'G92.3 brings back an axis offset that another program has left';
    found.push(report({ code: 'guard/offset-unknown', ...inFile(file, first.line, 'G'), message }));
  }
  if (last.text === 'G92' || last.text === 'G92.3') {
    const message = `the job ends with the axis offset of this ${last.text} in force`;
    found.push(report({ code: 'guard/offset-left', ...inFile(file, last.line, 'G'), message }));
  }
  return found;
}
