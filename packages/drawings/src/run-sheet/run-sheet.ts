import type { AccountLine, WorkPlan, WorkStep } from '@bedledger/bedwork';
import type { PostedFile } from '@bedledger/posts';
import { lengthFormat } from '../format-length.ts';
import type { MachinePicture } from '../machine-pictures.ts';
import { fixed } from '../svg/markup.ts';
import { lastFactDate } from '../title-fields.ts';
import { h, page, table } from './page.ts';
import { sentence } from './sentence.ts';

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
    `<p class="second">Run sheet of ${h(machine.id)}, revision ${h(revision)}, ${plan.record.ledger.facts.length === 0 ? 'nothing recorded in the ledger yet' : `as the ledger stands on ${h(lastFactDate(plan.record))}`}.</p>`,
    `<p>${
      board === null
        ? 'No board is recorded on this bed.'
        : `Board ${board.ordinal} on this bed, fitted ${h(board.fitted)}: <b>${h(length.plain(board.thickness))} ${length.unit}</b> thick at the last measurement, ${board.skims} ${board.skims === 1 ? 'skim' : 'skims'} so far.`
    } Programs have their Z 0 on ${machine.zZero === 'bed' ? 'the bed surface' : "the board's top"}.</p>`,
    `<p class="next"><b>Next:</b> ${h(sentence(plan.next))}</p>`,
    '<p class="caution"><b>Caution.</b> These sheets do not replace the machine maker’s manual, local codes or a competent person. Where they disagree with what you see at the machine, stop and ask.</p>',
  ];

  const notable = plan.findings.filter((f) => f.severity !== 'note');
  if (notable.length > 0) {
    body.push('<h2>To look at first</h2>');
    for (const f of notable) {
      body.push(
        `<p class="withheld${f.severity === 'stop' ? ' stop' : ''}"><b>${h(f.severity)}</b> ${h(sentence(f.message))}${f.help === undefined ? '' : ` ${h(sentence(f.help))}`}</p>`,
      );
    }
  }

  body.push(
    '<h2>Steps</h2>',
    '<ol class="steps">',
    ...plan.steps.map((step, i) => stepItem(step, i + 1, plan, posted, length.unit)),
    '</ol>',
  );

  const withheld = plan.withheld.filter((w) => w.asked !== false);
  if (withheld.length > 0) {
    body.push('<h2>Not issued, and why</h2>');
    for (const { operation, form, reason } of withheld) {
      body.push(
        `<p class="withheld"><b>${h(operation)}${form === null ? '' : ` ${h(form)}`}</b>: ${h(sentence(reason))}</p>`,
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
        [{ head: 'what' }, { head: 'how much' }, { head: 'where from' }],
        lines.map((l) => [l.label, l.value, sentence(l.note)]),
      ),
    );
  }
  if (plan.bill.length > 0) {
    body.push(
      '<h2>To have ready</h2>',
      table(
        [{ head: 'item' }, { head: 'quantity', right: true }, { head: 'note' }],
        plan.bill.map((b) => [b.item, quantityText(b.quantity, b.unit), sentence(b.note)]),
      ),
    );
  }
  return page(`${machine.title}: run sheet`, body);
}

function quantityText(quantity: number, unit: string): string {
  const count = Number.isInteger(quantity) ? String(quantity) : fixed(quantity, 1);
  return `${count} ${quantity === 1 ? unit.replace(/^pieces$/, 'piece') : unit}`.trim();
}

/** What a step says after the program has run: the rest of its lines come before it is started. */
function split(step: WorkStep, plan: WorkPlan): { before: readonly string[]; after: readonly string[] } {
  const after = new Set(plan.programs.find((p) => p.name === step.program)?.header.after ?? []);
  return {
    before: step.lines.filter((line) => !after.has(line)),
    after: step.lines.filter((line) => after.has(line)),
  };
}

function list(lines: readonly string[], kind = 'do'): string {
  return lines.length === 0
    ? ''
    : `<ul class="${kind}">${lines.map((line) => `<li>${h(sentence(line))}</li>`).join('')}</ul>`;
}

/** Cautions of one step in one box: several boxes would be read as decoration. */
function cautionBox(lines: readonly string[]): string {
  if (lines.length === 0) return '';
  const [only] = lines;
  return lines.length === 1
    ? `<p class="caution"><b>Caution.</b> ${h(sentence(only as string))}</p>`
    : `<div class="caution"><b>Caution.</b>${list(lines, 'care')}</div>`;
}

/** The order in which the operator needs it: what can hurt, what must be so, what to load, what to key in, what to do afterwards. */
function stepItem(
  step: WorkStep,
  number: number,
  plan: WorkPlan,
  posted: readonly PostedFile[],
  unit: string,
): string {
  const files = step.program === null ? [] : posted.filter((p) => programOf(p) === step.program);
  const { before, after } = split(step, plan);
  const parts: string[] = [cautionBox(step.cautions), list(before)];
  const loading = (file: PostedFile): string => `Load <span class="file">programs/${h(file.name)}</span>`;
  const [first, ...further] = files;
  if (first !== undefined)
    parts.push(`<p>${loading(first)}${further.length > 0 ? `, part 1 of ${files.length}` : ''}.</p>`);
  // What is keyed in goes with the first part; the others carry on from there.
  if (step.keyIn !== null) {
    const { label, value, unit: keyUnit } = step.keyIn;
    parts.push(
      `<p class="key-in"><span>Then ${h(label)}</span><br><b>${fixed(value, keyUnit === 'mm' ? 3 : 4)}</b> ${keyUnit}</p>`,
    );
  }
  if (further.length > 0)
    parts.push(
      '<p>The other parts, one after the other:</p>',
      `<ol class="parts">${further
        .map((file) => `<li><span class="tick" aria-hidden="true"></span>${loading(file)}</li>`)
        .join('')}</ol>`,
    );
  if (after.length > 0) parts.push('<p>Afterwards:</p>', list(after));
  for (const { label, unit: measureUnit } of step.record)
    parts.push(
      `<p class="measure"><span>${h(sentence(label).replace(/\.$/, ''))}</span><i></i><span>${h(measureUnit || unit)}</span></p>`,
    );
  if (step.minutes > 0)
    parts.push(`<p class="second">About ${fixed(step.minutes, step.minutes < 10 ? 1 : 0)} min.</p>`);
  const text = parts.filter((part) => part !== '').join('\n');
  // What is done stays at hand, folded away, in case it has to be done again.
  const body = step.done
    ? `<details><summary><h3>${h(sentence(step.title).replace(/\.$/, ''))}</h3> <span class="second">done</span></summary>\n${text}\n</details>`
    : `<h3>${h(sentence(step.title).replace(/\.$/, ''))}</h3>\n${text}`;
  return `<li class="${step.kind}${step.done ? ' done' : ''}"><div><span class="tick" aria-hidden="true">${step.done ? '×' : ''}</span><span class="number">${number}</span></div><div>\n${body}\n</div></li>`;
}

/** The neutral program's name a posted file belongs to: its operation, and the form where there are two. */
function programOf(file: PostedFile): string {
  return file.claims.form === null ? file.claims.operation : `${file.claims.operation}-${file.claims.form}`;
}
