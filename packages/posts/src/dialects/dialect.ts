import type { Controller, Dialect } from '@bedledger/fleet';
import { fault } from '../fault.ts';
import { iso6983 } from './iso6983.ts';
import { linear } from './linear.ts';
import { rs274d } from './rs274d.ts';
import { rs274ngc } from './rs274ngc.ts';

/** What one standard asks for beyond the axes of a controller. */
export interface DialectRules {
  /** Words that state this standard's modal groups at the start, in their order; distance is absolute there. */
  readonly start: (controller: Controller, workOffset: number) => readonly string[];
  /** Choices of the profile that the standard has no words for; empty when all is well. */
  readonly contradictions: (controller: Controller) => readonly string[];
}

const RULES: Readonly<Record<Dialect, DialectRules>> = { rs274ngc, iso6983, rs274d, linear };

/** The rules of a controller's dialect; an `InputError` when the controller's axes contradict it. */
export function dialectRules(controller: Controller): DialectRules {
  const rules = RULES[controller.dialect];
  const wrong = [...rules.contradictions(controller)];
  if (controller.numbers.xyz.decimals > 6 || controller.numbers.ijk.decimals > 6)
    wrong.push('more than six decimals');
  if (controller.words.gPerBlock < 1 || controller.words.mPerBlock < 1)
    wrong.push('less than one word a block');
  if (controller.spindle.start === 'dwell' && controller.dwell.word === 'none')
    wrong.push('a spindle that needs a dwell, but no dwell word');
  if (wrong.length > 0) {
    throw fault(
      'controller',
      `a controller of dialect ${controller.dialect} cannot have ${wrong.join(', nor ')}`,
      'correct the controller in the machine profile',
    );
  }
  return rules;
}
