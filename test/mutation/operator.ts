import type { MachineRecord } from '@bedledger/fleet';
import type { LineFacts } from './line-facts.ts';
import type { Line, Program } from './program-text.ts';

/** A change of a few lines: a program of ten thousand lines has as many mutants, and they are not all to be held whole. */
export interface Patch {
  readonly at: number;
  readonly remove: number;
  readonly insert: readonly string[];
}

export interface Mutant {
  /** Lines without endings, or what changes in them; `raw` instead when the bytes themselves are the point. */
  readonly lines?: readonly string[] | Patch;
  readonly raw?: string;
  /** First changed line, from 1. */
  readonly line: number;
  readonly what: string;
  /** Leave footer and line numbers as they are: the change is about them. */
  readonly keepFooter?: boolean;
  readonly keepNumbers?: boolean;
  /** The profile is changed, not the text. */
  readonly record?: MachineRecord;
}

export interface Subject {
  readonly program: Program;
  readonly facts: readonly LineFacts[];
  readonly record: MachineRecord;
  /** Program units of: the top of what is machined, the clear height, one millimetre. */
  readonly top: number;
  readonly clear: number;
  readonly mm: number;
  readonly operation: string;
  readonly form: string | null;
  /** Text of another program of the machine. */
  readonly other: string;
  readonly random: () => number;
}

export interface Operator {
  /** As in the list that the score is kept by: number, then a letter for each variant. */
  readonly id: string;
  readonly title: string;
  /** Rule ids, or their beginnings, that are expected to kill it. */
  readonly expected: readonly string[];
  readonly make: (s: Subject) => Mutant[];
}

export function linesOf(s: Subject): string[] {
  return s.program.lines.map((line) => line.text);
}

export function replaced(_s: Subject, index: number, ...by: string[]): Patch {
  return { at: index, remove: 1, insert: by };
}

/** Two neighbouring lines replaced. */
export function replacedPair(index: number, ...by: string[]): Patch {
  return { at: index, remove: 2, insert: by };
}

export function inserted(_s: Subject, index: number, ...what: string[]): Patch {
  return { at: index, remove: 0, insert: what };
}

/** The whole lines of a mutant. */
export function patched(s: Subject, lines: readonly string[] | Patch): readonly string[] {
  if (!('at' in lines && 'insert' in lines)) return lines;
  const out = linesOf(s);
  out.splice(lines.at, lines.remove, ...lines.insert);
  return out;
}

export function eachLine(
  s: Subject,
  visit: (line: Line, facts: LineFacts, index: number) => Mutant | Mutant[] | null | undefined,
): Mutant[] {
  const out: Mutant[] = [];
  s.program.lines.forEach((line, index) => {
    const made = visit(line, s.facts[index]!, index);
    if (Array.isArray(made)) out.push(...made);
    else if (made) out.push(made);
  });
  return out;
}
