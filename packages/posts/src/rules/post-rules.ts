import type { RuleTable } from '@bedledger/diagnostics';

/** What keeps an operation from being written as the text of a controller. */
export const POST_RULES = {
  'post/overflow': {
    severity: 'stop',
    title: 'a number has more digits than its word can hold',
    why: 'A controller that reads fewer digits than it is sent moves to another place, or stops in the middle of the program.',
    remedy: 'give the word more digits in controller.numbers, or check the position',
  },
  'post/not-a-number': {
    severity: 'stop',
    title: 'an operation asks for a position or a speed that is not a number',
    why: 'Nothing can be written for it, and the operation around it cannot be trusted either.',
    remedy: 'check the inputs of this operation',
  },
  'post/feed': {
    severity: 'stop',
    title: 'a feed is outside what the controller takes',
    why: 'Controllers refuse such a feed in the middle of the program, or cut at another one in its place.',
    remedy: 'correct the feed of this operation, or controller.feed in the machine profile',
  },
  'post/speed': {
    severity: 'stop',
    title: 'a spindle speed has no speed code',
    why: 'Another code would turn the cutter at a speed that nobody chose; a cutter that turns too fast can burst.',
    remedy: 'use one of the controller’s speeds for the cutter, or add the speed to controller.spindle.codes',
  },
  'post/dwell': {
    severity: 'stop',
    title: 'an operation waits, and the controller has no word for waiting',
    why: 'Without the wait the cutter goes in before the spindle is at speed.',
    remedy: 'set controller.dwell.word in the machine profile',
  },
  'post/auxiliary': {
    severity: 'stop',
    title: 'an operation switches an output that the controller does not have',
    why: 'Vacuum or extraction would not come on although the operation counts on it.',
    remedy: 'add the output to controller.auxiliary in the machine profile, or take it out of the operation',
  },
  'post/no-start': {
    severity: 'stop',
    title: 'a cut comes before any position in X and Y',
    why: 'The cut would begin wherever the machine happens to stand.',
    remedy: 'begin the operation with a rapid in X and Y',
  },
  'post/drill': {
    severity: 'stop',
    title: 'the heights of a drilled hole are not in order',
    why: 'A hole whose bottom lies above its start, or whose pecks have no depth, cannot be drilled.',
    remedy: 'check the heights of this operation',
  },
  'post/comment-room': {
    severity: 'stop',
    title: 'comments have too little room',
    why: 'The last comment of a program carries its line count and its fingerprint. Cut short they can no longer prove that the program arrived whole.',
    remedy: 'raise max_line_length or comment_length in the profile, or set comments to none',
  },
  'post/line-length': {
    severity: 'stop',
    title: 'a block is longer than the controller’s longest line',
    why: 'Controllers cut such a line off or refuse it, and the words at its end are lost.',
    remedy: 'raise max_line_length in the profile, or leave out spacing or trailing zeros',
  },
  'post/part-too-small': {
    severity: 'stop',
    title: 'the controller’s memory is too small for a part of the program',
    why: 'A program is split only where the cutter is at clear height, so that each part can be started on its own. Between two such places more is cut than the memory holds.',
    remedy: 'raise max_lines or max_bytes in the machine profile, or cut the operation shorter',
  },
  'post/too-many-parts': {
    severity: 'stop',
    title: 'a program has more parts than its program numbers can tell apart',
    why: 'Two parts with one number would overwrite each other in the controller, and the wrong one would run.',
    remedy: 'raise max_lines or max_bytes in the profile',
  },
} as const satisfies RuleTable;

/** Every code that writing a program can find. */
export type PostCode = keyof typeof POST_RULES;
