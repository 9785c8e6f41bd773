import type { Diagnostic, Severity } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import type { ProgramEvent } from '../trace.ts';
import type { Case } from './case.ts';

/** Codes of outputs that the standards name: mist, coolant, both off; overrides freed and locked. */
const MIST = 7;
const COOLANT = 8;
const COOLANT_OFF = 9;
const OVERRIDES_FREED = 48;
const OVERRIDES_LOCKED = 49;

/** Outputs of any program, whoever wrote it: only what the profile declares, and the vacuum on until the last cut. */
export function checkOutputs(c: Case, from: 'issued' | 'elsewhere'): Diagnostic[] {
  const foreign = from === 'elsewhere';
  const found: Diagnostic[] = [];
  for (const event of c.trace.events) {
    if (event.kind !== 'auxiliary') continue;
    const add = (code: CheckerCode, message: string, severity?: Severity): void => {
      const place = inFile(c.file, event.line, 'M');
      found.push(report({ code, ...place, message, ...(foreign && severity ? { severity } : {}) }));
    };
    switch (declared(event) ? null : event.value) {
      case null:
        break;
      case MIST:
        add('output/coolant', 'M7 switches mist on');
        break;
      case COOLANT:
        add('output/coolant', 'M8 switches coolant on');
        break;
      case COOLANT_OFF:
        add('output/undeclared', 'M9 switches off what the profile does not declare', 'note');
        break;
      case OVERRIDES_FREED:
        add('output/overrides-freed', 'M48 frees the overrides of feed and speed', 'note');
        break;
      case OVERRIDES_LOCKED:
        add('output/overrides-locked', 'M49 locks the overrides of feed and speed', 'warn');
        break;
      default:
        add('output/undeclared', `M${event.value} switches what the profile does not declare`);
    }
  }
  return [...found, ...checkVacuum(c)];
}

/** The reader names an output of the profile, and gives the code of any other. */
function declared(event: ProgramEvent): boolean {
  return !/^M\d+$/.test(event.text);
}

/** The vacuum is not switched off while the tip is in the material, nor before a later cut. */
function checkVacuum(c: Case): Diagnostic[] {
  const { trace, simulation } = c;
  const { inside, removed, motions: m } = simulation;
  const cuts = (i: number): boolean => inside[i] === 1 || removed[i]! > 0.005;
  let last = m.length - 1;
  while (last >= 0 && !cuts(last)) last--;
  const events = trace.events.filter(
    ({ kind, text }) => kind === 'auxiliary' && /^vacuum (on|off)$/.test(text),
  );
  for (const [k, event] of events.entries()) {
    if (event.text !== 'vacuum off') continue;
    const on = events.slice(k + 1).find(({ text }) => text === 'vacuum on')?.at ?? m.length;
    const inCut = event.at > 0 && inside[event.at - 1] === 1 && m.toZ(event.at - 1) < c.scene.surface.highest;
    let later = false;
    for (let i = event.at; i < on && !later; i++) later = cuts(i);
    if (!inCut && !later) continue;
    const message = inCut
      ? 'the vacuum goes off with the cutter in the material'
      : `the vacuum goes off here, and line ${trace.line[last]} still cuts`;
    return [report({ code: 'output/vacuum-dropped', ...inFile(c.file, event.line, 'M'), message })];
  }
  return [];
}

/** Where the controller has an extraction, it runs whenever something is cut, and is off at the end. */
export function checkExtraction(c: Case): Diagnostic[] {
  const { controller } = c.record.machine;
  if (!Object.hasOwn(controller.auxiliary, 'extraction')) return [];
  const { trace, simulation } = c;
  const found: Diagnostic[] = [];
  let on = false;
  let at = 0;
  let reported = false;
  const follow = (before: number): void => {
    while (at < trace.events.length && trace.events[at]!.at <= before) {
      const e = trace.events[at++]!;
      if (e.kind === 'auxiliary' && e.text.startsWith('extraction ')) on = e.text === 'extraction on';
    }
  };
  for (let i = 0; i < trace.length; i++) {
    follow(i);
    if (!on && !reported && simulation.removed[i]! > 0.005) {
      reported = true;
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
