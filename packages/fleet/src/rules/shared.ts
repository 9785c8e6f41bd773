import type { RuleTable } from '@bedledger/diagnostics';
import { schemaRules } from './schema.ts';

/** What the shared lists of cutters, boards, fixings and house rules can get wrong. */
export const SHARED_RULES = {
  ...schemaRules('shared'),
  'shared/missing-file': {
    severity: 'stop',
    title: 'a shared file is missing',
    why: 'Every machine of the fleet uses cutters, boards, fixings and house rules.',
    remedy: 'write the file, or run the command in the root of the fleet',
  },
  'shared/repeated-number': {
    severity: 'warn',
    title: 'two cutters have the same tool number',
    why: 'In one machine the tool change could fetch the wrong one.',
    remedy: 'give each its own number, unless they never are in one machine',
  },
  'shared/range-reversed': {
    severity: 'stop',
    title: 'a chip load runs from the greater number to the lesser',
    why: 'No feed lies inside such a range.',
    remedy: 'exchange the two numbers',
  },
  'shared/not-plausible': {
    severity: 'stop',
    title: 'a figure that no cutter or board of this kind has',
    why: 'It is a slip of the unit or of the decimal point more often than the truth, and programs are computed from it.',
    remedy: 'check the unit',
  },
  'shared/stick-out': {
    severity: 'stop',
    title: 'a cutter stands out less than its cutting length',
    why: 'The collet would grip the cutting edges: one of the two figures is wrong, and reach is computed from both.',
    remedy: 'correct one of them',
  },
  'shared/point-angle': {
    severity: 'stop',
    title: 'kind of a cutter and angle of its point do not go together',
    why: 'How wide a point cuts at a depth, and how deep its tip goes, comes from the angle.',
    remedy: 'correct `kind` or `point_angle`',
  },
  'shared/survey-limit': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the limit is one to three and a half times the scatter' }],
    title: 'the survey limit is too near to the scatter of the readings',
    why: 'Readings scatter: the largest of ten residuals exceeds three and a half deviations in one good survey of 45, three deviations in one of nine. A tighter limit sends somebody to measure good marks again.',
    remedy: 'write a limit of four times `sigma`, or measure more carefully and write a smaller `sigma`',
  },
} satisfies RuleTable;
