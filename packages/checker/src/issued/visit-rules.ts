import { type Diagnostic, exactPlace } from '@bedledger/diagnostics';
import { type Case, gridStep } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { RAPID } from '../trace.ts';
import { isNamed, labelAt } from './labels.ts';
import type { Place } from './operation-view.ts';

interface Stop {
  readonly x: number;
  readonly y: number;
  readonly line: number;
}

/** Stops of a visiting program, M0 alone: where the machine stands at each, in order. M1 and M60 may not stop it. */
function stopsOf(c: Case): Stop[] {
  const m = c.simulation.motions;
  return c.trace.events
    .filter((e) => e.kind === 'stop' && e.value === 0 && e.at > 0)
    .map((e) => ({ x: m.toX(e.at - 1), y: m.toY(e.at - 1), line: e.line }));
}

/**
 * Every place once, each stop above one of them, and nothing but rapids.
 * @param complete the program is the whole of its operation, so that it must visit every place
 */
export function checkVisits(
  c: Case,
  places: readonly Place[],
  complete: boolean,
): { findings: Diagnostic[]; visited: string[] } {
  const tolerance = 2 * gridStep(c.record.machine.controller);
  const findings: Diagnostic[] = [];
  const visits = new Map<string, number>();
  for (const stop of stopsOf(c)) {
    const place = places.find(
      (p) => Math.abs(p.x - stop.x) <= tolerance && Math.abs(p.y - stop.y) <= tolerance,
    );
    if (place) visits.set(place.name, (visits.get(place.name) ?? 0) + 1);
    findings.push(...(place ? checkLabel(c, stop, place) : [strayStop(c, stop)]));
  }
  findings.push(...checkCounts(c, places, visits, complete), ...checkOnlyRapids(c));
  return { findings, visited: [...visits.keys()] };
}

function strayStop(c: Case, { x, y, line }: Stop): Diagnostic {
  return report({
    code: 'work/visit',
    ...inFile(c.file, line),
    message: `the program stops above ${exactPlace([x, y], c.record.machine.units)}, where there is nothing to visit`,
    facts: { x, y },
  });
}

function checkLabel(c: Case, { line }: Stop, { name }: Place): Diagnostic[] {
  const label = labelAt(c, line);
  if (label === null || isNamed(label, name)) return [];
  const message = `${name} is visited under the comment of ${label}`;
  return [report({ code: 'work/label', ...inFile(c.file, line), message, facts: { place: name, label } })];
}

function checkCounts(
  c: Case,
  places: readonly Place[],
  visits: ReadonlyMap<string, number>,
  complete: boolean,
): Diagnostic[] {
  const { units } = c.record.machine;
  const found: Diagnostic[] = [];
  const wrong = (message: string, facts: Readonly<Record<string, string | number>>): void => {
    found.push(report({ code: 'work/visit', ...inFile(c.file), message, facts }));
  };
  for (const [place, times] of visits) {
    if (times > 1) wrong(`${place} is visited ${times} times`, { place, times });
  }
  for (const { name, x, y } of complete ? places : []) {
    if (!visits.has(name)) wrong(`${name} at ${exactPlace([x, y], units)} is not visited`, { place: name });
  }
  return found;
}

function checkOnlyRapids(c: Case): Diagnostic[] {
  const feeds = c.trace.kind.findIndex((kind) => kind !== RAPID);
  if (feeds < 0) return [];
  const message = 'a visit consists of rapids at the clear height; this motion feeds';
  return [report({ code: 'work/visit', ...inFile(c.file, c.trace.line[feeds]!), message })];
}
