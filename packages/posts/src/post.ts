import { createHash } from 'node:crypto';
import type { NeutralProgram } from '@bedledger/bedwork';
import type { Controller } from '@bedledger/fleet';
import type { PostedFile } from './model.ts';
import { refusal } from './report.ts';
import { ByteText } from './text/byte-text.ts';
import { fileName, type PartNumber, programCode } from './text/file-name.ts';
import { type Claims, claimsOf } from './writer/claims.ts';
import { headerLines } from './writer/header.ts';
import { type Budget, budgetText, type Carried, PartWriter } from './writer/part-writer.ts';
import { type Setup, setUp } from './writer/setup.ts';

/** Where the first part begins. */
const BEGINNING: Carried = { index: 0, rpm: null, auxiliaries: [], section: null };
/** Attempts to find a budget that leaves room for header and end: each failure tells by how much it was too large. */
const ATTEMPTS = 12;

function writeParts(setup: Setup, budget: Budget | null): readonly PartWriter[] {
  const parts: PartWriter[] = [];
  let next: Carried | null = BEGINNING;
  while (next !== null) {
    const part = new PartWriter(setup);
    part.begin(next);
    next = part.run(next, budget);
    part.end();
    parts.push(part);
  }
  return parts;
}

/** What stands before the first block: percent line, program number, and the comments for the operator. */
function headOf(setup: Setup, claims: Claims, at: PartNumber): ByteText {
  const { start, lineEnding } = setup.controller;
  const head = new ByteText(lineEnding, 1 << 12);
  if (start.percent) head.line('%');
  if (start.programWord !== 'none')
    head.line(`${start.programWord}${(start.programNumber ?? 0) + programCode(setup.program, at)}`);
  for (const line of headerLines(setup, claims, at)) head.line(line);
  return head;
}

/** The end word and what follows it. */
function endOf(setup: Setup, body: PartWriter): Uint8Array {
  const { end } = setup.controller;
  const from = body.text.length;
  body.block.codes([end.word], 1);
  if (end.percent) body.text.line('%');
  return body.text.view().subarray(from);
}

/** The comment before the end: how many lines stand above it, and the beginning of their SHA-256. */
function footerOf({ controller, comments, rules }: Setup, lines: number, fingerprint: string): ByteText {
  const footer = new ByteText(controller.lineEnding, 1 << 8);
  const text = `${lines} SHA${rules.separator}${fingerprint}`;
  for (const line of comments.ownEntry('LINES', text)) footer.line(line);
  return footer;
}

/** Header, body, footer and end of one part. `share`: its share of the program's time. */
function assemble(setup: Setup, body: PartWriter, at: PartNumber, share: number): PostedFile {
  const { program, controller } = setup;
  const claims = claimsOf(setup, body, { share, parts: at.parts });
  const head = headOf(setup, claims, at);
  const { length } = body.text;
  const above = head.lines + body.text.lines;
  const end = endOf(setup, body);
  const main = body.text.view().subarray(0, length);
  const hash = createHash('sha256').update(head.view()).update(main);
  const footer = footerOf(setup, above, hash.copy().digest('hex').slice(0, 16));
  hash.update(footer.view()).update(end);

  const name = fileName(program, controller, at);
  const { header } = program;
  return {
    name,
    text: Buffer.concat([head.view(), main, footer.view(), end]).toString('latin1'),
    claims: {
      file: `programs/${name}`,
      operation: program.operation,
      form: program.form,
      part: at.part,
      parts: at.parts,
      cutter: header.cutter?.id ?? null,
      tool: header.cutter?.number ?? null,
      zZero: header.zZero,
      keyIn: header.keyIn,
      lines: head.lines + body.text.lines + footer.lines,
      sha256: hash.digest('hex'),
      extents: claims.extents,
      deepest: claims.deepest,
      minutes: claims.minutes,
      sites: claims.sites,
      restarts: body.restarts.map((r) => ({ ...r, line: head.lines + r.line + 1 })),
    },
  };
}

function assembleAll(setup: Setup, parts: readonly PartWriter[]): PostedFile[] {
  // Cutting time is shared out by feed and dwell; a program that only visits spends its time at its stops.
  const cutting = parts.some((p) => p.feedMinutes > 0);
  const weights = parts.map((p) => (cutting ? p.feedMinutes : p.stops));
  const total = weights.reduce((sum, w) => sum + w, 0);
  return parts.map((body, i) => {
    const share = total > 0 ? weights[i]! / total : 1 / parts.length;
    return assemble(setup, body, { part: i + 1, parts: parts.length }, share);
  });
}

/** Lines and bytes by which the longest files are too long; null when all of them fit. */
function excessOf(files: readonly PostedFile[], limit: Budget): Budget | null {
  const lines = Math.max(0, ...files.map((f) => f.claims.lines - limit.lines));
  const bytes = Math.max(0, ...files.map((f) => f.text.length - limit.bytes));
  return lines === 0 && bytes === 0 ? null : { lines, bytes };
}

/**
 * Neutral motions as one controller's program text.
 *
 * Positions are rounded once to the controller's grid; increments, arc centres and every claim come from the rounded
 * positions. A program longer than the controller's memory becomes several files, each complete: header, safe start,
 * cutter, spindle, end.
 *
 * @param program bed frame, mm, mm/min, seconds
 * @param controller complete description of the controller
 * @returns the files in running order, with claims for the manifest
 * @throws InputError when the controller cannot express the program; the finding names the move and what to change
 * @throws RangeError for a controller that no profile can have
 */
export function post(program: NeutralProgram, controller: Controller): PostedFile[] {
  const setup = setUp(program, controller);
  const { maxLines, maxBytes } = controller;
  const limit: Budget = {
    lines: maxLines ?? Number.POSITIVE_INFINITY,
    bytes: maxBytes ?? Number.POSITIVE_INFINITY,
  };
  let budget: Budget | null = null;
  for (let attempt = 0; attempt <= ATTEMPTS; attempt++) {
    const files = assembleAll(setup, writeParts(setup, budget));
    const excess = excessOf(files, limit);
    if (excess === null) return files;
    budget =
      budget === null ? limit : { lines: budget.lines - excess.lines, bytes: budget.bytes - excess.bytes };
  }
  throw refusal({
    code: 'post/part-too-small',
    message: `${program.name} does not fit into parts of ${budgetText(limit)}`,
    help: 'raise max_lines or max_bytes in the machine profile',
  });
}
