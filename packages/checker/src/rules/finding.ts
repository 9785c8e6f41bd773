import type { Diagnostic, Severity } from '@bedledger/diagnostics';
import type { House } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import { ruleById } from './table.ts';

const RANK: Readonly<Record<Severity, number>> = { note: 0, warn: 1, stop: 2 };

/** The rule's own severity, or the house's where that weighs more: a house can raise a rule, never lower it. */
export function severityOf(id: string, house: House): Severity {
  const own = ruleById(id).severity;
  const raised = house.raise[id];
  return raised !== undefined && RANK[raised] > RANK[own] ? raised : own;
}

/** Text of one line of a program, without its ending; lines count from 1. */
export function lineText(file: ProgramFile, line: number): string {
  return linesOf(file)[line - 1] ?? '';
}

const split = new WeakMap<ProgramFile, string[]>();

export function linesOf(file: ProgramFile): string[] {
  let lines = split.get(file);
  if (!lines) {
    lines = file.text.split(/\r\n|\n|\r/);
    split.set(file, lines);
  }
  return lines;
}

/** Column (from 1) of the word that begins with `letter` on that line, outside comments; 1 when there is none. */
export function columnOf(file: ProgramFile, line: number, letter: string): number {
  const text = lineText(file, line);
  let depth = 0;
  for (let k = 0; k < text.length; k++) {
    const c = text[k]!;
    if (c === '(') depth++;
    else if (c === ')') depth = Math.max(0, depth - 1);
    else if (c === ';') break;
    else if (depth === 0 && c.toUpperCase() === letter) return k + 1;
  }
  return 1;
}

export interface FindingDetail {
  /** Line of the program or table; left out when the finding is about the whole file. */
  readonly line?: number | undefined;
  /** Letter of the word to point at. */
  readonly word?: string;
  readonly message: string;
  readonly facts?: Readonly<Record<string, string | number | boolean>>;
  readonly help?: string;
}

/** Makes the finding of a rule at a place in a file. */
export function finding(id: string, house: House, file: ProgramFile, detail: FindingDetail): Diagnostic {
  const rule = ruleById(id);
  const { line } = detail;
  const place =
    line === undefined
      ? { file: file.path }
      : { file: file.path, line, column: detail.word ? columnOf(file, line, detail.word) : 1 };
  return {
    code: id,
    severity: severityOf(id, house),
    message: detail.message,
    place,
    ...(line === undefined ? {} : { excerpt: lineText(file, line) }),
    ...(detail.facts ? { facts: detail.facts } : {}),
    help: detail.help ?? rule.remedy,
  };
}

/** A length for a sentence: millimetres with at most three decimals, no trailing zeros, never `-0`. */
export function mm(value: number): string {
  const text = (Math.round(value * 1000) / 1000).toString();
  return `${text === '-0' ? '0' : text} mm`;
}
