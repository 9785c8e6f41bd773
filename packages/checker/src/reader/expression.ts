import type { ReaderCode } from '../rules/table.ts';

/**
 * Expressions, parameters and functions of RS274/NGC (NISTIR 6556 section 3.3.2), evaluated where they stand.
 * A recursive descent over bytes; white space and case mean nothing. Depth is bounded, so no text can exhaust the stack.
 */

const SPACE = 32;
const TAB = 9;
const MAX_DEPTH = 60;

export class ExpressionFault extends Error {
  readonly rule: ReaderCode;
  readonly from: number;
  constructor(rule: ReaderCode, from: number, message: string) {
    super(message);
    this.rule = rule;
    this.from = from;
  }
}

/** Highest parameter number (NGC 3.2.1) and the first that the standard keeps for itself. */
const LAST_PARAMETER = 5399;
export const FIRST_RESERVED = 5001;

const FUNCTIONS = [
  'abs',
  'acos',
  'asin',
  'atan',
  'cos',
  'exp',
  'fix',
  'fup',
  'ln',
  'round',
  'sin',
  'sqrt',
  'tan',
];

const DEGREE = Math.PI / 180;

/** Power by repeated multiplication for whole exponents (exact where the result is), by logarithm otherwise. */
function power(base: number, exponent: number): number {
  if (Number.isInteger(exponent) && Math.abs(exponent) <= 1024) {
    let result = 1;
    let factor = base;
    for (let e = Math.abs(exponent); e > 0; e = Math.floor(e / 2)) {
      if (e % 2 === 1) result *= factor;
      factor *= factor;
    }
    return exponent < 0 ? 1 / result : result;
  }
  return Math.exp(exponent * Math.log(base));
}

/** Reads values of one line. `end` is the offset of its line end. */
export class ExpressionReader {
  /** Offset after the value read last. */
  position = 0;
  private bytes: Uint8Array = new Uint8Array(0);
  private end = 0;
  private depth = 0;
  private readonly parameter: (index: number, from: number) => number;

  /** @param parameter value of a parameter; throws ExpressionFault when it has none */
  constructor(parameter: (index: number, from: number) => number) {
    this.parameter = parameter;
  }

  /** A real value at `from`: number, parameter, expression or function. */
  value(bytes: Uint8Array, from: number, end: number): number {
    this.bytes = bytes;
    this.end = end;
    this.position = from;
    this.depth = 0;
    const value = this.realValue();
    if (!Number.isFinite(value)) {
      throw new ExpressionFault('grammar/expression', from, 'found an expression without a finite value');
    }
    return value;
  }

  private peek(): number {
    while (this.position < this.end) {
      const c = this.bytes[this.position]!;
      if (c !== SPACE && c !== TAB) return c | (c >= 65 && c <= 90 ? 32 : 0);
      this.position++;
    }
    return 0;
  }

  private fault(message: string): never {
    throw new ExpressionFault('grammar/expression', this.position, message);
  }

  private realValue(): number {
    if (++this.depth > MAX_DEPTH) this.fault(`found an expression nested deeper than ${MAX_DEPTH} levels`);
    const c = this.peek();
    let value: number;
    if (c === 91) value = this.bracketed();
    else if (c === 35) value = this.parameterValue();
    else if (c >= 97 && c <= 122) value = this.functionValue();
    else value = this.number();
    this.depth--;
    return value;
  }

  private bracketed(): number {
    if (this.peek() !== 91) this.fault('found no `[` where an expression must begin');
    this.position++;
    const value = this.operands(0);
    if (this.peek() !== 93) this.fault('found no `]` where an expression must end');
    this.position++;
    return value;
  }

  /** Levels: 0 `+ - AND OR XOR`, 1 `* / MOD`, 2 `**`; all of one level from left to right. */
  private operands(level: number): number {
    let left = level === 2 ? this.realValue() : this.operands(level + 1);
    for (;;) {
      const operator = this.operatorOf(level);
      if (operator === '') return left;
      const right = level === 2 ? this.realValue() : this.operands(level + 1);
      left = this.apply(operator, left, right);
    }
  }

  private operatorOf(level: number): string {
    const c = this.peek();
    const at = this.position;
    if (level === 2) {
      if (c !== 42) return '';
      this.position++;
      if (this.peek() === 42) {
        this.position++;
        return '**';
      }
      this.position = at;
      return '';
    }
    if (level === 1) {
      if (c === 47) {
        this.position++;
        return '/';
      }
      if (c === 42) {
        this.position++;
        return '*';
      }
      return c === 109 && this.take('mod') ? 'mod' : '';
    }
    if (c === 43 || c === 45) {
      this.position++;
      return c === 43 ? '+' : '-';
    }
    for (const word of ['and', 'or', 'xor']) if (c === word.charCodeAt(0) && this.take(word)) return word;
    return '';
  }

  private take(word: string): boolean {
    const at = this.position;
    for (let i = 0; i < word.length; i++) {
      if (this.peek() !== word.charCodeAt(i)) {
        this.position = at;
        return false;
      }
      this.position++;
    }
    return true;
  }

  private apply(operator: string, a: number, b: number): number {
    switch (operator) {
      case '**':
        if (a < 0 && !Number.isInteger(b)) this.fault('found a negative number to a power that is not whole');
        return power(a, b);
      case '*':
        return a * b;
      case '/':
        if (b === 0) this.fault('found a division by zero');
        return a / b;
      case 'mod': {
        if (b === 0) this.fault('found a division by zero');
        // NGC 3.3.2.3 leaves the sign open; the result is kept within 0 and the divisor.
        const rest = a % b;
        return rest < 0 ? rest + Math.abs(b) : rest;
      }
      case '+':
        return a + b;
      case '-':
        return a - b;
      case 'and':
        return a !== 0 && b !== 0 ? 1 : 0;
      case 'or':
        return a !== 0 || b !== 0 ? 1 : 0;
      default:
        return (a !== 0) !== (b !== 0) ? 1 : 0;
    }
  }

  /** `#` and a whole number from 1 to 5399, which may itself be any real value. */
  parameterIndex(): number {
    const from = this.position;
    if (this.peek() !== 35) this.fault('found no `#`');
    this.position++;
    const value = this.realValue();
    const index = Math.round(value);
    if (!(Math.abs(value - index) <= 0.0001) || index < 1 || index > LAST_PARAMETER) {
      throw new ExpressionFault(
        'grammar/parameter',
        from,
        `found parameter number ${value}, expected a whole number from 1 to ${LAST_PARAMETER}`,
      );
    }
    return index;
  }

  /** Sets the reader to a place without reading. */
  at(bytes: Uint8Array, from: number, end: number): this {
    this.bytes = bytes;
    this.position = from;
    this.end = end;
    this.depth = 0;
    return this;
  }

  private parameterValue(): number {
    const from = this.position;
    return this.parameter(this.parameterIndex(), from);
  }

  private functionValue(): number {
    const from = this.position;
    let name = '';
    for (const candidate of FUNCTIONS) {
      if (this.take(candidate)) {
        name = candidate;
        break;
      }
    }
    if (name === '') this.fault(`found an unknown function, expected one of ${FUNCTIONS.join(', ')}`);
    const a = this.bracketed();
    const outside = (): never => {
      throw new ExpressionFault('grammar/expression', from, `found ${name} of ${a}, which is not defined`);
    };
    switch (name) {
      case 'abs':
        return Math.abs(a);
      case 'acos':
        return Math.abs(a) > 1 ? outside() : Math.acos(a) / DEGREE;
      case 'asin':
        return Math.abs(a) > 1 ? outside() : Math.asin(a) / DEGREE;
      case 'atan': {
        if (this.peek() !== 47) this.fault('found atan with one argument, expected `/[…]` after it');
        this.position++;
        return Math.atan2(a, this.bracketed()) / DEGREE;
      }
      case 'cos':
        return Math.cos(a * DEGREE);
      case 'exp':
        return Math.exp(a);
      case 'fix':
        return Math.floor(a);
      case 'fup':
        return Math.ceil(a);
      case 'ln':
        return a <= 0 ? outside() : Math.log(a);
      case 'round':
        return a < 0 ? -Math.floor(-a + 0.5) : Math.floor(a + 0.5);
      case 'sin':
        return Math.sin(a * DEGREE);
      case 'sqrt':
        return a < 0 ? outside() : Math.sqrt(a);
      default:
        return Math.tan(a * DEGREE);
    }
  }

  private number(): number {
    let text = '';
    let digits = 0;
    let points = 0;
    let c = this.peek();
    if (c === 43 || c === 45) {
      if (c === 45) text = '-';
      this.position++;
      c = this.peek();
    }
    for (; (c >= 48 && c <= 57) || c === 46; c = this.peek()) {
      if (c === 46) {
        if (++points > 1) this.fault('found a second decimal point');
      } else digits++;
      text += String.fromCharCode(c);
      this.position++;
    }
    if (digits === 0) this.fault('found no number where a value must stand');
    return Number(text);
  }
}
