import type { AccountLine, WorkPlan, WorkStep } from '@bedledger/bedwork';
import type { PostedFile } from '@bedledger/posts';
import { lengthFormat } from '../format-length.ts';
import type { MachinePicture } from '../machine-pictures.ts';
import { fixed } from '../svg/markup.ts';
import { lastFactDate } from '../title-fields.ts';
import { h, page, table } from './page.ts';

/**
 * The run sheet: what the operator does, step by step, with the number to key in as the largest thing in its step,
 * lines for what is measured, and each caution at the step where it matters. One page, HTML, stays useful printed.
 *
 * @param pictures the drawings that stand beside it.
 * @param posted the programs as posted: their names, parts and times are what the sheet tells the operator to load.
 */
export function runSheet(
  plan: WorkPlan,
  posted: readonly PostedFile[],
  pictures: readonly Pick<MachinePicture, 'file' | 'caption'>[],
): string {
  const { machine, revision, state } = plan.record;
  const length = lengthFormat(machine.units);
  const board = state.board;
  const body: string[] = [
    `<h1>${h(machine.title)}</h1>`,
    `<p class="second">Run sheet of ${h(machine.id)}, revision ${h(revision)}, as the ledger stands on ${h(lastFactDate(plan.record))}.</p>`,
    `<p>${
      board === null
        ? 'No board is recorded on this bed.'
        : `Board ${board.ordinal} on this bed, fitted ${h(board.fitted)}: <b>${h(length.plain(board.thickness))} ${length.unit}</b> thick at the last measurement, ${board.skims} ${board.skims === 1 ? 'skim' : 'skims'} so far.`
    } Programs have their Z 0 on ${machine.zZero === 'bed' ? 'the bed surface' : "the board's top"}.</p>`,
    `<p class="next"><b>Next:</b> ${h(plan.next)}</p>`,
    '<p class="caution">These sheets do not replace the machine maker’s manual, local codes or a competent person. Where they disagree with what you see at the machine, stop and ask.</p>',
  ];

  body.push(
    '<h2>Steps</h2>',
    '<ol class="steps">',
    ...plan.steps.map((step, i) => stepItem(step, i + 1, posted, length.unit)),
    '</ol>',
  );

  const withheld = plan.withheld.filter((w) => w.asked !== false);
  if (withheld.length > 0) {
    body.push('<h2>Not issued, and why</h2>');
    for (const { operation, form, reason } of withheld) {
      body.push(
        `<p class="withheld"><b>${h(operation)}${form === null ? '' : ` ${h(form)}`}</b>: ${h(reason)}</p>`,
      );
    }
  }

  body.push('<h2>Programs</h2>');
  body.push(
    posted.length === 0
      ? '<p>None at present.</p>'
      : table(
          [
            { head: 'file' },
            { head: 'cutter' },
            { head: 'key in', right: true },
            { head: `deepest in bed, ${length.unit}`, right: true },
            { head: `lowest in board, ${length.unit}`, right: true },
            { head: 'minutes', right: true },
          ],
          posted.map(({ name, claims }) => [
            claims.parts > 1 ? `${name} (part ${claims.part} of ${claims.parts})` : name,
            claims.cutter ?? 'none',
            claims.keyIn === null ? '–' : length.fine(claims.keyIn),
            claims.deepest.bed === null ? '–' : length.plain(claims.deepest.bed),
            claims.deepest.board === null ? '–' : length.plain(claims.deepest.board),
            fixed(claims.minutes, 1),
          ]),
        ),
  );

  body.push(
    '<h2>Drawings</h2>',
    ...pictures.map(
      ({ file, caption }) =>
        `<figure><img src="${h(file)}" alt="${h(caption)}"><figcaption>${h(caption)} (${h(file)}).</figcaption></figure>`,
    ),
  );

  const accounts: readonly (readonly [string, readonly AccountLine[]])[] = [
    ['Surfacing', plan.accounts.surfacing],
    ['Feeds and power', plan.accounts.feeds],
    ['Vacuum', plan.accounts.vacuum],
    ['Time', plan.accounts.time],
  ];
  for (const [title, lines] of accounts) {
    if (lines.length === 0) continue;
    body.push(
      `<h2>${title}</h2>`,
      table(
        [{ head: 'what' }, { head: 'how much', right: true }, { head: 'where from' }],
        lines.map((l) => [l.label, l.value, l.note]),
      ),
    );
  }
  if (plan.bill.length > 0) {
    body.push(
      '<h2>To have ready</h2>',
      table(
        [{ head: 'item' }, { head: 'quantity', right: true }, { head: 'note' }],
        plan.bill.map((b) => [b.item, `${plainQuantity(b.quantity)} ${b.unit}`.trim(), b.note]),
      ),
    );
  }
  const notable = plan.findings.filter((f) => f.severity !== 'note');
  if (notable.length > 0) {
    body.push('<h2>To look at</h2>');
    for (const f of notable) {
      body.push(
        `<p class="withheld${f.severity === 'stop' ? ' stop' : ''}"><b>${h(f.severity)}</b> ${h(f.message)}${f.help === undefined ? '' : `. ${h(f.help)}`}</p>`,
      );
    }
  }
  return page(`${machine.title}: run sheet`, body);
}

function plainQuantity(quantity: number): string {
  return Number.isInteger(quantity) ? String(quantity) : fixed(quantity, 1);
}

function stepItem(step: WorkStep, number: number, posted: readonly PostedFile[], unit: string): string {
  const files = step.program === null ? [] : posted.filter((p) => programOf(p) === step.program);
  const parts: string[] = [`<h3>${h(step.title)}</h3>`];
  for (const caution of step.cautions) parts.push(`<p class="caution">${h(caution)}</p>`);
  const loads = files.map(
    (file) =>
      `<p>Load <span class="file">programs/${h(file.name)}</span>${file.claims.parts > 1 ? `, part ${file.claims.part} of ${file.claims.parts}` : ''}.</p>`,
  );
  // What is keyed in goes with the first part; the others carry on from there.
  if (loads[0] !== undefined) parts.push(loads[0]);
  if (step.keyIn !== null) {
    const { label, value, unit: keyUnit } = step.keyIn;
    parts.push(
      `<p class="key-in"><span>${h(label)}</span><br><b>${fixed(value, keyUnit === 'mm' ? 3 : 4)}</b> ${keyUnit}</p>`,
    );
  }
  parts.push(...loads.slice(1));
  for (const line of step.lines) parts.push(`<p>${h(line)}</p>`);
  for (const { label, unit: measureUnit } of step.record)
    parts.push(
      `<p class="measure"><span>${h(label)}</span><i></i><span>${h(measureUnit || unit)}</span></p>`,
    );
  if (step.minutes > 0)
    parts.push(`<p class="second">about ${fixed(step.minutes, step.minutes < 10 ? 1 : 0)} min</p>`);
  return `<li class="${step.kind}${step.done ? ' done' : ''}"><div><span class="tick" aria-hidden="true">${step.done ? '×' : ''}</span><span class="number">${number}</span></div><div>\n${parts.join('\n')}\n</div></li>`;
}

/** The neutral program's name a posted file belongs to: its operation, and the form where there are two. */
function programOf(file: PostedFile): string {
  return file.claims.form === null ? file.claims.operation : `${file.claims.operation}-${file.claims.form}`;
}
