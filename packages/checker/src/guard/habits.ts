import { compareSeverity, type Diagnostic, type Severity } from '@bedledger/diagnostics';
import { type Case, roundingOf } from '../programs/case.ts';
import { report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import { FEED } from '../trace.ts';

/**
 * What weighs less in somebody else's job than in an issued program: conventions of the house, and what spoils the work
 * or wears the cutter without harming bed, machine or people.
 */
const IN_A_JOB: Partial<Record<CheckerCode, Severity>> = {
  'program/rapid-combined': 'note',
  'program/spindle-changed': 'note',
  'program/feed-limit': 'warn',
  'program/plunge-feed': 'warn',
  'program/ramp': 'warn',
  'program/dwell': 'warn',
};

/** The same where the work is a sheet of which nobody knows the material. */
const IN_A_SHEET: Partial<Record<CheckerCode, Severity>> = {
  ...IN_A_JOB,
  'program/power': 'warn',
};

/** What to do about a job from elsewhere, where the rule speaks of files that the house issues. */
const REMEDY: Partial<Record<CheckerCode, string>> = {
  'program/work-offset': 'write the job for the work offset of the machine’s datum',
  'program/travel': 'check the origin of the job and where the work lies',
  'program/dwell': 'check whether the job counts its dwells in seconds or in milliseconds',
  'program/feed-limit': 'bring the feed into the range of the machine',
  'program/into-bed': 'check where the job has its Z 0 and how thick the board is',
  'program/feed-high': 'lower the feed, or check the spindle speed',
};

/** A remedy that only the house can follow, for files that it issues itself. */
const OF_THE_HOUSE = /\bissue|regenerat|transfer|by the profile|of the profile|this profile|into the profile/;
const IN_THE_JOB = 'write the job anew for this machine’s controller, or correct the line in it';

/** Longest dwell with a turning cutter in its hole that a drilling cycle or a counterbore needs, s (common practice, no source). */
const BOTTOM_DWELL = 2;

/**
 * A finding as it weighs in somebody else's job. What depends on more than its code is looked up in the case.
 *
 * @param sheet the work is a sheet on the board
 */
export function inAJob(finding: Diagnostic, c: Case, sheet: boolean): Diagnostic {
  const code = finding.code as CheckerCode;
  const severity = lighter(finding.severity, severityOf(finding, c, sheet) ?? finding.severity);
  const help = REMEDY[code] ?? (OF_THE_HOUSE.test(finding.help ?? '') ? IN_THE_JOB : finding.help);
  return report({ ...finding, code, severity, help });
}

function lighter(a: Severity, b: Severity): Severity {
  return compareSeverity(a, b) <= 0 ? a : b;
}

function severityOf(finding: Diagnostic, c: Case, sheet: boolean): Severity | undefined {
  switch (finding.code) {
    case 'program/spindle-left-on':
      return endsClear(finding, c) ? 'note' : undefined;
    case 'program/dwell-in-cut':
      return longestInCut(c) <= BOTTOM_DWELL ? 'note' : undefined;
    case 'program/spin-up':
      return secondsToContact(c) >= c.record.machine.spindle.spinUp ? 'note' : undefined;
    default:
      return (sheet ? IN_A_SHEET : IN_A_JOB)[finding.code as CheckerCode];
  }
}

/** The finding is about the end word, which switches the spindle off, and the cutter is out of the material by then. */
function endsClear(finding: Diagnostic, c: Case): boolean {
  const end = c.trace.events.find((e) => e.kind === 'end');
  const m = c.simulation.motions;
  const z = m.length === 0 ? Number.NaN : m.toZ(m.length - 1);
  return (
    end !== undefined &&
    finding.place?.line === end.line &&
    z > c.scene.surface.highest + roundingOf(c.record.machine.controller)
  );
}

function longestInCut(c: Case): number {
  const { inside, motions: m } = c.simulation;
  let longest = 0;
  for (const { kind, at, value } of c.trace.events) {
    if (kind !== 'dwell' || at === 0 || inside[at - 1] !== 1) continue;
    if (m.toZ(at - 1) < c.scene.surface.highest) longest = Math.max(longest, value);
  }
  return longest;
}

/** The shortest time, s, from a start of the spindle to the first contact after it, waits and way together. */
function secondsToContact(c: Case): number {
  const { events } = c.trace;
  const { inside, removed, seconds } = c.simulation;
  let least = Infinity;
  let since: number | null = null;
  let next = 0;
  for (let i = 0; i < c.trace.length; i++) {
    for (; next < events.length && events[next]!.at <= i; next++) {
      const { kind, value, text } = events[next]!;
      if (kind === 'spindle' && value === 0) since = null;
      else if (kind === 'spindle' && text !== 'S') since = 0;
      else if (kind === 'dwell' && since !== null) since += value;
    }
    if (since === null) continue;
    if (inside[i] === 1 || removed[i]! > 0) {
      // of the motion that makes contact only its way in the air counts, and that is not known: none of it
      least = Math.min(least, since);
      since = null;
    } else since += seconds[i]! * (c.trace.kind[i] === FEED ? 1 : AT_FULL_RAPID);
  }
  return least;
}

/** Rapids may be quicker than the profile has them. */
const AT_FULL_RAPID = 0.8;

/** Findings of one kind and one weight as one, the first, which says how many there are. */
export function oneOfEachKind(findings: readonly Diagnostic[]): Diagnostic[] {
  const kinds = new Map<string, { first: Diagnostic; count: number }>();
  for (const finding of findings) {
    const key = `${finding.code} ${finding.severity}`;
    const more = Number(finding.facts?.more ?? 0);
    const kind = kinds.get(key);
    if (kind) kind.count += more > 0 ? more : 1;
    else kinds.set(key, { first: finding, count: more > 0 ? more : 1 });
  }
  return [...kinds.values()].map(({ first, count }) =>
    count === 1
      ? first
      : {
          ...first,
          message: `${first.message} (${count} of this kind)`,
          facts: { ...first.facts, count },
        },
  );
}
