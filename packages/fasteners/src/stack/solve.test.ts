import { InputError } from '@bedledger/diagnostics';
import { describe, expect, test } from 'vitest';
import { withWasher } from '../fixing/change-part.ts';
import type { Stack, StackInput, StackResult } from '../model.ts';
import { naiveCheck } from '../testing/naive-check.ts';
import { fixingOf, INPUT, M6_WRITTEN, RULES } from '../testing/sample.ts';
import { lifeTable } from './life-table.ts';
import { solveStack } from './solve.ts';

function stackOf(input: StackInput): Stack {
  const result = solveStack(input);
  if (!result.feasible) throw new Error(`${result.conflict.join(' / ')}: ${result.remedies.join('; ')}`);
  return result.stack;
}
function refused(input: StackInput): Extract<StackResult, { feasible: false }> {
  const result = solveStack(input);
  if (result.feasible) throw new Error('expected no stack');
  return result;
}

describe('one stack, by hand', () => {
  // M6 hexagon nylon screw, washer ISO 7089, 18 mm board. Derived by hand from the published dimensions:
  const stack = stackOf(INPUT);

  test('floor: punching needs 2·250/(π·11.57·2.5) = 5.502 mm, plus 0.05, up to 0.01', () => {
    expect(stack.web).toBe(5.56);
    expect(stack.governs.floor).toBe('web-punching');
  });
  test('head top: 5.56 + washer 1.8 + head 4.15 = 11.51; cover 6.49', () => {
    expect(stack.headTop).toBeCloseTo(11.51, 9);
    expect(stack.cover).toBeCloseTo(6.49, 9);
    expect(stack.pocketDepth).toBeCloseTo(12.44, 9);
  });
  test('screw: 16 ends 16 − 5.56 − 1.6 = 8.84 deep; 20 would pass the insert', () => {
    // 20 + 0.42 − 5.56 − 1.4 + 0.05 = 13.51 > 12.98
    expect(stack.screwLength).toBe(16);
    expect(stack.endDepth).toBeCloseTo(8.84, 9);
    expect(stack.engagement).toBeCloseTo(7.84, 9);
  });
  test('hole: 0.0005·3·300 + 0.3 = 0.75, so 6 + 1.5 = 7.5', () => {
    expect(stack.lateral.total).toBeCloseTo(0.75, 12);
    expect(stack.clearanceDiameter).toBe(7.5);
    expect(stack.refitDiameter).toBe(6.6);
  });
  test('pocket: socket 14.65 + the larger of 1.5 and 2·0.75', () => {
    expect(stack.pocketDiameter).toBe(16.2);
    expect(stack.governs.pocket).toBe('socket');
  });
  test('bore: 9.54 + 0.4 = 9.94, the next drill is 10; 13.02 + 2.5 deep, point 3.004', () => {
    expect(stack.handDrill.diameter).toBe(10);
    expect(stack.handDrill.depth).toBeCloseTo(15.52, 9);
    expect(stack.handDrill.tipDepth).toBeCloseTo(18.524, 3);
  });
  test('life: (18 − (11.51 + 1.5 + 0.05)) / 0.4 = 12.35, 12 skims', () => {
    expect(stack.life).toEqual({ skims: 12, replaceAt: expect.closeTo(13.06, 9), governs: 'cover' });
  });
  test('the naive check agrees', () => {
    expect(naiveCheck(stack, INPUT)).toEqual([]);
  });
  test('cover after each skim falls by the skim, to the last and one over', () => {
    const rows = lifeTable(stack, INPUT);
    expect(rows).toHaveLength(14);
    expect(rows[0]).toEqual({ skim: 0, thickness: 18, cover: stack.cover, left: 12, state: 'ok' });
    expect(rows[12]?.state).toBe('last');
    expect(rows[12]!.cover).toBeGreaterThanOrEqual(RULES.coverMin + 0.05);
    expect(rows[13]?.state).toBe('over');
    expect(rows[13]!.cover).toBeLessThan(RULES.coverMin + 0.05);
  });
});

describe('other fixings', () => {
  const cases: Record<string, StackInput> = {
    'countersunk: the cone goes below the floor and climbs': {
      ...INPUT,
      fixing: fixingOf({
        ...M6_WRITTEN,
        screw: { head: 'iso10642-countersunk' },
        washer: 'none',
        socket: {},
      }),
    },
    'countersunk in a cup washer': {
      ...INPUT,
      fixing: fixingOf({
        ...M6_WRITTEN,
        screw: { head: 'iso10642-countersunk' },
        washer: { inside: 6.6, outside: 20, thickness: 4, uncertainty: 0.1, cup: true },
        socket: {},
      }),
    },
    'cap screw of steel in steel': {
      ...INPUT,
      fixing: fixingOf({
        ...M6_WRITTEN,
        screw: { head: 'iso4762-socket-cap', material: 'steel' },
        insert: { ...M6_WRITTEN.insert, material: 'steel' },
        socket: {},
      }),
    },
    'inch: 1/4-20 hex cap screw, closed bush': {
      ...INPUT,
      fixing: fixingOf({
        title: '1/4-20 nylon',
        thread: '1/4-20',
        screw: { head: 'asme-b18.2.1-hex' },
        insert: { measured: { outside: 10.3, length: 14, by: 'caliper', uncertainty: 0.03 } },
        washer: 'asme-b18.21.1-wide',
        socket: { size: 11.11, measured: { outside: 16, by: 'caliper', uncertainty: 0.05 } },
      }),
    },
    'tapered insert: a relief cut by the machine': {
      ...INPUT,
      fixing: fixingOf({
        ...M6_WRITTEN,
        insert: { measured: { outside: 10.5, length: 13, taper: 4, by: 'caliper', uncertainty: 0.02 } },
      }),
    },
    'screw-in insert of DIN 7965, in a thicker bed': {
      ...INPUT,
      bed: { ...INPUT.bed, thickness: 30 },
      fixing: fixingOf({ ...M6_WRITTEN, insert: { kind: 'din7965' } }),
    },
  };
  test.each(Object.entries(cases))('%s', (_, input) => {
    const stack = stackOf(input);
    expect(naiveCheck(stack, input)).toEqual([]);
  });

  test('countersunk: floor = web + cone, end from the head’s top, countersink told', () => {
    const stack = stackOf(cases['countersunk: the cone goes below the floor and climbs']!);
    expect(stack.countersink).toEqual({ diameter: expect.closeTo(13.44, 9), angle: 90, depth: 3.72 }); // ISO 10642
    expect(stack.headTop - stack.web).toBeCloseTo(0.75, 9); // 0.75 off the axis lifts a 90° cone by 0.75 [derived]
    expect(stack.endDepth).toBeCloseTo(stack.screwLength - stack.web, 9);
  });

  test('relief: full diameter to the depth at which the drill fits', () => {
    const stack = stackOf(cases['tapered insert: a relief cut by the machine']!);
    // mouth 10.52 + 0.4 = 10.92; narrows by 2·tan 2° = 0.0698 a mm: 10.7455 at 2.5 deep, the next drill is 10.8
    expect(stack.handDrill.name).toBe('10.8');
    expect(stack.entryRelief?.diameter).toBe(10.92);
    expect(stack.entryRelief?.depth).toBeCloseTo(0.12 / (2 * Math.tan(Math.PI / 90)), 2);
  });

  test('inch screws come in inches', () => {
    const stack = stackOf(cases['inch: 1/4-20 hex cap screw, closed bush']!);
    expect((stack.screwLength / 25.4) * 8).toBeCloseTo(Math.round((stack.screwLength / 25.4) * 8), 9);
  });
});

describe('uncertainty goes into every clearance', () => {
  const worse = stackOf({ ...INPUT, thicknessUncertainty: 0.3 });
  const best = stackOf(INPUT);
  test('an uncertain thickness raises the floor and shortens life', () => {
    expect(worse.web).toBeCloseTo(best.web + 0.25, 9);
    expect(worse.life.replaceAt).toBeCloseTo(best.life.replaceAt + 0.5, 9);
  });
  test('a rough caliper widens pocket and bore and deepens the bore', () => {
    const rough = fixingOf({
      ...M6_WRITTEN,
      insert: { measured: { outside: 9.52, length: 13, by: 'rule', uncertainty: 0.3 }, through: true },
      socket: { size: 10, measured: { outside: 14.6, by: 'rule', uncertainty: 0.5 } },
    });
    const stack = stackOf({ ...INPUT, fixing: rough });
    expect(stack.pocketDiameter).toBe(16.6); // 14.6 + 0.5 + 1.5
    expect(stack.handDrill.depth).toBeCloseTo(15.8, 9); // 13 + 0.3 + 2.5
    expect(stack.handDrill.diameter).toBe(10.3); // 9.52 + 0.3 + 0.4 = 10.22
  });
});

describe('growth', () => {
  const far = { ...INPUT, reach: 1364 };
  test('absorbed growth that leaves no bearing is refused, and what frees it is told', () => {
    const result = refused(far);
    expect(result.conflict).toEqual(['bearing', 'hole-float']);
    expect(result.remedies.some((r) => r.startsWith('use a washer at least '))).toBe(true);
    expect(result.remedies.some((r) => r.includes('restrain'))).toBe(true);
  });
  test('restrained: the hole takes what the bearing leaves and says what it does not', () => {
    const stack = stackOf({ ...far, rules: { ...RULES, growth: 'restrain' } });
    expect(naiveCheck(stack, { ...far, rules: { ...RULES, growth: 'restrain' } })).toEqual([]);
    expect(stack.lateral.growth).toBeCloseTo(2.046, 9);
    expect(stack.lateral.restrained).toBeCloseTo(2.346 - stack.lateral.total, 9);
    expect(stack.lateral.restrained).toBeGreaterThan(1);
  });
});

describe('infeasible stacks name two bounds and what frees them', () => {
  test('thin board: web and cover', () => {
    const result = refused({ ...INPUT, thickness: 12 });
    expect(result.conflict).toEqual(['web-punching', 'cover']);
    // 5.552 + 1.8 + 4.15 + 1.5 + 0.05 = 13.05
    expect(result.remedies.some((r) => r.startsWith('use a board at least 13.1 mm thick'))).toBe(true);
  });
  test('short screws only: engagement against the web; a published length frees it', () => {
    const fixing = fixingOf({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [10] } });
    const result = refused({ ...INPUT, fixing });
    expect(result.conflict).toEqual(['web-punching', 'engagement-full']);
    expect(result.remedies[0]).toMatch(/^use a published length that is not in stock: screw M6 × 16 mm/);
  });
  test('long screws only: the end against cover', () => {
    const fixing = fixingOf({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [30] } });
    const result = refused({ ...INPUT, fixing });
    expect(result.conflict).toEqual(['screw-end', 'cover']);
  });
  test('thin bed: floor against the bore; a shorter insert frees it', () => {
    const result = refused({ ...INPUT, bed: { thickness: 20, floor: 5, cutLimit: 2.5 } });
    expect(result.conflict).toEqual(['bed-floor', 'bore-depth']);
    expect(result.remedies.some((r) => /^use an insert [\d.]+ mm long/.test(r))).toBe(true);
  });
  test('weak screw: tension against the pull', () => {
    const result = refused({ ...INPUT, thickness: 30, rules: { ...RULES, pull: 600 } });
    expect(result.conflict).toEqual(['tension', 'pull']);
    expect(result.remedies[0]).toMatch(/^ask a pull of at most 500 N/); // 1000 N / 2 [breaking load of M6 PA66]
  });
  test('worn board: its least thickness', () => {
    const result = refused({ ...INPUT, leastThickness: 18 });
    expect(result.conflict).toEqual(['least-board', 'board']);
  });
  test('board pocketed already, too high for the cover', () => {
    const result = refused({ ...INPUT, given: { pocketFloor: 12 } });
    expect(result.conflict).toEqual(['cover', 'floor-given']);
    expect(result.remedies.some((r) => r.startsWith('cut the pockets to another floor'))).toBe(true);
  });
  test('two changes when one is not enough', () => {
    const result = refused({ ...INPUT, thickness: 12, bed: { thickness: 20, floor: 5, cutLimit: 2.5 } });
    expect(result.remedies.length).toBeGreaterThan(0);
    for (const r of result.remedies) expect(r).toContain(', and ');
  });
});

describe('what is given stays', () => {
  test('a screw in stock and a floor that is cut', () => {
    const stack = stackOf({ ...INPUT, given: { screwLength: 16, pocketFloor: 6 } });
    expect([stack.screwLength, stack.web, stack.governs.floor]).toEqual([16, 6, 'floor-given']);
    expect(stack.bounds.filter((b) => b.governs).map((b) => b.id)).toEqual(['floor-given']);
  });
});

describe('misuse', () => {
  test.each([
    ['NaN thickness', { ...INPUT, thickness: Number.NaN }],
    ['negative reach', { ...INPUT, reach: -1 }],
    ['infinite position', { ...INPUT, positionUncertainty: Number.POSITIVE_INFINITY }],
    ['skim of nothing', { ...INPUT, rules: { ...RULES, skim: 0 } }],
    ['no lengths', { ...INPUT, fixing: { ...INPUT.fixing, screw: { ...INPUT.fixing.screw, lengths: [] } } }],
  ] as [string, StackInput][])('%s is an InputError', (_, input) => {
    expect(() => solveStack(input)).toThrow(InputError);
  });
});

describe('the clearance hole: held, floating, opened by hand', () => {
  // growth 0.05 % for each point of moisture (mdf-info.eu); ISO 273: M6 medium 6.6, close 6.4; no position error
  const plain = { ...INPUT, positionUncertainty: 0, rules: { ...RULES, moistureSwing: 2, bearingMin: 0.4 } };
  const wide = withWasher(INPUT.fixing, {
    ...INPUT.fixing.washer!,
    outside: { ...INPUT.fixing.washer!.outside, value: 22, uncertainty: 0.1 },
  });
  const hole = (change: Partial<StackInput>) => {
    const solved = solveStack({ ...plain, fixing: wide, ...change });
    if (!solved.feasible) throw new Error(solved.conflict.join(' / '));
    return solved.stack;
  };

  test('where the board is held it is close, everywhere else it is medium at least', () => {
    expect(hole({ reach: 0, held: true }).clearanceDiameter).toBe(6.4);
    expect(hole({ reach: 0 }).clearanceDiameter).toBe(6.6);
  });

  test('by hand: 1420.3 mm from the hold, 2 points: 6 + 2 · 1.4203 = 8.8406, up to 8.9', () => {
    const stack = hole({ reach: 1420.3 });
    expect(stack.lateral.growth).toBeCloseTo(1.4203, 9);
    expect(stack.holeNeed).toEqual({ diameter: 6 + 2 * 1.4203, opened: false });
    expect(stack.clearanceDiameter).toBe(8.9);
  });

  test('opened by hand: the next drill at hand; what the machine leaves wide enough is not opened', () => {
    const drills = { sizes: [6.5, 7, 8, 9, 10], everyHole: false };
    expect(hole({ reach: 1420.3, drills }).clearanceDiameter).toBe(9);
    expect(hole({ reach: 1420.3, drills }).refitDiameter).toBe(6.6);
    const near = hole({ reach: 200, drills });
    expect(near.holeNeed.opened).toBe(false);
    expect(near.clearanceDiameter).toBe(6.6);
    expect(hole({ reach: 200, drills: { ...drills, everyHole: true } }).clearanceDiameter).toBe(7);
  });

  test('no drill that leaves head or washer its ring: the tenth that is needed, for whoever asks to say so', () => {
    // ISO 7089, M6: washer 12 outside at most; ring (11.57 − hole)/2 − growth − play of the washer
    const drills = { sizes: [6.5, 12], everyHole: false };
    const stack = hole({ reach: 1420.3, drills });
    expect(stack.clearanceDiameter).toBe(12);
    const narrow = hole({ reach: 600, drills, fixing: INPUT.fixing });
    expect(narrow.holeNeed.opened).toBe(true);
    expect(narrow.clearanceDiameter).toBe(7.2);
  });
});
