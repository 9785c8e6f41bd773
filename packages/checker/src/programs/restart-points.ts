import type { Diagnostic } from '@bedledger/diagnostics';
import { exactLength } from '@bedledger/diagnostics';
import type { RestartPoint } from '@bedledger/fleet';
import { readProgram } from '../reader/index.ts';
import { inFile, report } from '../report.ts';
import { MACHINE, RAPID, type Trace } from '../trace.ts';
import { type Case, homeInProgram } from './case.ts';

/** What marks a place to take a program up again, as the operator reads it. */
const MARK = 'TAKE UP AGAIN HERE';
/** Positions that are the same to the last digit of any controller, mm. */
const SAME = 1e-6;

/**
 * A stopped program may be taken up at the places that the manifest names and at no other: read on its own from there, with
 * nothing in force, it does what the whole program does from there on, with the spindle and every output on that it has on.
 */
export function checkRestartPoints(c: Case, points: readonly RestartPoint[]): Diagnostic[] {
  const lines = c.file.text.split('\n');
  const commented = c.record.machine.controller.comments !== 'none';
  const marked = lines.flatMap((text, i) => (text.includes(MARK) ? [i + 1] : []));
  const found: Diagnostic[] = [];
  const wrong = (line: number, message: string): void => {
    found.push(report({ code: 'work/restart', ...inFile(c.file, line), message }));
  };
  for (const line of marked) {
    if (!points.some((point) => point.line === line))
      wrong(line, 'a place is marked to take the program up again, and the manifest has none there');
  }
  for (const { line, title } of points) {
    if (line < 1 || line > lines.length || (commented && !marked.includes(line))) {
      wrong(
        line,
        `the manifest lets the program be taken up again at ${title}, and no place is marked there`,
      );
      continue;
    }
    const differs = differenceFrom(c, line, lines);
    if (differs !== null) wrong(line, `taken up again at ${title} the program ${differs}`);
  }
  return found;
}

/** What a program does otherwise when it is taken up at a line; null: nothing. */
function differenceFrom(c: Case, line: number, lines: readonly string[]): string | null {
  const { units, controller } = c.record.machine;
  const changes = controller.toolChange === 'automatic';
  const place = homeInProgram(c.record.machine, c.zeroHeight);
  const tail = readProgram(
    lines.slice(line - 1).join('\n'),
    c.file.path,
    controller,
    place ? { home: place } : {},
  );
  const missing = tail.findings.find(
    ({ code, severity }) => code.startsWith('state/') && severity === 'stop',
  );
  if (missing) return `lacks what its beginning says: ${missing.message}`;
  const whole = c.trace;
  const first = whole.line.findIndex((at) => at >= line);
  if (first < 0 || tail.length !== whole.length - first) return 'makes other motions';
  const clear = c.record.machine.clearHeight - c.zeroHeight;
  for (let i = 0; i < tail.length; i++) {
    const k = first + i;
    const at = (what: string): string => `${what} in line ${whole.line[k]}`;
    if (tail.kind[i] !== whole.kind[k] || !same(tail.z[i]!, whole.z[k]!)) return at('goes elsewhere');
    const home = (tail.flags[i]! & MACHINE) !== 0;
    const lifts = home || (tail.kind[i] === RAPID && tail.z[i]! >= clear - SAME);
    if (!sameOrUnknown(tail.x[i]!, whole.x[k]!, lifts) || !sameOrUnknown(tail.y[i]!, whole.y[k]!, lifts)) {
      return at(`does not know its place at ${exactLength(tail.z[i]!, units)}`);
    }
    if (tail.workOffset[i] !== whole.workOffset[k]) return at('is in another work offset');
    if (tail.tool[i] !== whole.tool[k] && changes && !home) return at('does not fetch its cutter');
    if (tail.lengthOffset[i] !== whole.lengthOffset[k]) return at('has another tool length in force');
    if (tail.kind[i] === RAPID) continue;
    if (tail.feed[i] !== whole.feed[k]) return at('feeds otherwise');
    if (tail.rpm[i] !== whole.rpm[k]) return at('cuts with the spindle at another speed, or at rest,');
    if (tail.plane[i] !== whole.plane[k]) return at('turns in another plane');
  }
  return outputsDiffer(whole, first, tail);
}

function same(a: number, b: number): boolean {
  return Object.is(a, b) || Math.abs(a - b) <= SAME;
}

/** Until the first motion over the bed nobody knows X and Y: only a lift may be made then. */
function sameOrUnknown(read: number, meant: number, lifts: boolean): boolean {
  return Number.isNaN(read) ? lifts : same(read, meant);
}

/** Outputs that are on at the first cut of the whole program, and not when it is taken up again. */
function outputsDiffer(whole: Trace, first: number, tail: Trace): string | null {
  const cut = tail.kind.findIndex((kind) => kind !== RAPID);
  if (cut < 0) return null;
  const again = outputsOn(tail, cut);
  const off = [...outputsOn(whole, first + cut)].filter((name) => !again.has(name));
  return off.length === 0 ? null : `cuts without ${off.join(', ')}`;
}

/** Names of the outputs that are on when motion `before` begins. */
function outputsOn({ events }: Trace, before: number): Set<string> {
  const on = new Set<string>();
  for (const { kind, at, text } of events) {
    if (kind !== 'auxiliary' || at > before) continue;
    if (text.endsWith(' on')) on.add(text.slice(0, -' on'.length));
    else on.delete(text.replace(/ off$/, ''));
  }
  return on;
}
