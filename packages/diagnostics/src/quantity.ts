import { figure, fixed, quantiseDown, quantiseUp, trimmed } from './rounding.ts';

/**
 * Every quantity as people read it, in the units of their machine. Values come in the units of the inside (millimetre,
 * millimetre a minute, newton, newton metre, pascal, cubic metre an hour, kilogram) and go out as text. Nothing else in the
 * project writes a unit beside a number.
 *
 * Conversion factors: NIST SP 811 (2008), appendix B; inch, foot and pound exact by the international agreement of 1959.
 */

/** Units in which a machine's people read and key in. Everything inside is millimetres. */
export type Units = 'mm' | 'in';

/** Exact. */
export const MM_PER_INCH = 25.4;
const MM_PER_FOOT = 304.8;
const KG_PER_POUND = 0.453_592_37;
export const NEWTON_PER_POUND = 4.448_222;
const NEWTON_METRE_PER_POUND_INCH = 0.112_984_8;
const PASCAL_PER_INCH_OF_MERCURY = 3386.389;
const WATT_PER_HORSEPOWER = 745.699872;
const PASCAL_PER_PSI = 6894.757;
/** A cubic foot a minute in m³/h: 0.3048³ × 60. */
const M3H_PER_CFM = 1.699_010_795_52;

/** A length in the machine's unit, not rounded. */
export function inUnits(mm: number, units: Units): number {
  return units === 'mm' ? mm : mm / MM_PER_INCH;
}

/** Millimetres from a length in the machine's unit. */
export function fromUnits(value: number, units: Units): number {
  return units === 'mm' ? value : value * MM_PER_INCH;
}

/** A length to set, measure or buy: hundredths of a millimetre, thousandths of an inch. */
export function lengthText(mm: number, units: Units): string {
  return `${lengthNumber(mm, units)} ${units}`;
}

/** The same without its unit, for columns whose head has it. */
export function lengthNumber(mm: number, units: Units): string {
  return fixed(inUnits(mm, units), units === 'mm' ? 2 : 3);
}

/** A length in a sentence: at most one decimal above 10 mm, two below, no trailing zero; thousandths of an inch. */
export function shortLength(mm: number, units: Units): string {
  return `${shortNumber(mm, units)} ${units}`;
}

/** The same without its unit, for positions and lists. */
export function shortNumber(mm: number, units: Units): string {
  if (!Number.isFinite(mm)) return mm > 0 ? 'more than any' : 'no';
  if (units === 'in') return fixed(mm / MM_PER_INCH, 3);
  return trimmed(mm, Math.abs(mm) >= 10 ? 1 : 2);
}

/** A figure as somebody wrote it: no more than hundredths of a millimetre or thousandths of an inch, no trailing zeros. */
export function writtenLength(mm: number, units: Units): string {
  return `${writtenNumber(mm, units)} ${units}`;
}

/** The same without its unit, for sums that are shown. */
export function writtenNumber(mm: number, units: Units): string {
  return trimmed(inUnits(mm, units), units === 'mm' ? 2 : 3);
}

/** A limit that must be at least this: rounded up to a tenth of a millimetre, a hundredth of an inch. */
export function atLeastLength(mm: number, units: Units): string {
  return units === 'mm'
    ? `${quantiseUp(mm, 10) / 10} mm`
    : `${(quantiseUp(mm / MM_PER_INCH, 100) / 100).toFixed(2)} in`;
}

/** A limit that was tried, rounded the safe way at the fineness of `lengthText`: `up` where at least this is needed, else down. */
export function limitLength(mm: number, units: Units, up: boolean): string {
  const scale = units === 'mm' ? 100 : 1000;
  const steps = up ? quantiseUp(inUnits(mm, units), scale) : quantiseDown(inUnits(mm, units), scale);
  return units === 'mm' ? `${steps / scale} mm` : `${(steps / scale).toFixed(3)} in`;
}

/** What is measured or fitted to the last digit: thousandths of a millimetre, ten-thousandths of an inch. */
export function fineLength(mm: number, units: Units): string {
  return `${fineNumber(mm, units)} ${units}`;
}

export function fineNumber(mm: number, units: Units): string {
  return fixed(inUnits(mm, units), units === 'mm' ? 3 : 4);
}

/** A length in a table that programs read back: 0.001 mm, or 0.00001 in, which is as exact. */
export function tableNumber(mm: number, units: Units): string {
  return fixed(inUnits(mm, units), units === 'mm' ? 3 : 5);
}

/** A length of which the last digit may matter, without trailing zeros: thousandths of a millimetre, ten-thousandths of an inch. */
export function exactLength(mm: number, units: Units): string {
  return `${exactNumber(mm, units)} ${units}`;
}

/** The same without its unit. */
export function exactNumber(mm: number, units: Units): string {
  return trimmed(inUnits(mm, units), units === 'mm' ? 3 : 4);
}

/** `X12.345 Y30` for a place of which the last digit may matter. */
export function exactPlace(at: readonly [number, number], units: Units): string {
  return `X${exactNumber(at[0], units)} Y${exactNumber(at[1], units)}`;
}

/** A small length of which only the leading digits matter: a chip, a cusp. */
export function tinyLength(mm: number, units: Units): string {
  return `${figure(inUnits(mm, units))} ${units}`;
}

/** `X12.5 Y30` for a place on the bed. */
export function placeText(at: readonly [number, number], units: Units): string {
  return `X${shortNumber(at[0], units)} Y${shortNumber(at[1], units)}`;
}

/** The number to key in, in the machine's units: 0.001 mm or 0.0001 in. */
export function keyValue(mm: number, units: Units): number {
  return Number(fineNumber(mm, units));
}

/** A feed or an axis speed from mm/min. */
export function feedText(mmPerMinute: number, units: Units): string {
  return units === 'mm' ? `${figure(mmPerMinute)} mm/min` : `${fixed(mmPerMinute / MM_PER_INCH, 1)} in/min`;
}

/** An acceleration from mm/s². */
export function accelerationText(mmPerSecond2: number, units: Units): string {
  return `${figure(inUnits(mmPerSecond2, units))} ${units}/s²`;
}

/** The speed of a cutter's rim from m/s: charts in inches print feet a minute. */
export function rimText(metresPerSecond: number, units: Units): string {
  return units === 'mm'
    ? `${fixed(metresPerSecond, 1)} m/s`
    : `${fixed((metresPerSecond * 60_000) / MM_PER_FOOT, 0)} ft/min`;
}

/** A slope from mm in mm: a metre's or a foot's worth. */
export function slopeText(slope: number, units: Units): string {
  return units === 'mm' ? `${figure(slope * 1000)} mm in a metre` : `${figure(slope * 12)} in in a foot`;
}

/** A long way from mm: metres, feet. */
export function wayText(mm: number, units: Units): string {
  return units === 'mm' ? `${fixed(mm / 1000, 2)} m` : `${fixed(mm / MM_PER_FOOT, 1)} ft`;
}

/** An area from mm². */
export function areaText(mm2: number, units: Units): string {
  return units === 'mm' ? `${figure(mm2 / 100)} cm²` : `${figure(mm2 / (MM_PER_INCH * MM_PER_INCH))} in²`;
}

/** The area of a zone or a board from mm²: square metres, square feet. */
export function wideAreaText(mm2: number, units: Units): string {
  return units === 'mm' ? `${figure(mm2 / 1e6)} m²` : `${figure(mm2 / (MM_PER_FOOT * MM_PER_FOOT))} ft²`;
}

/** A volume of dust or adhesive from mm³. */
export function volumeText(mm3: number, units: Units): string {
  const inch3 = MM_PER_INCH * MM_PER_INCH * MM_PER_INCH;
  return units === 'mm' ? `${fixed(mm3 / 1e6, 2)} l` : `${fixed(mm3 / inch3, 0)} in³`;
}

/** A push of a cutter or on a part from N. */
export function pushText(newton: number, units: Units): string {
  return units === 'mm' ? `${fixed(newton, 1)} N` : `${fixed(newton / NEWTON_PER_POUND, 1)} lbf`;
}

/** What holds a whole board, from N: kilonewtons, whole pounds. */
export function holdText(newton: number, units: Units): string {
  return units === 'mm' ? `${fixed(newton / 1000, 2)} kN` : `${fixed(newton / NEWTON_PER_POUND, 0)} lbf`;
}

/** What a part must bear or breaks at, from N: about four digits. */
export function forceText(newton: number, units: Units): string {
  return `${forceNumber(newton, units)} ${FORCE_UNIT[units]}`;
}

export function forceNumber(newton: number, units: Units): string {
  return figure(units === 'mm' ? newton : newton / NEWTON_PER_POUND);
}

export const FORCE_UNIT: Readonly<Record<Units, string>> = { mm: 'N', in: 'lbf' };

export function massText(kilograms: number, units: Units): string {
  return units === 'mm' ? `${fixed(kilograms, 2)} kg` : `${fixed(kilograms / KG_PER_POUND, 2)} lb`;
}

/** A torque from N·m. */
export function torqueText(newtonMetre: number, units: Units): string {
  return units === 'mm'
    ? `${fixed(newtonMetre, 2)} N·m`
    : `${fixed(newtonMetre / NEWTON_METRE_PER_POUND_INCH, 1)} lbf·in`;
}

/** The power of a spindle or of a cut from W: watts, horsepower of 550 ft·lbf/s. */
export function powerText(watt: number, units: Units): string {
  return units === 'mm' ? `${fixed(watt, 0)} W` : `${fixed(watt / WATT_PER_HORSEPOWER, 2)} hp`;
}

/** A vacuum or a pressure difference from Pa: kilopascals, inches of mercury. */
export function pressureText(pascal: number, units: Units): string {
  return `${pressureNumber(pascal, units)} ${PRESSURE_UNIT[units]}`;
}

export function pressureNumber(pascal: number, units: Units): string {
  return fixed(units === 'mm' ? pascal / 1000 : pascal / PASCAL_PER_INCH_OF_MERCURY, 1);
}

export const PRESSURE_UNIT: Readonly<Record<Units, string>> = { mm: 'kPa', in: 'inHg' };

/** A stress or a strength from N/mm². */
export function stressText(newtonPerMm2: number, units: Units): string {
  return units === 'mm'
    ? `${figure(newtonPerMm2)} N/mm²`
    : `${figure((newtonPerMm2 * 1e6) / PASCAL_PER_PSI)} psi`;
}

/** The pressure of the atmosphere from Pa, to a hundredth: it changes with the altitude by little. */
export function atmosphereText(pascal: number, units: Units): string {
  const value = units === 'mm' ? pascal / 1000 : pascal / PASCAL_PER_INCH_OF_MERCURY;
  return `${fixed(value, 2)} ${PRESSURE_UNIT[units]}`;
}

/** How high a place lies, from m. */
export function altitudeText(metres: number, units: Units): string {
  return units === 'mm' ? `${figure(metres)} m` : `${fixed((metres * 1000) / MM_PER_FOOT, 0)} ft`;
}

/** How far something is off over a length that people picture, from mm in mm: over a metre, over a foot. */
export function perLengthText(slope: number, units: Units): string {
  return units === 'mm'
    ? `${fineLength(slope * 1000, units)} per metre`
    : `${fineLength(slope * MM_PER_FOOT, units)} per foot`;
}

/** A flow of air from m³/h. */
export function flowText(m3PerHour: number, units: Units): string {
  return units === 'mm' ? `${fixed(m3PerHour, 1)} m³/h` : `${fixed(m3PerHour / M3H_PER_CFM, 1)} ft³/min`;
}

/** A hand drill by the name one finds it under, with its diameter; a metric drill is named by its diameter alone. */
export function drillText(drill: { readonly name: string; readonly diameter: number }, units: Units): string {
  const size = lengthText(drill.diameter, units);
  if (/^[\d.]+$/.test(drill.name)) return units === 'mm' ? `${drill.name} mm` : `${drill.name} mm (${size})`;
  return `${/^[A-Z]$/.test(drill.name) ? 'letter ' : ''}${drill.name} (${size})`;
}

/** A screw's length as it is asked for in a shop, by the system of its thread: `20 mm`, `1.25 in`. `length` in mm. */
export function screwLength(thread: string, length: number): string {
  return thread.startsWith('M') ? `${trimmed(length, 2)} mm` : `${trimmed(length / MM_PER_INCH, 3)} in`;
}

/** A screw by the name it is bought under, whatever the machine's units: `M6 × 16 mm`, `1/4-20 × 0.625 in`. */
export function screwName(thread: string, length: number): string {
  return `${thread} × ${screwLength(thread, length)}`;
}
