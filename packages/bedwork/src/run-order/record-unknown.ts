import { tellUnknown } from '../base/tell-unknown.ts';
import { listOf } from '../base/words.ts';
import { handMinutes } from '../work/context.ts';
import { type HandStep, handStep } from './step.ts';

/** Screws hold the board, and nobody wrote down which: nothing more is cut before that is known. */
export const recordUnknown: HandStep = ({ context }) => {
  const { record, layout, standing } = context;
  const unknown = [...standing].filter(([, { kind }]) => kind === 'unknown').map(([site]) => site);
  if (unknown.length === 0) return null;
  const all = layout.sites.map(({ id }) => id);
  return handStep({
    title: 'Record what stands in the board',
    lines: [`${listOf(unknown)}: ${tellUnknown(record, standing, all)}`],
    minutes: handMinutes(context, 'measure-thickness', 5),
  });
};
