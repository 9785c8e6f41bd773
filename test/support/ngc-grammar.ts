import { generate } from 'peggy';

/**
 * Syntax of one line of RS274/NGC, written from the production language of NISTIR 6556 (appendix E, and section 3.3 for
 * the letters and comments). White space outside comments is taken out first, as the report reads it; letters are
 * folded to lower case. Syntax only: it knows no modal groups and no repeats.
 */
const GRAMMAR = `
line = "/"? number? segment* !.
number = "n" digit digit? digit? digit? digit? ![0-9]
segment = word / comment / setting
word = [abcdfghijklmpqrstxyz] real
comment = "(" [^()]* ")"
setting = "#" real "=" real
real = plain / expression / parameter / unary
plain = [+-]? (digit+ ("." digit*)? / "." digit+)
expression = "[" real (binary real)* "]"
binary = "**" / [*/] / "mod" / [+-] / "and" / "or" / "xor"
parameter = "#" real
unary = "atan" expression "/" expression / ordinary expression
ordinary = "abs" / "acos" / "asin" / "cos" / "exp" / "fix" / "fup" / "ln" / "round" / "sin" / "sqrt" / "tan"
digit = [0-9]
`;

const parser = generate(GRAMMAR);

/** Does the line belong to the language? */
export function isNgcLine(line: string): boolean {
  // Printable ASCII, space and tab only.
  if (!/^[\t\x20-\x7e]*$/.test(line) || line.length > 256) return false;
  let out = '';
  let inside = false;
  for (const c of line) {
    if (c === '(') inside = true;
    if (inside || (c !== ' ' && c !== '\t')) out += inside ? c : c.toLowerCase();
    if (c === ')') inside = false;
  }
  try {
    parser.parse(out);
    return true;
  } catch {
    return false;
  }
}
