import type { Controller } from '@bedledger/fleet';
import { fault } from '../fault.ts';
import { plainText } from './transliterate.ts';

/** Least room a comment must have for the footer's parts to stand whole. */
const LEAST_ROOM = 24;

/** How one controller writes comments. */
export interface CommentForm {
  /** Whole comment lines for a text, without line endings; none when the controller has no comments. */
  readonly lines: (text: string) => readonly string[];
  /** The same for `KEY` and a value. */
  readonly entry: (key: string, value: string) => readonly string[];
  /** `KEY` and a text of our own that is already plain. */
  readonly footer: (key: string, value: string) => readonly string[];
}

/** Words packed into lines no longer than `room`; further lines start with two spaces. Only a word longer than a line is ever broken. */
export function wrapWords(text: string, room: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const indent = lines.length === 0 ? '' : '  ';
    if (line === '') line = indent + word;
    else if (line.length + 1 + word.length <= room) line += ` ${word}`;
    else {
      lines.push(line);
      line = `  ${word}`;
    }
    while (line.length > room) {
      lines.push(line.slice(0, room));
      line = `  ${line.slice(room)}`;
    }
  }
  if (line.trim() !== '') lines.push(line);
  return lines;
}

/** The message form of RS274/NGC `(MSG,…)` must not arise from a title. */
function defuseMessage(text: string): string {
  return /^\s*m\s*s\s*g\s*,/i.test(text) ? text.replace(',', ' ') : text;
}

/** Comment writing for a controller. Comment lines never carry a line number. */
export function commentForm(controller: Controller): CommentForm {
  if (controller.comments === 'none') return { lines: () => [], entry: () => [], footer: () => [] };
  const before = controller.comments === 'paren' ? '(' : '; ';
  const after = controller.comments === 'paren' ? ')' : '';
  // The blank after a semicolon counts as text.
  const blank = before.length - 1;
  const room = Math.min(
    controller.commentLength - blank,
    controller.maxLineLength - before.length - after.length,
  );
  if (room < LEAST_ROOM) {
    throw fault(
      'comment-room',
      `comments have room for ${room} characters, and need ${LEAST_ROOM}`,
      'raise max_line_length or comment_length in the profile, or set comments to none',
      { room },
    );
  }
  const upper = controller.characterSet === 'ascii-upper';
  const separator = controller.dialect === 'iso6983' ? ' = ' : ': ';
  const dress = (plain: string): readonly string[] =>
    wrapWords(upper ? plain.toUpperCase() : plain, room).map((line) => before + line + after);
  return {
    lines: (text) => dress(defuseMessage(plainText(text))),
    entry: (key, value) => dress(`${key}${separator}${plainText(value)}`),
    footer: (key, value) => dress(`${key}${separator}${value}`),
  };
}
