import { describe, expect, test } from 'vitest';
import { readReferenceTable } from '../../../../test/support/reference.ts';
import { catalogue } from '../catalogue/catalogue.ts';
import { adhesiveVolume } from './adhesive.ts';
import { drillPointLength } from './drill-point.ts';
import { boardGrowth, radialFloat } from './growth.ts';
import { insertShearArea, screwShearArea } from './stripping.ts';
import { torqueFor } from './torque.ts';

const thread = (designation: string) => {
  const found = catalogue().threads.get(designation);
  if (found === undefined) throw new Error(designation);
  return found;
};

describe('stripping areas', () => {
  test('M6 × 1, 6H/6g, 6 mm engaged: 51.875 and 73.145 mm² [published table of thread stress and shear areas]', () => {
    const m6 = thread('M6');
    expect(screwShearArea(m6, m6) * 6).toBeCloseTo(51.875, 3);
    expect(insertShearArea(m6, m6) * 6).toBeCloseTo(73.145, 3);
    // M5 × 0.8, 5 mm engaged, same table
    const m5 = thread('M5');
    expect(screwShearArea(m5, m5) * 5).toBeCloseTo(35.366, 3);
    expect(insertShearArea(m5, m5) * 5).toBeCloseTo(49.994, 3);
  });

  test('every row of thread_shear_check.csv', () => {
    for (const row of readReferenceTable('thread_shear_check.csv')) {
      const t = thread(row.thread ?? '');
      const le = Number(row.Le_mm);
      expect(t.stressArea).toBeCloseTo(Number(row.At_mm2_published), 3);
      expect(screwShearArea(t, t) * le).toBeCloseTo(Number(row.ASs_bolt_6H6g_mm2_published), 3);
      expect(insertShearArea(t, t) * le).toBeCloseTo(Number(row.ASn_nut_mm2_published), 3);
    }
  });

  test('1/4-20, 2A/2B: the same formulas in inches [FED-STD-H28, derived by hand]', () => {
    // AS_s = π·n·Kn,max·[1/(2n) + 0.57735(Es,min − Kn,max)] = π·20·0.207·[0.025 + 0.57735(0.2127 − 0.207)]
    const area = Math.PI * 20 * 0.207 * (0.025 + 0.57735 * (0.2127 - 0.207)) * 25.4; // mm² per mm: in²/in × 25.4
    expect(screwShearArea(thread('1/4-20'), thread('1/4-20'))).toBeCloseTo(area, 6);
  });
});

describe('drill points', () => {
  test('0.30043 D at 118° and 0.20711 D at 135° [derived; Machinery’s Handbook 0.3 D]', () => {
    expect(drillPointLength(1, 118)).toBeCloseTo(0.30043, 5);
    expect(drillPointLength(1, 135)).toBeCloseTo(0.20711, 5);
    expect(drillPointLength(10, 180)).toBe(0);
    // #37, 0.104 in, is printed with a point of .031; 13/32 at 135° with .084 [published in a workshop forum]
    expect(drillPointLength(0.104, 118)).toBeCloseTo(0.0312, 4);
    expect(drillPointLength(13 / 32, 135)).toBeCloseTo(0.0841, 4);
    for (const row of catalogue().table('drill-points').rows) {
      expect(drillPointLength(1, Number(row.values.angle))).toBeCloseTo(
        Number(row.values.lengthPerDiameter),
        5,
      );
    }
    expect(() => drillPointLength(5, 0)).toThrow(RangeError);
  });

  test('every point of 09_drill_sizes.csv', () => {
    for (const row of readReferenceTable('fasteners/09_drill_sizes.csv')) {
      const d = Number(row.dia_mm);
      // printed to 0.001 mm
      expect(Math.abs(drillPointLength(d, 118) - Number(row.point_length_118deg_mm))).toBeLessThanOrEqual(
        0.00051,
      );
      expect(Math.abs(drillPointLength(d, 135) - Number(row.point_length_135deg_mm))).toBeLessThanOrEqual(
        0.00051,
      );
    }
  });
});

describe('board', () => {
  test('a 17/64 in hole leaves a 1/4 in screw 0.198 mm on each side [derived]', () => {
    expect(radialFloat((17 / 64) * 25.4, 6.35)).toBeCloseTo(0.198, 3);
  });
  test('a corner 1364 mm from the datum moves 2.05 mm at 3 points of moisture [mdf-info.eu: 0.05 % per 1 %]', () => {
    expect(boardGrowth(1364, 3, 0.0005)).toBeCloseTo(2.046, 9);
    // 600 mm, 5 points → 1.5 mm [same source]
    expect(boardGrowth(600, 5, 0.0005)).toBeCloseTo(1.5, 9);
  });
});

describe('adhesive', () => {
  test('annulus plus reservoir plus 20 % [derived: closed form]', () => {
    // bore 10 × 15.5, insert 9.5 × 13: π/4·(100 − 90.25)·13 + π/4·100·2.5, times 1.2
    const expected = 1.2 * ((Math.PI / 4) * (100 - 90.25) * 13 + (Math.PI / 4) * 100 * 2.5);
    expect(
      adhesiveVolume({ diameter: 10, depth: 15.5, outside: 9.5, length: 13, taper: 0, spare: 0.2 }),
    ).toBeCloseTo(expected, 9);
  });
  test('a tapered insert leaves more room than a parallel one, a relief more still', () => {
    const bore = { diameter: 10, depth: 15.5, outside: 9.5, length: 13, spare: 0 };
    const parallel = adhesiveVolume({ ...bore, taper: 0 });
    const tapered = adhesiveVolume({ ...bore, taper: 4 });
    // frustum: π·h/12·(D² + D·d + d²), d = D − 2·h·tan 2°
    const foot = 9.5 - 26 * Math.tan(Math.PI / 90);
    const frustum = ((Math.PI * 13) / 12) * (9.5 * 9.5 + 9.5 * foot + foot * foot);
    expect(tapered - parallel).toBeCloseTo((Math.PI / 4) * 9.5 * 9.5 * 13 - frustum, 9);
    const relieved = adhesiveVolume({ ...bore, taper: 4, relief: { diameter: 11, depth: 2 } });
    expect(relieved - tapered).toBeCloseTo((Math.PI / 4) * (121 - 100) * 2, 9);
  });
});

describe('nylon screws', () => {
  test('K of the published pairs lies between 0.17 and 0.27 [one fastener data sheet]', () => {
    const table = catalogue().table('pa66-screws');
    const screw = (size: string) => {
      const row = table.rows.find((r) => r.size === size)!;
      const d = Number(size.slice(1)) / 1000;
      return Number(row.values.torque) / (Number(row.values.breakingLoad) * d);
    };
    for (const size of ['M4', 'M5', 'M6', 'M8', 'M10']) {
      expect(screw(size)).toBeGreaterThanOrEqual(0.17);
      expect(screw(size)).toBeLessThanOrEqual(0.273);
    }
    // breaking stress stays near the 53 N/mm² of the same sheet: within 20 %
    for (const row of table.rows) {
      const stress = Number(row.values.breakingLoad) / Number(row.values.stressArea);
      expect(Math.abs(stress - 53) / 53).toBeLessThan(0.2);
    }
  });

  test('working torque is half of the tabulated one at half the breaking load [common practice]', () => {
    const from = { standard: 'one fastener data sheet', grade: 'B' as const };
    const screw = {
      thread: thread('M6'),
      published: { breakingLoad: 1000, torque: 1.27, from },
    } as Parameters<typeof torqueFor>[0];
    expect(torqueFor(screw, 500)).toBeCloseTo(1.27 / 2, 9);
  });
});
