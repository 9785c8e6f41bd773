import type { StackInput } from '../model.ts';

/** A length for people, without its unit: at most `digits` decimals of a millimetre, thousandths of an inch. */
export function lengthNumber(value: number, units: StackInput['units'], digits = 2): string {
  const text = units === 'in' ? (value / 25.4).toFixed(3) : String(Number(value.toFixed(digits)));
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** The same with its unit. */
export function lengthWords(value: number, units: StackInput['units']): string {
  return `${lengthNumber(value, units)} ${units ?? 'mm'}`;
}

/** A limit that was tried, rounded the safe way: `up` where at least this much is needed, else down. */
export function limitWords(value: number, units: StackInput['units'], up: boolean): string {
  if (units !== 'in') return lengthWords(value, units);
  const thousandths = (value / 25.4) * 1000;
  const whole = up ? Math.ceil(thousandths - 1e-6) : Math.floor(thousandths + 1e-6);
  return `${(whole / 1000).toFixed(3)} in`;
}
