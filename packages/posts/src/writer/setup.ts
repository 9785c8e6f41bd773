import type { NeutralProgram } from '@bedledger/bedwork';
import { fromUnits, inUnits } from '@bedledger/diagnostics';
import type { Controller } from '@bedledger/fleet';
import { type Choices, choicesOf } from '../choices.ts';
import type { DialectRules } from '../dialects/dialect.ts';
import { dialectRules } from '../dialects/dialects.ts';
import type { CentreRules } from '../motion/arc-centre.ts';
import { type NumberForm, numberForm } from '../numbers/number-form.ts';
import { type CommentForm, commentForm } from '../text/comment.ts';

/** Everything about a program and its controller that does not change while it is written. */
export interface Setup {
  readonly program: NeutralProgram;
  readonly controller: Controller;
  readonly rules: DialectRules;
  readonly choices: Choices;
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
        throw new RangeError(
          `auxiliary ${JSON.stringify(name)} has the words ${JSON.stringify(text)}; one code word such as M7 is expected, with P Q L or S words after it`,
        );
      }
    }
  }
}

function checkWorkOffset({ header: { workOffset } }: NeutralProgram, controller: Controller): void {
  if (!Number.isInteger(workOffset) || workOffset < 1 || workOffset > 9)
    throw new RangeError(`work offset ${workOffset} is not 1…9`);
  if (controller.workOffset === 'none' && workOffset !== 1)
    throw new RangeError(`work offset ${workOffset} is wanted, and the controller has no work offset words`);
}

/**
 * Works a program and a controller out for writing.
 *
 * @throws InputError when comments have too little room
 * @throws RangeError for what no profile can ask for: every profile with it is refused when it is read
 */
export function setUp(program: NeutralProgram, controller: Controller): Setup {
  const rules = dialectRules(controller);
  const choices = choicesOf(controller);
  checkAuxiliaries(controller);
  checkWorkOffset(program, controller);
  const { numbers, units } = controller;
  const xyz = numberForm(numbers.xyz, numbers, 'length');
  const ijk = numberForm(numbers.ijk, numbers, 'length');
  const feed = numberForm(numbers.feed, numbers, 'quantity');
  const unit = fromUnits(1, units);
  const perUnit = inUnits(1, units);
  return {
    program,
    controller,
    rules,
    choices,
    comments: commentForm(controller, rules),
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
      absolute: choices.arcs.centre === 'absolute',
      oneQuadrant: choices.arcs.oneQuadrant,
      tolerance: controller.arcs.tolerance,
    },
    feedScale: (feed.one * perUnit) / (choices.feedPerSecond ? 60 : 1),
  };
}
