import type { MachineRecord } from '@bedledger/fleet';
import { type Point, seededRandom } from '@bedledger/geometry';
import { describe, expect, test } from 'vitest';
import { bare, demoRecord } from '../../../../test/support/demo-records.ts';
import { planLayout } from '../layout/plan-layout.ts';
import { surveyReport } from './survey-report.ts';

type Mark = readonly [id: string, nominal: Point, measured: Point | null];

function surveyed(marks: readonly Mark[], limit = 0.6, sigma = 0.15): MachineRecord {
  const base = bare(demoRecord('heron'));
  return {
    ...base,
    house: { ...base.house, survey: { ...base.house.survey, sigma, limit } },
    survey: {
      file: 'survey.csv',
      features: marks.map(([id, nominal, measured]) => ({ id, nominal, measured })),
    },
  };
}

const corners: readonly (readonly [string, Point])[] = [
  ['front-left', [0, 0]],
  ['front-right', [1200, 0]],
  ['back-right', [1200, 2400]],
  ['back-left', [0, 2400]],
];

/** Corners turned by an angle and shifted, with a little seeded noise. */
function moved(noise: number, seed = 5): Mark[] {
  const random = seededRandom(seed);
  const t = 0.001;
  return corners.map(([id, p]) => [
    id,
    p,
    [
      p[0] * Math.cos(t) - p[1] * Math.sin(t) + 1.5 + noise * (random() - 0.5),
      p[0] * Math.sin(t) + p[1] * Math.cos(t) - 0.8 + noise * (random() - 0.5),
    ],
  ]);
}

function change(marks: readonly Mark[], id: string, to: (p: Point) => Point): Mark[] {
  return marks.map((m) => (m[0] === id && m[2] ? [m[0], m[1], to(m[2])] : m));
}

describe('what a survey says', () => {
  test('the worked example: rotation 0.001 rad, shift (5, −3), residual 0', () => {
    // derived: (0,0)(2400,0)(2400,1200)(0,1200) → (5,−3)(2404.9988,−0.6)(2403.7988,1199.3994)(3.8,1196.9994)
    const report = surveyReport(
      surveyed([
        ['a', [0, 0], [5, -3]],
        ['b', [2400, 0], [2404.9988, -0.6]],
        ['c', [2400, 1200], [2403.7988, 1199.3994]],
        ['d', [0, 1200], [3.8, 1196.9994]],
      ]),
    );
    expect(report.verdict).toBe('trusted');
    expect(report.model).toBe('rigid');
    expect(report.rotation).toBeCloseTo(0.001, 7);
    expect(report.shift[0]).toBeCloseTo(5, 3);
    expect(report.shift[1]).toBeCloseTo(-3, 3);
    expect(report.worst?.length).toBeLessThan(2e-4);
    expect(report.findings).toEqual([]);
  });

  test('a bed that is turned, or far from its drawing, is said', () => {
    const placed = (degrees: number, shift: number) => {
      const t = (degrees * Math.PI) / 180;
      return surveyReport(
        surveyed(
          corners.map(
            ([id, [x, y]]): Mark => [
              id,
              [x, y],
              [x * Math.cos(t) - y * Math.sin(t) + shift, x * Math.sin(t) + y * Math.cos(t)],
            ],
          ),
        ),
      ).findings.map((f) => `${f.severity} ${f.code}`);
    };
    // features are found 2.5 to 5 mm away from the drawing (common practice): 4 mm is nothing to tell
    expect(placed(0, 4)).toEqual([]);
    expect(placed(0, 30)).toEqual(['warn survey/far']);
    // derived: 0.5° over a board's diagonal of some 2750 mm is 24 mm at its far corner
    expect(placed(0.5, 0)).toEqual(['warn survey/far']);
    expect(placed(5, 0)).toEqual(['stop survey/turned']);
    expect(placed(90, 0)).toContain('stop survey/turned');
  });

  test('uncertainty counts what a rigid fit cannot see: the bed may be stretched and skewed', () => {
    const report = surveyReport(surveyed(moved(0), 0.6, 0.1));
    expect(report.model).toBe('rigid');
    // derived: four corner marks tell an affine map to 2σ²(1/4 + x²/Σx² + y²/Σy²) = 1.5σ² at a corner, which is what is
    // known of a bed that may have such a map; what house rules believe at most (2000 ppm) takes a thousandth off it.
    for (const m of report.marks) {
      expect(m.uncertainty).toBeLessThan(2 * 0.1 * Math.sqrt(1.5));
      expect(m.uncertainty).toBeGreaterThan(0.998 * 2 * 0.1 * Math.sqrt(1.5));
    }
    // derived: a bed that cannot differ from its drawing leaves the rigid fit's own σ²(2/n + r²/S) = 0.75σ²
    const rigid = surveyed(moved(0), 0.6, 0.1);
    const stiff = { ...rigid.house.survey, stretch: 1e-9, skew: 1e-9 };
    const { marks } = surveyReport({ ...rigid, house: { ...rigid.house, survey: stiff } });
    // published in words: four corner marks, σ 0.1: 0.087 mm (1σ) at a corner, 0.071 at the centre
    expect((marks[0]?.uncertainty ?? 0) / 2).toBeCloseTo(0.0866, 4);
  });

  test('squareness from the diagonals', () => {
    // derived: asin((d1² − d2²)/(4wh)); 1200 × 2400 with 2683.78 and 2682.78 gives 4.6585e-4 rad, 0.559 mm over 1200
    const skew = 4.6585e-4;
    const marks: Mark[] = corners.map(([id, p]) => [
      id,
      p,
      [p[0] + p[1] * Math.sin(skew), p[1] * Math.cos(skew)],
    ]);
    const rigid = surveyReport(surveyed(marks, 2, 1));
    expect(rigid.squareness?.from).toBe('diagonals');
    expect(rigid.squareness?.skew).toBeCloseTo(skew, 7);
    expect((rigid.squareness?.perMetre ?? 0) * 1.2).toBeCloseTo(0.559, 3);
    expect(rigid.squareness?.diagonals?.[0]).toBeCloseTo(2683.78, 1);
    // A fit that may skew finds the same angle by itself when the marks are read sharply enough.
    const affine = surveyReport(surveyed(marks, 2, 0.02));
    expect(affine.model).toBe('affine');
    expect(affine.squareness?.from).toBe('fit');
    expect(affine.squareness?.skew).toBeCloseTo(skew, 6);
    expect(affine.why).toContain('skew');
  });

  test('one misread mark is named, and the survey refused', () => {
    for (const [id] of corners) {
      const report = surveyReport(surveyed(change(moved(0.1), id, (p) => [p[0] + 2, p[1]])));
      expect(report.verdict).toBe('refused');
      expect(report.measureAgain).toBe(id);
      expect(report.marks.find((m) => m.suspect)?.id).toBe(id);
      const said = report.findings.find((f) => f.code === 'survey/residual');
      expect(said?.severity).toBe('stop');
      expect(said?.message).toContain(`${id} does not fit the other marks`);
      expect(said?.help).toBe(`measure ${id} again`);
      // derived: 2 mm off the truth; the others put it there to within their noise, a few tenths at worst
      expect(Math.abs((report.marks.find((m) => m.suspect)?.misfitAlone ?? 0) - 2)).toBeLessThan(0.3);
    }
  });

  test('inches for millimetres, and the reverse, are named', () => {
    const inches = surveyReport(
      surveyed(moved(0).map(([id, n, m]): Mark => [id, n, m && [m[0] / 25.4, m[1] / 25.4]])),
    );
    expect(inches.verdict).toBe('refused');
    expect(inches.findings[0]?.message).toContain('inches were written where millimetres are expected');
    const millimetres = surveyReport(
      surveyed(moved(0).map(([id, n, m]): Mark => [id, n, m && [m[0] * 25.4, m[1] * 25.4]])),
    );
    expect(millimetres.findings[0]?.message).toContain('millimetres were written where inches are expected');
  });

  test('a decimal point one place off is named, and nothing is issued on it', () => {
    for (const [factor, words] of [
      [0.1, '10 times smaller than the drawing: centimetres were written'],
      [10, '10 times larger than the drawing: a decimal point'],
    ] as const) {
      const slipped = moved(0.1).map(([id, n, m]): Mark => [id, n, m && [m[0] * factor, m[1] * factor]]);
      const report = surveyReport(surveyed(slipped));
      expect(report.verdict).toBe('refused');
      expect(report.findings.map((f) => f.code)).toEqual(['survey/units']);
      expect(report.findings[0]?.message).toContain(words);
    }
  });

  test('two marks misread alike lie exactly on a stretched bed, which no machine has', () => {
    // Both left marks read at the groove's edge, 4 mm off: derived 4/1200 = 3333 ppm along X.
    const left = (marks: readonly Mark[], by: number): Mark[] =>
      ['front-left', 'back-left'].reduce((all, id) => change(all, id, (p) => [p[0] + by, p[1]]), [...marks]);
    for (const extra of [[], [['middle', [600, 1200], [600.3, 1199.8]]]] as Mark[][]) {
      const report = surveyReport(surveyed(left([...moved(0.1), ...extra], 4)));
      expect(report.verdict, `${extra.length}`).toBe('refused');
    }
    const four = surveyReport(surveyed(left(moved(0.02), 4)));
    const said = four.findings.find((f) => f.code === 'survey/shape');
    expect(said?.message).toMatch(
      /33[0-9]\d ppm shorter along X than its drawing \((4\.0|3\.9)\d+ mm in 1200.00 mm\)/,
    );
    // What a machine may have is taken, but four or five marks alone do not prove it; six do.
    const slight = left(moved(0.02), 1);
    const unchecked = surveyReport(surveyed(slight, 0.6, 0.05));
    expect([unchecked.model, unchecked.verdict]).toEqual(['affine', 'unchecked']);
    expect(unchecked.findings.map((f) => f.code)).toContain('survey/little-check');
    const six = moved(0.02).concat(
      [[600, 300], [500, 1900]].map(([x, y], i): Mark => [`more-${i}`, [x!, y!], [x! + 1.5 - y! * 0.001, y! - 0.8 + x! * 0.001]]), // biome-ignore format: one line
    );
    const stretched = six.map(([id, n, m]): Mark => [id, n, m && [m[0] + n[0] * 0.0008, m[1]]]);
    const trusted = surveyReport(surveyed(stretched, 0.6, 0.05));
    expect([trusted.model, trusted.verdict]).toEqual(['affine', 'trusted']);
  });

  test('a skewed bed within what the house believes is fitted; beyond it the survey is refused', () => {
    const skewed = (skew: number): Mark[] =>
      [...corners, ['m1', [600, 100]], ['m2', [300, 1500]], ['m3', [900, 900]]].map(
        ([id, n]) => [id, n, [(n as Point)[0] + skew * (n as Point)[1], (n as Point)[1]]] as Mark,
      );
    expect(surveyReport(surveyed(skewed(0.0019))).verdict).toBe('trusted');
    const beyond = surveyReport(surveyed(skewed(0.0022)));
    expect(beyond.verdict).toBe('refused');
    expect(beyond.findings[0]?.message).toContain('2.200 mm per metre out of square');
    // Followed: the house says that its machine is so.
    const house = surveyed(skewed(0.0022));
    const believed = { ...house.house, survey: { ...house.house.survey, skew: 0.003 } };
    expect(surveyReport({ ...house, house: believed }).verdict).toBe('trusted');
  });

  test('with three marks the misread one is only probable, and a fourth is asked for', () => {
    const three = change(moved(0.05).slice(0, 3), 'front-right', (p) => [p[0] + 1.5, p[1] + 1.5]);
    const report = surveyReport(surveyed(three));
    expect(report.verdict).toBe('refused');
    const said = report.findings.find((f) => f.code === 'survey/residual');
    expect(said?.message).toContain('probably because of');
    expect(said?.help).toContain('and a fourth mark far from these');
  });

  test('a deviation that is stated too small is said, and no good mark is accused', () => {
    // Readings that scatter by 0.3 mm where 0.1 mm is stated: nine marks of a sound bed.
    const random = seededRandom(31);
    const nine = [0, 600, 1200].flatMap((x) =>
      [0, 1200, 2400].map(
        (y): Mark => [`m${x}-${y}`, [x, y], [x + 1.04 * (random() - 0.5), y + 1.04 * (random() - 0.5)]],
      ),
    );
    const report = surveyReport(surveyed(nine, 2, 0.1));
    expect(report.findings.map((f) => f.code)).toEqual(['survey/spread']);
    expect(report.measureAgain).toBeNull();
  });

  test('two exchanged marks are named, both of them', () => {
    const marks = moved(0.05);
    for (const [a, b] of [
      [0, 1],
      [0, 2],
      [1, 3],
      [2, 3],
    ] as const) {
      const swapped = marks.map(
        (m, i): Mark => [m[0], m[1], (marks[i === a ? b : i === b ? a : i] as Mark)[2]],
      );
      const report = surveyReport(surveyed(swapped));
      const said = report.findings[0];
      expect(said?.code).toBe('survey/swapped');
      expect(said?.severity).toBe('stop');
      expect([said?.facts?.first, said?.facts?.second].sort()).toEqual([marks[a]?.[0], marks[b]?.[0]].sort());
    }
  });

  test('a mirrored set is named', () => {
    const marks: Mark[] = [...moved(0), ['middle', [300, 900], [301, 899.5]]];
    const report = surveyReport(surveyed(marks.map(([id, n, m]): Mark => [id, n, m && [-m[0], m[1]]])));
    expect(report.findings[0]?.code).toBe('survey/mirrored');
    expect(report.verdict).toBe('refused');
  });

  test('few marks: what can be told, and what cannot', () => {
    const none = surveyReport(surveyed([['a', [0, 0], null]]));
    expect(none.verdict).toBe('none');
    expect(none.findings.map((f) => f.code)).toEqual(['survey/none']);
    const one = surveyReport(surveyed([['a', [0, 0], [1, 2]]]));
    expect([one.model, one.verdict, one.redundancy]).toEqual(['translation', 'unchecked', 0]);
    expect(one.findings.map((f) => f.code)).toEqual(['survey/not-checkable']);
    const two = surveyReport(
      surveyed([
        ['a', [0, 0], [1, 2]],
        ['b', [1200, 0], [1201, 2.1]],
      ]),
    );
    expect([two.model, two.verdict, two.redundancy]).toEqual(['rigid', 'unchecked', 1]);
    expect(two.findings.map((f) => f.code)).toEqual(['survey/little-check']);
    // Two marks whose distance is wrong by 4 mm: refused without naming one.
    const apart = surveyReport(
      surveyed([
        ['a', [0, 0], [0, 0]],
        ['b', [1200, 0], [1204, 0]],
      ]),
    );
    expect(apart.verdict).toBe('refused');
    expect(apart.findings[0]?.message).toContain('no fit can tell which one is wrong');
  });

  test('marks on one spot, twice the same name, no number: a finding, never a throw', () => {
    const spot = surveyReport(
      surveyed([
        ['a', [5, 5], [6, 6]],
        ['b', [5, 5], [6, 6]],
      ]),
    );
    expect(spot.model).toBe('translation');
    const twice = surveyReport(
      surveyed([
        ['a', [0, 0], [1, 1]],
        ['a', [9, 0], [10, 1]],
      ]),
    );
    expect(twice.findings.map((f) => f.code)).toEqual(['survey/unusable']);
    const nan = surveyReport(surveyed([['a', [0, 0], [Number.NaN, 1]]]));
    expect(nan.verdict).toBe('refused');
    expect(nan.findings[0]?.message).toContain('a');
  });

  test('a refused survey stops the layout, a trusted one moves its sites', () => {
    const bad = planLayout(surveyed(change(moved(0.1), 'back-left', (p) => [p[0], p[1] + 3])));
    expect(bad.findings.filter((f) => f.severity === 'stop').map((f) => f.code)).toContain('survey/residual');
    const good = planLayout(surveyed(moved(0)));
    expect(good.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    for (const s of good.sites) {
      // derived: rotation 0.001 rad about the datum and the shift (1.5, −0.8), positions in whole micrometres
      expect(
        Math.abs(s.actual[0] - (s.nominal[0] * Math.cos(0.001) - s.nominal[1] * Math.sin(0.001) + 1.5)),
      ).toBeLessThan(0.002);
      expect(
        Math.abs(s.actual[1] - (s.nominal[0] * Math.sin(0.001) + s.nominal[1] * Math.cos(0.001) - 0.8)),
      ).toBeLessThan(0.002);
    }
  });

  test('leftovers over the bed are offered only with six marks, and only where they help', () => {
    const grid: Mark[] = [];
    for (let i = 0; i <= 3; i++) {
      for (let j = 0; j <= 4; j++) {
        const p: Point = [i * 400, j * 600];
        // A smooth bow that no affine fit can follow.
        grid.push([`m${i}${j}`, p, [p[0] + 0.3 * Math.sin(p[1] / 760), p[1]]]);
      }
    }
    const bowed = surveyReport(surveyed(grid, 0.6, 0.05));
    expect(bowed.leftover?.helps).toBe(true);
    expect(bowed.leftover?.leaveOneOutRms).toBeLessThan(0.5 * (bowed.leftover?.planeRms ?? 0));
    expect(surveyReport(surveyed(moved(0.1))).leftover).toBeNull();
  });

  test('the demo surveys: heron and avocet are trusted, avocet is out of square', () => {
    const heron = surveyReport(demoRecord('heron'));
    expect(heron.verdict).toBe('trusted');
    const avocet = surveyReport(demoRecord('avocet'));
    expect(avocet.verdict).toBe('trusted');
    expect(Math.abs(avocet.squareness?.perMetre ?? 0)).toBeGreaterThan(0.5);
    expect(avocet.lines[0]).toBe('trusted');
  });
});
