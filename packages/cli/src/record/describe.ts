import type { FactWritten } from '@bedledger/fleet';

/** A fact in one line: figures of single sites as their range. */
export function describeFact(fact: FactWritten): string {
  const { fact: kind, date, ...rest } = fact;
  const words = Object.entries(rest).map(([key, value]) => `${key.replaceAll('_', ' ')} ${valueText(value)}`);
  return `${kind} on ${date}${words.length === 0 ? '' : `: ${words.join('; ')}`}`;
}

function valueText(value: unknown): string {
  if (Array.isArray(value)) return value.map(valueText).join(', ');
  if (typeof value !== 'object' || value === null) return String(value);
  const entries = Object.entries(value);
  const numbers = entries.map(([, inner]) => inner).filter((v): v is number => typeof v === 'number');
  const bySite = entries.every(([name]) => /^[A-Z]+\d+$/.test(name));
  if (bySite && numbers.length === entries.length && entries.length > 2)
    return `${Math.min(...numbers)} to ${Math.max(...numbers)} at ${entries.length} sites`;
  if ('value' in value && 'within' in value) return `${value.value} ± ${value.within}`;
  return `(${entries.map(([name, inner]) => `${name} ${valueText(inner)}`).join(', ')})`;
}
