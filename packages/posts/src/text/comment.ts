import type { CommentStyle, Controller } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';
import type { DialectRules } from '../dialects/dialect.ts';
import { refusal } from '../report.ts';
import { plainText } from './transliterate.ts';

/** Characters that the comment at a program's end needs: its fingerprint may not be broken. */
const LEAST_ROOM = 24;

/** Comments of one controller. */
export interface CommentForm {
  /** Whole comment lines for a text, without line endings; none when the controller has no comments. */
  readonly lines: (text: string) => readonly string[];
  /** The same for a key and a value. */
  readonly entry: (key: string, value: string) => readonly string[];
  /** A key and a text of our own, which is plain already and may hold the separator itself. */
  readonly ownEntry: (key: string, value: string) => readonly string[];
}

/** Lines of at most `room` characters, broken between words; further lines start with two spaces. Only a word longer than a line is broken. */
function wrapWords(text: string, room: number): readonly string[] {
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

/** A title must not become a message to the operator, which RS274/NGC writes as `(MSG,…)`. */
function defuseMessage(text: string): string {
  return /^\s*m\s*s\s*g\s*,/i.test(text) ? text.replace(',', ' ') : text;
}

/** What stands before and after the text of a comment. A blank counts as text. */
interface CommentMarks {
  readonly before: string;
  readonly after: string;
}

const MARKS: Readonly<Record<CommentStyle, CommentMarks | null>> = {
  none: null,
  paren: { before: '(', after: ')' },
  semicolon: { before: '; ', after: '' },
};

const NO_COMMENTS: CommentForm = { lines: () => [], entry: () => [], ownEntry: () => [] };

/** Most characters of text in one comment line; a refusal when the end of a program would not stand whole in them. */
function roomOf(controller: Controller, { before, after }: CommentMarks): number {
  const blanks = before.endsWith(' ') ? 1 : 0;
  const room = Math.min(
    controller.commentLength - blanks,
    controller.maxLineLength - before.length - after.length,
  );
  if (room >= LEAST_ROOM) return room;
  throw refusal({
    code: 'post/comment-room',
    message: `comments have room for ${room} characters, and need ${LEAST_ROOM}`,
    facts: { room },
  });
}

/** How a controller writes comments. Comment lines never carry a line number. */
export function commentForm(controller: Controller, { separator }: DialectRules): CommentForm {
  const marks = entryOf(MARKS, controller.comments, 'comment style');
  if (marks === null) return NO_COMMENTS;
  const room = roomOf(controller, marks);
  const upper = entryOf({ 'ascii-upper': true, ascii: false }, controller.characterSet, 'character set');
  const write = (plain: string): readonly string[] =>
    wrapWords(upper ? plain.toUpperCase() : plain, room).map((line) => marks.before + line + marks.after);
  return {
    lines: (text) => write(defuseMessage(plainText(text))),
    entry: (key, value) => write(`${key}${separator}${plainText(value)}`),
    ownEntry: (key, value) => write(`${key}${separator}${value}`),
  };
}
