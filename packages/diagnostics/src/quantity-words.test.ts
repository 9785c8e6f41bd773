import { describe, expect, test } from 'vitest';
import {
  areaText,
  atLeastLength,
  drillText,
  feedText,
  fineLength,
  keyValue,
  lengthText,
  rimText,
  screwName,
  shortLength,
  slopeText,
  torqueText,
} from './index.ts';

describe('figures in words', () => {
  test('screws by name, torques by what the wrench says', () => {
    expect(screwName('M6', 16)).toBe('M6 × 16 mm');
    expect(screwName('1/4-20', 15.875)).toBe('1/4-20 × 0.625 in');
    // 1 N·m = 8.850 746 lbf·in (NIST SP 811).
    expect(torqueText(1, 'in')).toBe('8.9 lbf·in');
    expect(torqueText(0.55, 'mm')).toBe('0.55 N·m');
  });
  // The inch is 25.4 mm exactly (NIST SP 811, ISO 80000-3); 1 ft/min = 5.08e-3 m/s.
  test('inches to three decimals, feeds in inches a minute', () => {
    expect(lengthText(10.0838, 'in')).toBe('0.397 in');
    expect(shortLength(25.4, 'in')).toBe('1.000 in');
    expect(fineLength(0.254, 'in')).toBe('0.0100 in');
    expect(feedText(2540, 'in')).toBe('100.0 in/min');
    expect(keyValue(19.05, 'in')).toBe(0.75);
    expect(areaText(645.16, 'in')).toBe('1 in²');
    // A published chart of rim speeds prints 10 470 ft/min for 2.5 in at 16 000 rpm; π·D·n is 10 472.
    expect(rimText((Math.PI * 63.5 * 16_000) / 60_000, 'in')).toBe('10472 ft/min');
    expect(slopeText(0.001, 'in')).toBe('0.012 in in a foot');
  });
  test('millimetres', () => {
    expect(lengthText(10.0838, 'mm')).toBe('10.08 mm');
    expect(shortLength(123.456, 'mm')).toBe('123.5 mm');
    expect(feedText(2540, 'mm')).toBe('2540 mm/min');
    expect(lengthText(-0.001, 'mm')).toBe('0.00 mm');
  });
  test('drills by the name in the drawer (ASME B94.11M: letter X is 0.397 in; 25/64 is 0.391 in)', () => {
    expect(drillText({ name: 'X', diameter: 10.084 }, 'in')).toBe('letter X (0.397 in)');
    expect(drillText({ name: '25/64', diameter: 9.921875 }, 'in')).toBe('25/64 (0.391 in)');
    expect(drillText({ name: '10.0', diameter: 10 }, 'mm')).toBe('10.0 mm');
    expect(drillText({ name: '10.0', diameter: 10 }, 'in')).toBe('10.0 mm (0.394 in)');
  });
  test('a limit is never rounded below what is needed', () => {
    expect(atLeastLength(10.01, 'mm')).toBe('10.1 mm');
    expect(atLeastLength(10.16, 'in')).toBe('0.40 in');
    expect(atLeastLength(10.17, 'in')).toBe('0.41 in');
  });
});
