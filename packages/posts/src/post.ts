import { createHash } from 'node:crypto';
import type { NeutralProgram } from '@bedledger/bedwork';
import type { Controller } from '@bedledger/fleet';
import { fault } from './fault.ts';
import type { PostedFile } from './model.ts';
import { ByteText } from './text/byte-text.ts';
import { fileName, programCode } from './text/file-name.ts';
import { claimsOf } from './writer/claims.ts';
import { writeHeader } from './writer/header.ts';
import { type Budget, type Carried, PartWriter } from './writer/part-writer.ts';
import { type Setup, setUp } from './writer/setup.ts';

const WHOLE: Carried = { index: 0, rpm: null, auxiliaries: [], section: null };
/** Attempts to find a budget that leaves room for header and end: each failure tells by how much it was too large. */
const ATTEMPTS = 12;

function writeParts(setup: Setup, budget: Budget | null): readonly PartWriter[] {
  const parts: PartWriter[] = [];
  let next: Carried | null = WHOLE;
  while (next !== null) {
    const part = new PartWriter(setup);
    part.begin(next);
    next = part.run(next, budget);
    part.end();
    parts.push(part);
  }
  return parts;
}

/** Header, body, footer and end of one part. */
function assemble(setup: Setup, body: PartWriter, part: number, parts: number, share: number): PostedFile {
  const { program, controller, comments } = setup;
  const claims = claimsOf(setup, body.extents, body.sections, share, parts);
  const head = new ByteText(controller.lineEnding, 1 << 12);
  if (controller.start.percent) head.line('%');
  if (controller.start.programWord !== 'none') {
    const code = (controller.start.programNumber ?? 0) + programCode(program, parts > 1 ? part : 0);
    head.line(controller.start.programWord + String(code));
  }
  writeHeader(head, setup, claims, part, parts);

  const bodyLength = body.text.length;
  const lines = head.lines + body.text.lines;
  body.block.codes([controller.end.word], 1);
  if (controller.end.percent) body.text.line('%');
  const bytes = body.text.view();
  const main = bytes.subarray(0, bodyLength);
  const tail = bytes.subarray(bodyLength);

  const hash = createHash('sha256').update(head.view()).update(main);
  const footer = new ByteText(controller.lineEnding, 1 << 8);
  const fingerprint = hash.copy().digest('hex').slice(0, 16);
  const separator = controller.dialect === 'iso6983' ? ' = ' : ': ';
  const text = `${lines} SHA${separator}${fingerprint}`;
  for (const line of comments.footer('LINES', text)) footer.line(line);
  hash.update(footer.view()).update(tail);

  const name = fileName(program, controller, part, parts);
  const { header } = program;
  return {
    name,
    text: Buffer.concat([head.view(), main, footer.view(), tail]).toString('latin1'),
    claims: {
      file: `programs/${name}`,
      operation: program.operation,
      form: program.form,
      part,
      parts,
      cutter: header.cutter?.id ?? null,
      tool: header.cutter?.number ?? null,
      zZero: header.zZero,
      keyIn: header.keyIn,
      lines: lines + footer.lines + (body.text.lines - (lines - head.lines)),
      sha256: hash.digest('hex'),
      extents: claims.extents,
      deepest: claims.deepest,
      minutes: claims.minutes,
      sites: claims.sites,
    },
  };
}

function assembleAll(setup: Setup, parts: readonly PartWriter[]): readonly PostedFile[] {
  // Cutting time is shared out by feed and dwell; a program that only visits spends its time at its stops.
  const cutting = parts.some((p) => p.feedMinutes > 0);
  const weights = parts.map((p) => (cutting ? p.feedMinutes : p.stops));
  const total = weights.reduce((sum, w) => sum + w, 0);
  return parts.map((body, i) =>
    assemble(setup, body, i + 1, parts.length, total > 0 ? weights[i]! / total : 1 / parts.length),
  );
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
 * @throws InputError when the controller cannot express the program; the diagnostic names the move and what to change
 */
export function post(program: NeutralProgram, controller: Controller): PostedFile[] {
  const setup = setUp(program, controller);
  const { maxLines, maxBytes } = controller;
  const files = assembleAll(setup, writeParts(setup, null));
  if (maxLines === null && maxBytes === null) return [...files];
  const limit: Budget = {
    lines: maxLines ?? Number.POSITIVE_INFINITY,
    bytes: maxBytes ?? Number.POSITIVE_INFINITY,
  };
  const excess = (posted: readonly PostedFile[]): Budget => ({
    lines: Math.max(0, ...posted.map((f) => f.claims.lines - limit.lines)),
    bytes: Math.max(0, ...posted.map((f) => f.text.length - limit.bytes)),
  });
  let over = excess(files);
  if (over.lines === 0 && over.bytes === 0) return [...files];
  let { lines, bytes } = limit;
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const posted = assembleAll(setup, writeParts(setup, { lines, bytes }));
    over = excess(posted);
    if (over.lines === 0 && over.bytes === 0) return [...posted];
    lines -= over.lines;
    bytes -= over.bytes;
  }
  throw fault(
    'part-too-small',
    `${program.name} does not fit into parts of ${maxLines ?? 'any number of'} lines and ${maxBytes ?? 'any number of'} bytes`,
    'raise max_lines or max_bytes in the machine profile',
  );
}
