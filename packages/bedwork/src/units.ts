/** Units in which a machine's people read and key in. Everything inside is millimetres. */
export type Units = 'mm' | 'in';

const INCH = 25.4;
const FOOT = 304.8;
/** Pounds in a kilogram (international pound, 0.453 592 37 kg). */
const POUND = 0.453_592_37;
export const NEWTON_PER_POUND = 4.448_222;

/** A length to set, measure or buy: hundredths of a millimetre, thousandths of an inch. */
export function lengthText(value: number, units: Units): string {
  return units === 'mm' ? `${fixed(value, 2)} mm` : `${fixed(value / INCH, 3)} in`;
}

/** A length in a sentence: at most one decimal above 10 mm, two below, no trailing zero; thousandths of an inch. */
export function shortLength(value: number, units: Units): string {
  return `${shortNumber(value, units)} ${units}`;
}

/** The same without its unit, for positions and lists. */
export function shortNumber(value: number, units: Units): string {
  if (!Number.isFinite(value)) return value > 0 ? 'more than any' : 'no';
  if (units === 'in') return fixed(value / INCH, 3);
  const scale = Math.abs(value) >= 10 ? 10 : 100;
  return String(Math.round(value * scale) / scale + 0);
}

/** A limit that must be at least this: rounded up to a tenth of a millimetre, a hundredth of an inch. */
export function atLeastLength(value: number, units: Units): string {
  return units === 'mm'
    ? `${Math.ceil(value * 10 - 1e-9) / 10} mm`
    : `${(Math.ceil((value / INCH) * 100 - 1e-9) / 100).toFixed(2)} in`;
}

/** What is measured or fitted to the last digit: thousandths of a millimetre, ten-thousandths of an inch. */
export function fineLength(value: number, units: Units): string {
  return `${fineNumber(value, units)} ${units}`;
}

export function fineNumber(value: number, units: Units): string {
  return units === 'mm' ? fixed(value, 3) : fixed(value / INCH, 4);
}

/** A small length of which only the leading digits matter: a chip, a cusp. */
export function tinyLength(value: number, units: Units): string {
  return `${figure(units === 'mm' ? value : value / INCH)} ${units}`;
}

/** `X12.5 Y30` for a place on the bed. */
export function placeText(at: readonly [number, number], units: Units): string {
  return `X${shortNumber(at[0], units)} Y${shortNumber(at[1], units)}`;
}

/** A feed from mm/min. */
export function feedText(value: number, units: Units): string {
  return units === 'mm' ? `${figure(value)} mm/min` : `${fixed(value / INCH, 1)} in/min`;
}

/** The speed of a cutter's rim from m/s: charts in inches print feet a minute. */
export function rimText(value: number, units: Units): string {
  return units === 'mm' ? `${fixed(value, 1)} m/s` : `${fixed((value * 60_000) / FOOT, 0)} ft/min`;
}

/** A slope from mm in mm: a metre's or a foot's worth. */
export function slopeText(value: number, units: Units): string {
  return units === 'mm' ? `${figure(value * 1000)} mm in a metre` : `${figure(value * 12)} in in a foot`;
}

/** A long way from mm: metres, feet. */
export function wayText(value: number, units: Units): string {
  return units === 'mm' ? `${fixed(value / 1000, 2)} m` : `${fixed(value / FOOT, 1)} ft`;
}

/** An area from mm². */
export function areaText(value: number, units: Units): string {
  return units === 'mm' ? `${figure(value / 100)} cm²` : `${figure(value / (INCH * INCH))} in²`;
}

/** A volume of dust from mm³. */
export function volumeText(value: number, units: Units): string {
  return units === 'mm' ? `${fixed(value / 1e6, 2)} l` : `${fixed(value / (INCH * INCH * INCH), 0)} in³`;
}

/** A push of a cutter or on a part from N (1 lbf = 4.448 222 N, NIST SP 811). */
export function pushText(newton: number, units: Units): string {
  return units === 'mm' ? `${fixed(newton, 1)} N` : `${fixed(newton / NEWTON_PER_POUND, 1)} lbf`;
}

export function massText(kilograms: number, units: Units): string {
  return units === 'mm' ? `${fixed(kilograms, 2)} kg` : `${fixed(kilograms / POUND, 2)} lb`;
}

/** A hand drill by the name one finds it under, with its diameter; a metric drill is named by its diameter alone. */
export function drillText(drill: { readonly name: string; readonly diameter: number }, units: Units): string {
  const size = lengthText(drill.diameter, units);
  if (/^[\d.]+$/.test(drill.name)) return units === 'mm' ? `${drill.name} mm` : `${drill.name} mm (${size})`;
  return `${/^[A-Z]$/.test(drill.name) ? 'letter ' : ''}${drill.name} (${size})`;
}

/** A screw by the name it is bought under, whatever the machine's units: `M6 × 16 mm`, `1/4-20 × 0.625 in`. */
export function screwName(thread: string, length: number): string {
  return thread.startsWith('M')
    ? `${thread} × ${Number(length.toFixed(2))} mm`
    : `${thread} × ${Number((length / INCH).toFixed(3))} in`;
}

/** A torque from N·m (1 lbf·in = 0.112 984 8 N·m, NIST SP 811). */
export function torqueText(value: number, units: Units): string {
  return units === 'mm' ? `${fixed(value, 2)} N·m` : `${fixed(value / 0.112_984_8, 1)} lbf·in`;
}

/** The number to key in, in the machine's units. */
export function keyValue(value: number, units: Units): number {
  return units === 'mm' ? Math.round(value * 1000) / 1000 : Math.round((value / INCH) * 10_000) / 10_000;
}

/** Fixed decimals without a negative zero. */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** Short decimal text for sentences: about four significant digits, no exponent, no locale. */
export function figure(value: number): string {
  if (!Number.isFinite(value)) return String(value);
  const size = Math.abs(value);
  const scale =
    size >= 1000 ? 1 : size >= 100 ? 10 : size >= 10 ? 100 : size >= 1 ? 1000 : size >= 0.01 ? 1e4 : 1e6;
  return String(Math.round(value * scale) / scale + 0);
}
