import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseHeights } from './heights.ts';
import { parseSurvey } from './survey.ts';
import { cellNumber } from './table.ts';

const HEAD = 'feature,nominal_x,nominal_y,measured_x,measured_y\n';

describe('survey', () => {
  test('points in the unit of the profile, measured or not yet, comments and blank lines', () => {
    const { survey, diagnostics } = parseSurvey(
      's.csv',
      `# read in January\n${HEAD}\nP1, 1, 2, 1.5, 2.5\r\nP2,3,4,,\n`,
      'in',
      'survey.csv',
    );
    expect(diagnostics).toEqual([]);
    expect(survey?.file).toBe('survey.csv');
    expect(survey?.features).toEqual([
      { id: 'P1', nominal: [25.4, 50.8], measured: [1.5 * 25.4, 63.5] },
      { id: 'P2', nominal: [3 * 25.4, 101.6], measured: null },
    ]);
  });

  test('old line ends, and a spreadsheet of another country named for what it is', () => {
    expect(
      parseSurvey('s', `${HEAD}P1,1,2,3,4\r`.replaceAll('\n', '\r'), 'mm').survey?.features,
    ).toHaveLength(1);
    const { diagnostics } = parseSurvey('s', `${HEAD.replaceAll(',', ';')}P1;1;2;3,5;4\n`, 'mm');
    expect(diagnostics.map((d) => `${d.code} ${d.place?.line}:${d.place?.column}`)).toEqual([
      'csv/separator 1:8',
    ]);
  });

  test('columns in any order', () => {
    const { survey } = parseSurvey(
      's',
      'measured_y,feature,nominal_x,measured_x,nominal_y\n5,P,1,4,2\n',
      'mm',
    );
    expect(survey?.features).toEqual([{ id: 'P', nominal: [1, 2], measured: [4, 5] }]);
  });

  test.each([
    ['', 'csv/empty 1:1'],
    ['feature,nominal_x,nominal_y,measured_x\n', 'csv/missing-column 1:1'],
    ['feature,nominal_x,nominal_y,measured_x,mesured_y\n', 'csv/unknown-column 1:40'],
    [`${HEAD}P1,1,2\n`, 'csv/cells 2:1'],
    [`${HEAD}P1,1,2,3,4\nP1,1,2,3,4\n`, 'survey/repeated 3:1'],
    [`${HEAD}P1,1,2,3,\n`, 'survey/half 2:10'],
    [`${HEAD}P1,1,2, 3.x,4\n`, 'survey/number 2:9'],
    [`${HEAD}P1,1e3,2,3,4\n`, 'survey/number 2:4'],
    [`${HEAD}P1,NaN,2,3,4\n`, 'survey/number 2:4'],
    [`${HEAD}"P1",1,2,3,4\n`, 'csv/quote 2:1'],
    [`${HEAD}1 P,1,2,3,4\n`, 'survey/name 2:1'],
  ])('%o', (text, expected) => {
    const { survey, diagnostics } = parseSurvey('s.csv', text, 'mm');
    expect(survey).toBeNull();
    expect(diagnostics.map((d) => `${d.code} ${d.place?.line}:${d.place?.column}`)).toEqual([expected]);
    expect(diagnostics[0]!.help).toBeTruthy();
  });

  test('never throws, whatever the bytes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 80 }), (junk) => {
        for (const text of [junk, HEAD + junk]) {
          const { survey, diagnostics } = parseSurvey('s.csv', text, 'mm');
          expect(survey === null).toBe(diagnostics.length > 0);
        }
      }),
      { seed: 108 },
    );
  });
});

describe('heights', () => {
  test('points, in millimetres', () => {
    const { heights } = parseHeights('h', 'x,y,z\n1,2,0.7\n-1,.5,+0.71\n', 'in', 'heights/h.csv');
    expect(heights).toEqual({
      file: 'heights/h.csv',
      points: [
        [25.4, 50.8, 0.7 * 25.4],
        [-25.4, 12.7, 0.71 * 25.4],
      ],
    });
  });

  test.each([
    ['x,y,z\n', 'heights/empty 1:1'],
    ['x,y,z\n1,2,3\n1,2,4\n', 'heights/repeated 3:1'],
    ['x,y,z\n1,2,\n', 'heights/number 2:5'],
    ['x,y,z\n1;2;3\n', 'csv/cells 2:1'],
  ])('%o', (text, expected) => {
    expect(
      parseHeights('h', text, 'mm').diagnostics.map((d) => `${d.code} ${d.place?.line}:${d.place?.column}`),
    ).toEqual([expected]);
  });
});

test('numbers of a cell: plain decimals only', () => {
  expect(['1', '-1.5', '+.5', '5.', '0'].map(cellNumber)).toEqual([1, -1.5, 0.5, 5, 0]);
  expect(
    ['', '.', '-', '1e3', '0x1F', '1_000', 'Infinity', '1,5', ' 1', '99999999999'].map(cellNumber),
  ).toEqual(Array(10).fill(null));
  expect(Object.is(cellNumber('-0'), 0)).toBe(true);
});
