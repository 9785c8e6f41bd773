import type { AccountLine, WorkPlan, WorkStep } from '@bedledger/bedwork';
import { fixed, foldFindings, lengthText, summarise, type Units } from '@bedledger/diagnostics';
import type { ZZero } from '@bedledger/fleet';
import type { PostedFile } from '@bedledger/posts';
import type { MachinePicture } from '../machine-pictures.ts';
import { fineLengthOnSheet, lengthOnSheet } from '../svg/length.ts';
import { finite } from '../svg/markup.ts';
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
  return page(`${plan.record.machine.title}: run sheet`, [
    ...opening(plan),
    ...toLookAt(plan),
    '<h2>Steps</h2>',
    '<ol class="steps">',
    ...plan.steps.map((step, i) => stepItem(step, i + 1, plan, posted)),
    '</ol>',
    ...notIssued(plan),
    '<h2>Programs</h2>',
    programTable(posted, plan.record.machine.units),
    '<h2>Drawings</h2>',
    ...pictures.map(
      ({ file, caption }) =>
        `<figure><img src="${h(file)}" alt="${h(caption)}"><figcaption>${h(caption)} (${h(file)}).</figcaption></figure>`,
    ),
    ...accounts(plan),
    ...bill(plan),
  ]);
}

const Z_ZERO_PLACE: Readonly<Record<ZZero, string>> = {
  bed: 'the bed surface',
  'board-top': "the board's top",
};

/** What the machine is, how it stands, and what is next. */
function opening({ record, next }: WorkPlan): string[] {
  const { machine, revision, state, ledger } = record;
  const { board } = state;
  const ledgerText =
    ledger.facts.length === 0
      ? 'nothing recorded in the ledger yet'
      : `as the ledger stands on ${h(lastFactDate(record))}`;
  const boardText =
    board === null
      ? 'No board is recorded on this bed.'
      : `Board ${board.ordinal} on this bed, fitted ${h(board.fitted)}: <b>${h(lengthText(finite(board.thickness), machine.units))}</b> thick at the last measurement, ${board.skims} ${board.skims === 1 ? 'skim' : 'skims'} so far.`;
  return [
    `<h1>${h(machine.title)}</h1>`,
    `<p class="second">Run sheet of ${h(machine.id)}, revision ${h(revision)}, ${ledgerText}.</p>`,
    `<p>${boardText} Programs have their Z 0 on ${Z_ZERO_PLACE[machine.zZero]}.</p>`,
    `<p class="next"><b>Next:</b> ${h(sentence(next))}</p>`,
    '<p class="caution"><b>Caution.</b> These sheets do not replace the machine maker’s manual, local codes or a competent person. Where they disagree with what you see at the machine, stop and ask.</p>',
  ];
}

function toLookAt({ findings }: WorkPlan): string[] {
  const notable = foldFindings(findings).filter(({ finding }) => finding.severity !== 'note');
  if (notable.length === 0) return [];
  return [
    '<h2>To look at first</h2>',
    ...notable.map(({ finding: { severity, message, help }, likewise, hanging }) => {
      const what = help === undefined ? '' : ` ${h(sentence(help))}`;
      const same = likewise.length === 0 ? '' : ` Likewise ${h(likewise.map((d) => d.each).join(', '))}.`;
      const more = hanging.length === 0 ? '' : ` (${h(summarise(hanging))} hang on it.)`;
      return `<p class="withheld${severity === 'stop' ? ' stop' : ''}"><b>${h(severity)}</b> ${h(sentence(message))}${same}${what}${more}</p>`;
    }),
  ];
}

function notIssued(plan: WorkPlan): string[] {
  const withheld = plan.withheld.filter((w) => w.asked !== false);
  if (withheld.length === 0) return [];
  return [
    '<h2>Not issued, and why</h2>',
    ...withheld.map(
      ({ operation, form, reason }) =>
        `<p class="withheld"><b>${h(operation)}${form === null ? '' : ` ${h(form)}`}</b>: ${h(sentence(reason))}</p>`,
    ),
  ];
}

function programTable(posted: readonly PostedFile[], units: Units): string {
  if (posted.length === 0) return '<p>None at present.</p>';
  const length = (mm: number | null): string => (mm === null ? '–' : lengthOnSheet(mm, units));
  return table(
    [
      { head: 'file' },
      { head: 'cutter' },
      { head: 'key in', right: true },
      { head: `deepest in bed, ${units}`, right: true },
      { head: `lowest in board, ${units}`, right: true },
      { head: 'minutes', right: true },
    ],
    posted.map(({ name, claims }) => [
      claims.parts > 1 ? `${name} (part ${claims.part} of ${claims.parts})` : name,
      claims.cutter ?? 'none',
      claims.keyIn === null ? '–' : fineLengthOnSheet(claims.keyIn, units),
      length(claims.deepest.bed),
      length(claims.deepest.board),
      fixed(finite(claims.minutes), 1),
    ]),
  );
}

function accounts({ accounts: { surfacing, feeds, vacuum, time } }: WorkPlan): string[] {
  const all: readonly (readonly [title: string, lines: readonly AccountLine[]])[] = [
    ['Surfacing', surfacing],
    ['Feeds and power', feeds],
    ['Vacuum', vacuum],
    ['Time', time],
  ];
  return all.flatMap(([title, lines]) =>
    lines.length === 0
      ? []
      : [
          `<h2>${title}</h2>`,
          table(
            [{ head: 'what' }, { head: 'how much' }, { head: 'where from' }],
            lines.map((l) => [l.label, l.value, sentence(l.note)]),
          ),
        ],
  );
}

function bill(plan: WorkPlan): string[] {
  if (plan.bill.length === 0) return [];
  return [
    '<h2>To have ready</h2>',
    table(
      [{ head: 'item' }, { head: 'quantity', right: true }, { head: 'note' }],
      plan.bill.map((b) => [b.item, quantityText(b.quantity, b.unit), sentence(b.note)]),
    ),
  ];
}

function quantityText(quantity: number, unit: string): string {
  const count = Number.isInteger(quantity) ? String(quantity) : fixed(finite(quantity), 1);
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

/** Digits that a number to key in has, as the program's own heights have. */
const KEY_IN_DECIMALS: Readonly<Record<Units, number>> = { mm: 3, in: 4 };

/** The order in which the operator needs it: what can hurt, what must be so, what to load, what to key in, what to do afterwards. */
function stepItem(step: WorkStep, number: number, plan: WorkPlan, posted: readonly PostedFile[]): string {
  const { before, after } = split(step, plan);
  const files = step.program === null ? [] : posted.filter((p) => programOf(p) === step.program);
  const text = [
    cautionBox(step.cautions),
    list(before),
    ...loading(files, step.keyIn),
    ...files.flatMap((file) => takenUpAgain(file, files.length > 1)),
    ...(after.length > 0 ? ['<p>Afterwards:</p>', list(after)] : []),
    ...step.record.map(({ label, unit }) => measureLine(label, unit || plan.record.machine.units)),
    step.minutes > 0
      ? `<p class="second">About ${fixed(finite(step.minutes), step.minutes < 10 ? 1 : 0)} min.</p>`
      : '',
  ]
    .filter((part) => part !== '')
    .join('\n');
  const title = h(withoutStop(step.title));
  // What is done stays at hand, folded away, in case it has to be done again.
  const body = step.done
    ? `<details><summary><h3>${title}</h3> <span class="second">done</span></summary>\n${text}\n</details>`
    : `<h3>${title}</h3>\n${text}`;
  return `<li class="${step.kind}${step.done ? ' done' : ''}"><div><span class="tick" aria-hidden="true">${step.done ? '×' : ''}</span><span class="number">${number}</span></div><div>\n${body}\n</div></li>`;
}

function withoutStop(text: string): string {
  return sentence(text).replace(/\.$/, '');
}

/** A line to write a measured value on. */
function measureLine(label: string, unit: string): string {
  return `<p class="measure"><span>${h(withoutStop(label))}</span><i></i><span>${h(unit)}</span></p>`;
}

/** The files of a program, and what is keyed in: that goes with the first part, the others carry on from there. */
function loading(files: readonly PostedFile[], keyIn: WorkStep['keyIn']): string[] {
  const load = (file: PostedFile): string => `Load <span class="file">programs/${h(file.name)}</span>`;
  const [first, ...further] = files;
  const parts: string[] = [];
  if (first !== undefined)
    parts.push(`<p>${load(first)}${further.length > 0 ? `, part 1 of ${files.length}` : ''}.</p>`);
  if (keyIn !== null) {
    const value = fixed(finite(keyIn.value), KEY_IN_DECIMALS[keyIn.unit]);
    parts.push(`<p class="key-in"><span>Then ${h(keyIn.label)}</span><br><b>${value}</b> ${keyIn.unit}</p>`);
  }
  if (further.length > 0)
    parts.push(
      '<p>The other parts, one after the other:</p>',
      `<ol class="parts">${further
        .map((file) => `<li><span class="tick" aria-hidden="true"></span>${load(file)}</li>`)
        .join('')}</ol>`,
    );
  return parts;
}

/** Where a stopped program may be taken up again: at the marked places, and nowhere else. */
function takenUpAgain({ name, claims }: PostedFile, several: boolean): string[] {
  if (claims.restarts.length === 0) return [];
  const places = claims.restarts.map(
    ({ line, block, title }) => `line ${line}${block === null ? '' : ` (N${block})`}, ${title}`,
  );
  const what = several ? name : 'it';
  return [
    `<p class="second">After a stop ${h(what)} may be taken up again at its first line or at ${h(places.join('; '))}. Nowhere else: what the lines before have set is not in force there.</p>`,
  ];
}

/** The neutral program's name a posted file belongs to: its operation, and the form where there are two. */
function programOf(file: PostedFile): string {
  return file.claims.form === null ? file.claims.operation : `${file.claims.operation}-${file.claims.form}`;
}
