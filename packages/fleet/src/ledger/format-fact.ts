import { trimmed } from '@bedledger/diagnostics';
import { type AnySchema, defOf, schemasAt } from '../source/schema-walk.ts';
import { type FactWritten, factSchema } from '../written/ledger.ts';

/** Words that YAML 1.2 (core schema), or an older reader, takes for something else than text. */
const NOT_TEXT = /^(?:true|false|null|yes|no|on|off|y|n|~|[-+.]?\d.*|\.inf|\.nan)$/i;

function scalar(value: string): string {
  // A number with its unit begins with a digit, yet is text to every reader: the blank or the letters see to that.
  const quantity =
    /^-?\d+(?:\.\d+)?(?: \d+\/\d+|\/\d+)? ?[A-Za-z][A-Za-z0-9/]*$/.test(value) &&
    !/^-?\d+(?:\.\d+)?[eExXoO]/.test(value);
  const date = /^\d{4}-\d{2}-\d{2}$/.test(value);
  if (quantity || date) return value;
  if (/^[A-Za-z][A-Za-z0-9 _./-]*$/.test(value) && !value.endsWith(' ') && !NOT_TEXT.test(value))
    return value;
  return JSON.stringify(value);
}

function number(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`not a number to write down: ${value}`);
  // A micrometre is finer than anybody measures; the sixth digit keeps inches exact enough.
  return trimmed(value, 6);
}

function flow(value: unknown, schemas: readonly AnySchema[]): string {
  if (Array.isArray(value)) {
    return `[${value.map((v, i) => flow(v, below(schemas, i, value))).join(', ')}]`;
  }
  if (typeof value === 'number') return number(value);
  if (typeof value === 'boolean') return String(value);
  if (typeof value === 'string') return scalar(value);
  if (typeof value === 'object' && value !== null) {
    // Keys stand in the order of the schema, whatever order the caller used.
    const order = schemas.flatMap((s) => Object.keys(defOf(s).shape ?? {}));
    const entries = Object.entries(value).filter(([, v]) => v !== undefined);
    entries.sort(([a], [b]) => order.indexOf(a) - order.indexOf(b));
    return `{ ${entries.map(([k, v]) => `${k}: ${flow(v, below(schemas, k, value))}`).join(', ')} }`;
  }
  throw new RangeError(`not a value of a fact: ${String(value)}`);
}

function below(schemas: readonly AnySchema[], step: string | number, value: object): AnySchema[] {
  return schemas.flatMap((s) => schemasAt(s, [step], value));
}

/** One fact as one line of YAML, without the leading `- `. */
export function formatFact(fact: FactWritten): string {
  return flow(fact, schemasAt(factSchema, [], fact));
}
