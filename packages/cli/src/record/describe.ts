import type { FactWritten } from '@bedledger/fleet';

/** A fact in one line. */
export function describeFact(fact: FactWritten): string {
  const { fact: kind, date, ...rest } = fact;
  const words = Object.entries(rest).map(([key, value]) => `${key} ${valueText(value)}`);
  return `${kind} on ${date}${words.length === 0 ? '' : `: ${words.join('; ')}`}`;
}

function valueText(value: unknown): string {
  if (Array.isArray(value)) return value.map(valueText).join(', ');
  if (typeof value !== 'object' || value === null) return String(value);
  return `(${Object.entries(value)
    .map(([key, inner]) => `${key} ${valueText(inner)}`)
    .join(', ')})`;
}
