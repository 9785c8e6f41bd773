import type { NeutralProgram } from '@bedledger/bedwork';
import type { Controller } from '@bedledger/fleet';
import { type DialectRules, dialectRules } from '../dialects/dialect.ts';
import { fault } from '../fault.ts';
import type { CentreRules } from '../motion/arc-centre.ts';
import { type NumberForm, numberForm } from '../numbers/number-form.ts';
import { type CommentForm, commentForm } from '../text/comment.ts';

export const MM_PER_INCH = 25.4;

/** Everything about a program and its controller that does not change while it is written. */
export interface Setup {
  readonly program: NeutralProgram;
  readonly controller: Controller;
  readonly rules: DialectRules;
  readonly comments: CommentForm;
  readonly xyz: NumberForm;
  readonly ijk: NumberForm;
  readonly feed: NumberForm;
  readonly speed: NumberForm;
  readonly dwell: NumberForm;
  readonly integer: NumberForm;
  /** Grid steps a millimetre, and millimetres a grid step. */
  readonly scale: number;
  readonly step: number;
  readonly centreRules: CentreRules;
  /** Feed steps for 1 mm/min. */
  readonly feedScale: number;
}

/** Words of auxiliary outputs come from the profile: nothing but a code word and its parameters gets through. */
const AUXILIARY_WORDS = /^[GM]\d{1,4}(\.\d)?( [PQLS]\d{1,6}(\.\d{1,4})?)*$/;

function checkAuxiliaries(controller: Controller): void {
  for (const [name, words] of Object.entries(controller.auxiliary)) {
    for (const text of [words.on, words.off]) {
      if (!AUXILIARY_WORDS.test(text)) {
        throw fault(
          'auxiliary-words',
          `auxiliary ${JSON.stringify(name)} has the words ${JSON.stringify(text)}; one code word such as M7 is expected, with P Q L or S words after it`,
          `correct controller.auxiliary.${name} in the machine profile`,
        );
      }
    }
  }
}

/** Works a program and a controller out for writing; an `InputError` when they do not go together. */
export function setUp(program: NeutralProgram, controller: Controller): Setup {
  const rules = dialectRules(controller);
  checkAuxiliaries(controller);
  const { workOffset } = program.header;
  if (!Number.isInteger(workOffset) || workOffset < 1 || workOffset > 9) {
    throw fault(
      'work-offset',
      `work offset ${workOffset} is not 1…9`,
      'set datum.work_offset in the machine profile to 1 (G54) … 9',
    );
  }
  if (controller.workOffset === 'none' && workOffset !== 1) {
    throw fault(
      'work-offset',
      `work offset ${workOffset} is wanted, and the controller has no work offset words`,
      'set datum.work_offset to 1, or give the controller its work offset words',
    );
  }
  const perUnit = controller.units === 'mm' ? 1 : 1 / MM_PER_INCH;
  const unit = controller.units === 'mm' ? 1 : MM_PER_INCH;
  const { numbers } = controller;
  const xyz = numberForm(numbers.xyz, numbers, 'length');
  const ijk = numberForm(numbers.ijk, numbers, 'length');
  const feed = numberForm(numbers.feed, numbers, 'quantity');
  return {
    program,
    controller,
    rules,
    comments: commentForm(controller),
    xyz,
    ijk,
    feed,
    speed: numberForm(numbers.speed, numbers, 'quantity'),
    dwell: numberForm(numbers.dwell, numbers, 'quantity'),
    integer: numberForm({ decimals: 0, integers: 9 }, numbers, 'quantity'),
    scale: xyz.one * perUnit,
    step: unit / xyz.one,
    centreRules: {
      step: unit / xyz.one,
      centreStep: unit / ijk.one,
      absolute: controller.arcs.form === 'centre-absolute',
      oneQuadrant: controller.arcs.quadrants === 'single',
      tolerance: controller.arcs.tolerance,
    },
    feedScale: (feed.one * perUnit) / ((controller.feed.per ?? 'minute') === 'second' ? 60 : 1),
  };
}
