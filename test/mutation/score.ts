import { checkIssued, type IssuedFiles, readProgram } from '@bedledger/checker';
import { type Diagnostic, inUnits } from '@bedledger/diagnostics';
import type { MachineRecord, ManifestProgram } from '@bedledger/fleet';
import { seededRandom } from '@bedledger/geometry';
import { compare } from './equivalence.ts';
import { kindOf, OPERATOR_KINDS } from './kinds.ts';
import { lineFacts } from './line-facts.ts';
import { type Mutant, type Operator, patched, type Subject } from './operator.ts';
import { GEOMETRY_OPERATORS } from './operators/geometry.ts';
import { MACHINE_OPERATORS } from './operators/machine.ts';
import { STATE_OPERATORS } from './operators/state.ts';
import { TEXT_OPERATORS } from './operators/text.ts';
import { parseProgram, repairFooter, textOf } from './program-text.ts';
import { withText } from './with-text.ts';

export const OPERATORS: readonly Operator[] = [
  ...STATE_OPERATORS,
  ...GEOMETRY_OPERATORS,
  ...TEXT_OPERATORS,
  ...MACHINE_OPERATORS,
].sort((a, b) => Number.parseInt(a.id, 10) - Number.parseInt(b.id, 10) || (a.id < b.id ? -1 : 1));

/** Operators of the list that have nothing to apply to here, with the reason. */
export const NOT_APPLICABLE: readonly { readonly id: string; readonly why: string }[] = [
  { id: '33', why: 'no contours with parts or holes inside them: sites may be visited in any order' },
];

/** One issued program of one machine, ready to be changed. */
export interface Issued {
  readonly record: MachineRecord;
  readonly issued: IssuedFiles;
}

export interface Survivor {
  readonly machine: string;
  readonly program: string;
  readonly operator: string;
  readonly line: number;
  readonly what: string;
  readonly why: string;
}

export interface OperatorScore {
  readonly id: string;
  readonly title: string;
  made: number;
  equivalent: number;
  killed: number;
  /** Killed, but by no rule of the expected ones. */
  unexpected: number;
  readonly rules: Map<string, number>;
  readonly survivors: Survivor[];
}

interface Prepared extends Subject {
  readonly entry: ManifestProgram;
  readonly issuedText: string;
  readonly whole: IssuedFiles;
  readonly baseline: ReadonlyMap<string, number>;
  readonly readBaseline: ReadonlyMap<string, number>;
  readonly radius: number;
  /** Box of board or bed, mm. */
  readonly within: readonly [number, number, number, number];
}

function count(findings: readonly Diagnostic[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const f of findings) if (f.severity !== 'note') counts.set(f.code, (counts.get(f.code) ?? 0) + 1);
  return counts;
}

function prepare(set: Issued, random: () => number): Prepared[] {
  const { record, issued } = set;
  const { machine } = record;
  const { controller } = machine;
  const mm = inUnits(1, controller.units);
  const out: Prepared[] = [];
  for (const entry of issued.manifest.programs) {
    const file = issued.programs.find((p) => p.path.endsWith(entry.file));
    if (!file) continue;
    const program = parseProgram(file.path, file.text, controller);
    const lift = entry.zZero === 'board-top' ? (record.state.board?.thickness ?? 0) : 0;
    const onBed = ['survey-visit', 'datum-mark', 'bed-mark'].includes(entry.operation);
    const topBed = onBed ? 0 : (record.state.board?.thickness ?? 0);
    const only = withText(issued, entry, file.text);
    const other = issued.programs.find((p) => p !== file)?.text ?? '';
    const { at, size } = machine.board;
    const { outline } = machine.bed;
    const within: [number, number, number, number] =
      onBed || outline.kind !== 'rect'
        ? [machine.travel.x[0], machine.travel.y[0], machine.travel.x[1], machine.travel.y[1]]
        : [at[0], at[1], at[0] + size[0], at[1] + size[1]];
    out.push({
      program,
      within,
      facts: lineFacts(program),
      record,
      top: (topBed - lift) * mm * controller.zSign,
      clear: (entry.extents.z[1] - lift) * mm * controller.zSign,
      mm,
      operation: entry.operation,
      form: entry.form,
      other,
      random,
      entry,
      issuedText: file.text,
      whole: issued,
      readBaseline: count(readProgram(file.text, file.path, controller).findings),
      baseline: count(checkIssued(record, only).findings),
      radius: entry.cutter === null ? 0.5 : record.cutters.get(entry.cutter)!.diameter / 2,
    });
  }
  return out;
}

/** Puts line numbers and footer of a mutant right, so that only its meaning can give it away. */
function mutantText(p: Prepared, mutant: Mutant): string {
  if (mutant.raw !== undefined) return mutant.raw;
  let lines = [...patched(p, mutant.lines ?? [])];
  const { lineNumbers } = p.record.machine.controller;
  if (!mutant.keepNumbers && lineNumbers.use === 'every' && !mutant.keepFooter) lines = renumbered(p, lines);
  const text = textOf(lines, p.program.eol);
  return mutant.keepFooter ? text : repairFooter(text, p.program.eol);
}

function renumbered(p: Prepared, lines: readonly string[]): string[] {
  const { start, step, max } = p.record.machine.controller.lineNumbers;
  const width = Math.max(
    ...p.program.lines
      .slice(0, 200)
      .map((l) => (/^N0/.test(l.text) ? (/^N(\d+)/.exec(l.text)?.[1]?.length ?? 0) : 0)),
    0,
  );
  let n = start;
  return lines.map((line) => {
    const body = line.replace(/^(\/?)N\d+ ?/, '$1');
    const isBlock = /^\/?[A-Za-z]/.test(body) && !/^\/?[O:]/.test(body) && !/^[%(;]/.test(body);
    if (!isBlock) return line;
    const space = p.record.machine.controller.spacing === 'space' ? ' ' : '';
    const number = String(n).padStart(width, '0');
    n += step;
    if (n > max) n = start;
    return body.startsWith('/') ? `/N${number}${space}${body.slice(1)}` : `N${number}${space}${body}`;
  });
}

/** What is new in `counts` over the unchanged program, by rule. */
function fresh(counts: ReadonlyMap<string, number>, baseline: ReadonlyMap<string, number>): string[] {
  const rules: string[] = [];
  for (const [code, n] of counts) if (n > (baseline.get(code) ?? 0)) rules.push(code);
  return rules.sort();
}

/**
 * Everything new that a mutant's check says, by rule. A change that the reader alone finds is not simulated as well:
 * it is dead already, and there are a hundred thousand of them.
 */
function newRules(p: Prepared, text: string, record: MachineRecord, inspect: Inspect): string[] {
  if (record === p.record) {
    const read = readProgram(text, p.program.path, record.machine.controller).findings;
    inspect(read, record);
    const early = fresh(count(read), p.readBaseline);
    if (early.length > 0) return early;
  }
  const { findings } = checkIssued(record, withText(p.whole, p.entry, text));
  inspect(findings, record);
  return fresh(count(findings), p.baseline);
}

/** Looks at the findings of a changed program. */
type Inspect = (findings: readonly Diagnostic[], record: MachineRecord) => void;

function sampleOf<T>(list: readonly T[], most: number, random: () => number): T[] {
  if (list.length <= most) return [...list];
  const left = [...list];
  const out: T[] = [];
  while (out.length < most) out.push(left.splice(Math.floor(random() * left.length), 1)[0]!);
  return out;
}

export interface MutationOptions {
  /** Mutants an operator may make in one program; all when left out. */
  readonly sample?: number;
  /** Mutants of all operators together in one program; all when left out. */
  readonly perProgram?: number;
  readonly seed: number;
  readonly progress?: (text: string) => void;
  readonly inspect?: Inspect;
  /** Which operators are applied; all when left out. */
  readonly only?: (operator: Operator) => boolean;
}

/** Applies every operator at every site (or a seeded sample of them) of every program and scores the checker. */
export function scoreMutants(sets: readonly Issued[], options: MutationOptions): OperatorScore[] {
  const random = seededRandom(options.seed);
  const scores = new Map<string, OperatorScore>();
  const scoreOf = (id: string, title: string): OperatorScore => {
    let score = scores.get(id);
    if (!score) {
      score = {
        id,
        title,
        made: 0,
        equivalent: 0,
        killed: 0,
        unexpected: 0,
        rules: new Map(),
        survivors: [],
      };
      scores.set(id, score);
    }
    return score;
  };
  const judge = (p: Prepared, operator: Operator, mutant: Mutant): void => {
    const text = mutantText(p, mutant);
    if (text === p.issuedText && !mutant.record) return;
    const score = scoreOf(operator.id, operator.title);
    score.made++;
    const rules = newRules(p, text, mutant.record ?? p.record, options.inspect ?? (() => {}));
    if (rules.length > 0) {
      score.killed++;
      for (const rule of rules) score.rules.set(rule, (score.rules.get(rule) ?? 0) + 1);
      if (!rules.some((rule) => operator.expected.some((start) => rule.startsWith(start))))
        score.unexpected++;
      return;
    }
    const same = mutant.record
      ? { equivalent: false, why: 'the profile differs' }
      : compare(p.issuedText, text, p.record.machine.controller, {
          top: (p.top / p.mm) * p.record.machine.controller.zSign,
          clear: (p.clear / p.mm) * p.record.machine.controller.zSign,
          radius: p.radius,
          within: p.within,
        });
    if (same.equivalent) score.equivalent++;
    else {
      score.survivors.push({
        machine: p.record.machine.id,
        program: p.entry.file,
        operator: operator.id,
        line: mutant.line,
        what: mutant.what,
        why: same.why,
      });
    }
  };

  for (const set of sets) {
    for (const p of prepare(set, random)) {
      options.progress?.(`${p.record.machine.id} ${p.entry.file}`);
      let all: { operator: Operator; mutant: Mutant }[] = [];
      const applied = options.only ? OPERATORS.filter(options.only) : OPERATORS;
      for (const operator of applied) {
        scoreOf(operator.id, operator.title);
        const made = operator.make(p);
        for (const mutant of options.sample === undefined ? made : sampleOf(made, options.sample, random)) {
          all.push({ operator, mutant });
        }
      }
      if (options.perProgram !== undefined) all = sampleOf(all, options.perProgram, random);
      for (const { operator, mutant } of all) judge(p, operator, mutant);
      if (options.perProgram !== undefined || options.only) continue;
      // second order: a change of depth hidden by a header, a moved point hidden by a doubled block
      const first = OPERATORS.filter((o) => ['13c', '14a', '14b'].includes(o.id)).flatMap((o) => o.make(p));
      const pairs: { mutant: Mutant; what: string }[] = [];
      for (const one of sampleOf(first, options.sample ?? 20, random)) {
        const lines = one.lines;
        if (!lines) continue;
        const between = {
          ...p,
          program: parseProgram(
            p.program.path,
            textOf(patched(p, lines), p.program.eol),
            p.record.machine.controller,
          ),
        };
        const again = { ...between, facts: lineFacts(between.program) };
        const second = OPERATORS.filter((o) => ['46h', '46g', '27a', '23aX'].includes(o.id)).flatMap((o) =>
          o.make(again),
        );
        for (const two of sampleOf(second, 1, random)) {
          pairs.push({
            mutant: { ...two, ...(two.lines ? { lines: patched(again, two.lines) } : {}) },
            what: `${one.what}; ${two.what}`,
          });
        }
      }
      const pairOperator: Operator = {
        id: '50',
        title: 'two changes at once',
        expected: ['work/', 'program/', 'documents/', 'state/', 'grammar/', 'interlock/', 'text/'],
        make: () => [],
      };
      for (const pair of pairs) judge(p, pairOperator, { ...pair.mutant, what: pair.what });
    }
  }
  return [...scores.values()].sort(
    (a, b) => Number.parseInt(a.id, 10) - Number.parseInt(b.id, 10) || (a.id < b.id ? -1 : 1),
  );
}

/** The score by what the operators touch, one line a kind. */
function kindTable(scores: readonly OperatorScore[]): string[] {
  return OPERATOR_KINDS.map((kind) => {
    const own = scores.filter(({ id }) => kindOf(id) === kind);
    const sum = (pick: (s: OperatorScore) => number): number => own.reduce((n, s) => n + pick(s), 0);
    const survived = sum((s) => s.survivors.length);
    return `${kind.padEnd(10)} made ${sum((s) => s.made)}, equivalent ${sum((s) => s.equivalent)}, killed ${sum((s) => s.killed)}, survived ${survived}`;
  });
}

/** The score as a table, one line an operator, then the survivors in full. */
export function scoreTable(scores: readonly OperatorScore[]): string {
  const rows = scores.map((s) => {
    const rules = [...s.rules].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
    const shown = rules.slice(0, 3).map(([rule, n]) => `${rule} ${n}`);
    if (rules.length > 3) shown.push(`and ${rules.length - 3} more`);
    return [s.id, s.title, s.made, s.equivalent, s.killed, s.survivors.length, shown.join(', ')].map(String);
  });
  const head = ['', 'operator', 'made', 'equivalent', 'killed', 'survived', 'killed by'];
  const width = head.map((h, k) => Math.max(h.length, ...rows.map((r) => r[k]!.length)));
  const line = (cells: readonly string[]): string =>
    cells
      .map((c, k) => (k >= 2 && k <= 5 ? c.padStart(width[k]!) : c.padEnd(width[k]!)))
      .join('  ')
      .trimEnd();
  const sum = (pick: (s: OperatorScore) => number): number => scores.reduce((n, s) => n + pick(s), 0);
  const made = sum((s) => s.made);
  const equivalent = sum((s) => s.equivalent);
  const killed = sum((s) => s.killed);
  const survivors = scores.flatMap((s) => s.survivors);
  const share = made === equivalent ? 1 : killed / (made - equivalent);
  return [
    line(head),
    ...rows.map(line),
    '',
    ...kindTable(scores),
    '',
    ...NOT_APPLICABLE.map((n) => `${n.id}: not applicable, ${n.why}`),
    `made ${made}, equivalent ${equivalent}, killed ${killed}, survived ${survivors.length}: ${(share * 100).toFixed(2)} % of the mutants that mean something`,
    ...survivors.map(
      (s) => `survivor ${s.operator} ${s.machine} ${s.program}:${s.line} ${s.what} (${s.why})`,
    ),
    '',
  ].join('\n');
}
