import type { MachineRecord } from '@bedledger/fleet';
import type { LineFacts } from './line-facts.ts';
import type { Line, Program } from './program-text.ts';

export interface Mutant {
  /** Lines without endings; `raw` instead when the bytes themselves are the point. */
  readonly lines?: readonly string[];
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

export function replaced(s: Subject, index: number, ...by: string[]): string[] {
  const lines = linesOf(s);
  lines.splice(index, 1, ...by);
  return lines;
}

export function inserted(s: Subject, index: number, ...what: string[]): string[] {
  const lines = linesOf(s);
  lines.splice(index, 0, ...what);
  return lines;
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
