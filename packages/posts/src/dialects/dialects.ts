import { type Controller, type Dialect, dialectContradictions } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';
import type { DialectRules } from './dialect.ts';
import { iso6983 } from './iso6983.ts';
import { linear } from './linear.ts';
import { rs274d } from './rs274d.ts';
import { rs274ngc } from './rs274ngc.ts';

const RULES: Readonly<Record<Dialect, DialectRules>> = { rs274ngc, iso6983, rs274d, linear };

/**
 * The rules of a controller's dialect.
 *
 * @throws RangeError when the controller has something that its dialect has no words for: a profile with such a
 *   controller is refused, with its line, before anything is planned
 */
export function dialectRules(controller: Controller): DialectRules {
  const rules = entryOf(RULES, controller.dialect, 'dialect');
  const wrong = dialectContradictions(controller).map((c) => c.message);
  if (controller.numbers.xyz.decimals > 6 || controller.numbers.ijk.decimals > 6)
    wrong.push('more than six decimals');
  if (controller.words.gPerBlock < 1 || controller.words.mPerBlock < 1)
    wrong.push('less than one word a block');
  if (controller.spindle.start === 'dwell' && controller.dwell.word === 'none')
    wrong.push('a spindle that needs a dwell, but no dwell word');
  if (wrong.length > 0) {
    throw new RangeError(`no program can be written for this controller: ${wrong.join('; ')}`);
  }
  return rules;
}
