import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { caseOf, recordOf, START } from '../testing/case-of.ts';
import { checkHomes, checkOwnHomes } from './homes.ts';

const CORNER = { at: [640, 560], z: 140 } as const;
const G53 = recordOf('gannet', { home: CORNER });
const G53_UNKNOWN = recordOf('gannet', { home: null });
const G28 = recordOf('petrel', { home: CORNER });
const G28_UNKNOWN = recordOf('petrel', { home: null });
const run = (record: MachineRecord, body: string) => caseOf(record, `${START}${body}M2\n`);

const CODES = ['program/machine-coordinates', 'program/home-low', 'program/home-turning'] as const;
const found = (record: MachineRecord, body: string): string[] =>
  checkHomes(run(record, body)).map((f) => f.code);

describe('motions in machine coordinates', () => {
  it.each([
    ['Z alone, home known', G53, 'G53 G0 Z0\n'],
    ['Z alone, home not known', G53_UNKNOWN, 'G53 G0 Z0\n'],
    ['Z alone from low, with the spindle at rest', G53, 'G0 Z60\nX300 Y250\nZ5\nG53 G0 Z0\n'],
    ['X and Y from above everything', G53, 'G0 Z60\nX300 Y250\nG53 G0 X0 Y0\n'],
    ['X and Y after Z', G53, 'G0 Z60\nX300 Y250\nZ5\nG53 G0 Z0\nG53 G0 X0 Y0\n'],
    ['G28 of every axis from above everything', G28, 'G0 Z60\nX300 Y250\nG91 G28 Z0\nG90\n'],
    ['the same, home not known', G28_UNKNOWN, 'G0 Z60\nX300 Y250\nG91 G28 Z0\nG90\n'],
  ])('go home: %s', (_, record, body) => {
    expect(found(record, body)).toEqual([]);
  });

  it.each<[string, MachineRecord, string, (typeof CODES)[number]]>([
    ['a feed', G53, 'G0 Z60\nX300 Y250\nG53 G1 Z0 F500\n', 'program/machine-coordinates'],
    ['Z half way down', G53, 'G53 G0 Z-80\n', 'program/machine-coordinates'],
    ['Z half way down, home not known', G53_UNKNOWN, 'G53 G0 Z-80\n', 'program/machine-coordinates'],
    ['X somewhere', G53, 'G0 Z60\nX300 Y250\nG53 G0 X-100\n', 'program/machine-coordinates'],
    ['every axis from low', G53, 'G0 Z60\nX300 Y250\nZ5\nG53 G0 X0 Y0 Z0\n', 'program/home-low'],
    ['X home from low', G53, 'G0 Z60\nX300 Y250\nZ5\nG53 G0 X0\n', 'program/home-low'],
    ['X home from a height not known', G53_UNKNOWN, 'G53 G0 X0\n', 'program/home-low'],
    ['G28 from low', G28, 'G0 Z60\nX300 Y250\nZ5\nG91 G28 Z0\nG90\n', 'program/home-low'],
    ['G28 from low, home not known', G28_UNKNOWN, 'G0 Z60\nX300 Y250\nZ5\nG91 G28 Z0\n', 'program/home-low'],
    ['with the spindle on', G53, 'S12000 M3\nG0 Z60\nG53 G0 Z0\n', 'program/home-turning'],
  ])('are found otherwise: %s', (_, record, body, code) => {
    expect(found(record, body)).toContain(code);
  });
});

describe('a known home', () => {
  it('is where the machine stands afterwards, in the coordinates of the program', () => {
    const { trace } = run(G53, 'G53 G0 Z0\nG53 G0 X0 Y0\nG0 X10\n');
    expect([...trace.z]).toEqual([140, 140, 140]);
    expect([...trace.x]).toEqual([Number.NaN, 640, 10]);
    expect([...trace.y]).toEqual([Number.NaN, 560, 560]);
  });

  it('is the machine’s and not the program’s: the extents of the program do not reach to it', () => {
    const { simulation } = run(G53, 'G53 G0 Z0\nG0 Z60\nX10 Y20\nX300 Y250\nG53 G0 Z0\n');
    expect(simulation.extents).toEqual({ minX: 10, maxX: 300, minY: 20, maxY: 250, minZ: 60, maxZ: 60 });
  });

  it('holds in the work offset of the datum alone', () => {
    const { trace } = run(G53, 'G55\nG53 G0 Z0\nG0 X10\n');
    expect(trace.z[1]).toBeNaN();
  });
});

describe('an issued program', () => {
  const own = (record: MachineRecord, body: string): string[] =>
    checkOwnHomes(run(record, body)).map((f) => f.code);
  const body = 'G0 Z60\nX300 Y250\n';

  it('goes home first of all and at the end', () => {
    expect(own(G53, `G53 G0 Z0\n${body}G53 G0 Z0\n`)).toEqual([]);
    expect(own(G53, `${body}G53 G0 Z0\n`)).toEqual(['program/home-missing']);
    expect(own(G53, `G53 G0 Z0\n${body}`)).toEqual(['program/home-missing']);
    // G28 may send X and Y too: only the end is asked for
    expect(own(G28, `${body}G91 G28 Z0\nG90\n`)).toEqual([]);
    expect(own(G28, body)).toEqual(['program/home-missing']);
  });

  it('goes home before it fetches a cutter', () => {
    const changer = recordOf('petrel', { home: CORNER, controller: { home: 'G53' } });
    const text = (home: string) =>
      `G53 G0 Z0\nT1 M6\nG43 H1\n${body}${home}T1 M6\nG43 H1\n${body}G53 G0 Z0\n`;
    expect(own(changer, text('G53 G0 Z0\n'))).toEqual([]);
    expect(own(changer, text(''))).toEqual(['program/home-missing']);
  });

  it('leaves X and Y at the park position', () => {
    expect(own(G53, `G53 G0 Z0\n${body}G53 G0 X0 Y0 Z0\n`)).toEqual(['program/park']);
  });
});
