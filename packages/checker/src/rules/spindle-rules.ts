import type { Diagnostic } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { RAPID } from '../trace.ts';
import type { Case } from './case.ts';
import { mm } from './finding.ts';
import type { CheckerCode } from './table.ts';

/** Longest dwell that anything here needs, as a multiple of the spin-up time and in seconds at least. */
const LONGEST_DWELL = { spinUps: 3, seconds: 60 };

/** Spindle on, the right way, at an allowed speed, up to speed before contact, off before anyone comes near. */
export function checkSpindle(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { controller, spindle } = machine;
  const { trace, simulation } = c;
  const { inside, removed, motions: m } = simulation;
  const found: Diagnostic[] = [];
  const byHand = controller.spindle.start === 'manual';
  const speedKnown = controller.spindle.speed === 'rpm';
  const add = (
    id: CheckerCode,
    line: number,
    word: string,
    message: string,
    facts: Record<string, number> = {},
  ): void => {
    found.push(report({ code: id, ...inFile(c.file, line, word), message, facts }));
  };

  let on = false;
  let firstSpeed: number | null = null;
  let waited = 0;
  let stoppedOnce = false;
  let contactSinceStart = false;
  let event = 0;
  let lastOnLine = 0;
  const told = new Set<string>();
  const once = (id: string): boolean => {
    if (told.has(id)) return false;
    told.add(id);
    return true;
  };
  const runEvents = (before: number): void => {
    while (event < trace.events.length && trace.events[event]!.at <= before) {
      const e = trace.events[event++]!;
      const inMaterial = e.at > 0 && inside[e.at - 1] === 1 && m.toZ(e.at - 1) < c.scene.surface.highest;
      if (e.kind === 'spindle') {
        if (e.value !== 0 && (!on || e.text !== 'S')) {
          // a start that is repeated begins the wait anew: the program may be taken up again there
          on = true;
          waited = 0;
          contactSinceStart = false;
          lastOnLine = e.line;
        } else if (e.value === 0) {
          if (on && inMaterial && once('program/spindle-stops-in-cut')) {
            add(
              'program/spindle-stops-in-cut',
              e.line,
              'M',
              `the spindle stops while the tip is at Z ${mm(m.toZ(e.at - 1))}, in the material`,
            );
          }
          on = false;
        }
      } else if (e.kind === 'dwell') {
        if (on) waited += e.value;
        const longest = Math.max(LONGEST_DWELL.seconds, LONGEST_DWELL.spinUps * spindle.spinUp);
        if (e.value > longest) {
          add(
            'program/dwell',
            e.line,
            'G',
            `a dwell of ${e.value} s, no more than ${longest} s can be meant`,
            {
              found: e.value,
              allowed: longest,
            },
          );
        }
        if (inMaterial && once('program/dwell-in-cut')) {
          add('program/dwell-in-cut', e.line, 'G', `a dwell of ${e.value} s with the tip in the material`);
        }
      } else if (e.kind === 'stop' || e.kind === 'optional-stop') {
        stoppedOnce = true;
        if (on && once('stop')) {
          add(
            'program/spindle-left-on',
            e.line,
            'M',
            'the program stops for the operator while the spindle turns',
          );
        }
      } else if (e.kind === 'end' && on) {
        add(
          'program/spindle-left-on',
          e.line,
          'M',
          'the program ends without having switched the spindle off in a block of its own',
        );
      }
    }
  };

  for (let i = 0; i < m.length; i++) {
    runEvents(i);
    const rpm = trace.rpm[i]!;
    const touches = removed[i]! > 0.005 || inside[i] === 1;
    if (rpm < 0 && once('program/spindle-reverse')) {
      add(
        'program/spindle-reverse',
        trace.line[i]!,
        'M',
        `the spindle turns counter-clockwise at ${-rpm} rpm`,
      );
    }
    if (rpm > 0 && speedKnown) {
      const most = Math.min(spindle.rpm[1], c.cutter?.maxRpm ?? Infinity);
      if ((rpm < spindle.rpm[0] - 0.5 || rpm > most + 0.5) && once('program/spindle-speed')) {
        add(
          'program/spindle-speed',
          trace.line[i]!,
          'S',
          `the spindle turns at ${rpm} rpm, allowed are ${spindle.rpm[0]} to ${most} rpm`,
          { found: rpm, least: spindle.rpm[0], most },
        );
      }
      const cap = c.cutter && c.cutter.maxRpm === null ? rimCap(c.cutter.diameter) : Infinity;
      if (rpm > cap + 0.5 && once('program/rim-speed')) {
        add(
          'program/rim-speed',
          trace.line[i]!,
          'S',
          `the spindle turns at ${rpm} rpm, a cutter of ${mm(c.cutter!.diameter)} without a marked maximum is held to ${cap}`,
          { found: rpm, allowed: cap },
        );
      }
      firstSpeed ??= rpm;
      if (rpm !== firstSpeed && once('program/spindle-changed')) {
        add(
          'program/spindle-changed',
          trace.line[i]!,
          'S',
          `the speed changes from ${firstSpeed} to ${rpm} rpm`,
          {
            found: rpm,
            before: firstSpeed,
          },
        );
      }
    }
    if (!touches) continue;
    if (byHand) {
      if (!stoppedOnce && once('program/spindle-off')) {
        add(
          'program/spindle-off',
          trace.line[i]!,
          'Z',
          'the cutter enters material, and no stop before it lets the operator start the spindle',
        );
      }
      continue;
    }
    const turning = speedKnown ? rpm !== 0 : on;
    if (!turning) {
      if (once('program/spindle-off')) {
        add(
          'program/spindle-off',
          trace.line[i]!,
          'Z',
          'the cutter enters material while the spindle stands still',
        );
      }
      continue;
    }
    if (!contactSinceStart) {
      contactSinceStart = true;
      const needed = controller.spindle.start === 'dwell' ? spindle.spinUp : 0;
      if (waited < needed - 0.011) {
        add(
          'program/spin-up',
          trace.line[i]!,
          'Z',
          `the first contact comes ${waited} s after the spindle start in line ${lastOnLine}, spin-up takes ${needed} s`,
          { found: waited, needed },
        );
      }
    }
  }
  runEvents(Number.MAX_SAFE_INTEGER);
  if (!trace.events.some((e) => e.kind === 'end') && on) {
    found.push(
      report({
        code: 'program/spindle-left-on',
        ...inFile(c.file),
        message: 'the text ends while the spindle turns',
      }),
    );
  }
  return found;
}

/** Greatest speed for a cutter of that diameter, rpm; 12 000 beyond the chart's end as well. Published chart by inches. */
function rimCap(diameter: number): number {
  const inches = diameter / 25.4;
  if (inches <= 1) return 24000;
  if (inches <= 1.25) return 18000;
  return inches <= 2.25 ? 16000 : 12000;
}

/** Programs that only visit: spindle at rest, never below the clear height. */
export function checkVisiting(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { trace } = c;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  // Up is allowed before: home and clear height may be two motions of Z alone.
  let lifts = 0;
  while (
    lifts < m.length &&
    trace.kind[lifts] === RAPID &&
    Number.isNaN(m.toX(lifts)) &&
    Number.isNaN(m.toY(lifts))
  )
    lifts++;
  const rests = trace.events.some((e) => e.kind === 'spindle' && e.value === 0 && e.at <= lifts);
  if (!rests && machine.controller.spindle.start !== 'manual') {
    found.push(
      report({
        code: 'program/spindle-must-rest',
        ...inFile(c.file, trace.line[0]),
        message: 'the program does not switch the spindle off before it moves across',
      }),
    );
  }
  const turning = trace.events.find((e) => e.kind === 'spindle' && e.value !== 0);
  const rpmAt = trace.rpm.findIndex((rpm) => rpm !== 0);
  if (turning || rpmAt >= 0) {
    found.push(
      report({
        code: 'program/spindle-must-rest',
        ...inFile(c.file, turning?.line ?? trace.line[rpmAt]!, 'M'),
        message: 'the spindle is started in a program that must run with it off',
      }),
    );
  }
  for (let i = 0; i < m.length; i++) {
    if (m.toZ(i) < machine.clearHeight - 1e-3 - 1e-6) {
      found.push(
        report({
          code: 'program/below-clear',
          ...inFile(c.file, trace.line[i]!, 'Z'),
          message: `Z goes to ${mm(m.toZ(i))} above the bed, the clear height is ${mm(machine.clearHeight)}`,
          facts: { found: m.toZ(i), allowed: machine.clearHeight },
        }),
      );
      break;
    }
  }
  return found;
}

/** In issued programs a dwell belongs to the spindle start right before it, and speed, start and dwell stand together. */
export function checkRestarts(c: Case): Diagnostic[] {
  const { trace } = c;
  const found: Diagnostic[] = [];
  let startAt = -1;
  let waited = 0;
  for (const e of trace.events) {
    if (e.kind === 'spindle' && e.value !== 0 && e.text !== 'S') {
      startAt = e.at;
      waited = 0;
    }
    if (e.kind === 'dwell') {
      waited += e.value;
      if (waited > 1.5 * c.record.machine.spindle.spinUp + 1) {
        found.push(
          report({
            code: 'work/restart',
            ...inFile(c.file, e.line, 'G'),
            message: `${waited} s of dwell after one spindle start, spin-up takes ${c.record.machine.spindle.spinUp} s`,
          }),
        );
      }
    }
    if (e.kind === 'dwell' && (trace.flags[e.at] ?? 0) === 0 && startAt !== e.at) {
      found.push(
        report({
          code: 'work/restart',
          ...inFile(c.file, e.line, 'G'),
          message: `a dwell of ${e.value} s without a spindle start before it`,
        }),
      );
    }
  }
  return found;
}

/** Where the controller has an extraction, it runs whenever something is cut, and is off at the end. */
export function checkExtraction(c: Case): Diagnostic[] {
  const { controller } = c.record.machine;
  if (!Object.hasOwn(controller.auxiliary, 'extraction')) return [];
  const { trace, simulation } = c;
  const found: Diagnostic[] = [];
  let on = false;
  let at = 0;
  let told = false;
  const follow = (before: number): void => {
    while (at < trace.events.length && trace.events[at]!.at <= before) {
      const e = trace.events[at++]!;
      if (e.kind === 'auxiliary' && e.text.startsWith('extraction ')) on = e.text === 'extraction on';
    }
  };
  for (let i = 0; i < trace.length; i++) {
    follow(i);
    if (!on && !told && simulation.removed[i]! > 0.005) {
      told = true;
      found.push(
        report({
          code: 'work/extraction',
          ...inFile(c.file, trace.line[i]!),
          message: 'this motion cuts while the extraction is off',
        }),
      );
    }
  }
  follow(Number.MAX_SAFE_INTEGER);
  if (on) {
    found.push(
      report({
        code: 'work/extraction',
        ...inFile(c.file),
        message: 'the program ends with the extraction running',
      }),
    );
  }
  return found;
}
