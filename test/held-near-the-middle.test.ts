import { join } from 'node:path';
import { planMachine } from '@bedledger/bedwork';
import { checkIssued, type IssuedFiles } from '@bedledger/checker';
import type { House, MachineRecord } from '@bedledger/fleet';
import { beforeAll, describe, expect, it } from 'vitest';
import { issuedFleet } from './mutation/issued-fleet.ts';

/**
 * Where a board is held, how far it grows from there, and what its holes are opened with. Sources: growth 0.05 % in the plane
 * for each point of moisture (mdf-info.eu, controlling moisture content); hole = screw + 2 · (growth + position error), each
 * side of the screw; medium and close holes of ISO 273 (M6: 6.6 and 6.4).
 */
const ROOT = join(import.meta.dirname, '..');
const fleet = issuedFleet(ROOT);
const heron = fleet.find(({ record }) => record.machine.id === 'heron')!;
const egret = fleet.find(({ record }) => record.machine.id === 'egret')!;

describe('heron, by hand', () => {
  const { record } = heron;
  let plan: ReturnType<typeof planMachine>;
  beforeAll(() => {
    plan = planMachine(record);
  });
  const at = (id: string): readonly [number, number] => record.state.sites.get(id)!.at;

  it('the site nearest the middle holds the board, by a close hole', () => {
    // The board lies from -5, -5 and is 1240 x 2460: its middle is 615, 1225.
    // D2 450.08, 1259.57: 164.92 across, 34.57 along, 168.5 away; every other site is farther, D3 169.3.
    expect(at('D2')).toEqual([450.08, 1259.57]);
    expect(plan.work.hold.site).toBe('D2');
    expect(plan.stacks.get('D2')!.clearanceDiameter).toBe(6.4);
    expect(plan.stacks.get('D2')!.holeNeed.opened).toBe(false);
  });

  it('A4 grows 1.42 mm from D2, and no longer 2.70 mm as G4 did from the datum mark', () => {
    // A4 1186.51, 45.09: 736.43 across, 1214.48 along, 1420.3 from D2; 0.0005 x 2 points x 1420.3 = 1.4203
    expect(at('A4')).toEqual([1186.51, 45.09]);
    expect(plan.stacks.get('A4')!.lateral.growth).toBeCloseTo(1.4203, 4);
    // G4 1184.49, 2425.29 is 2699.0 from the datum mark: 2.6990 to either side, and its hole 2 x (2.6990 - 1.4203) = 2.56 wider
    const largest = [...plan.stacks].reduce((a, b) =>
      b[1].holeNeed.diameter > a[1].holeNeed.diameter ? b : a,
    );
    expect(largest[0]).toBe('A4');
    const { uncertainty } = plan.layout.sites.find(({ id }) => id === 'A4')!;
    expect(largest[1].holeNeed.diameter).toBeCloseTo(6 + 2 * (1.4203 + uncertainty), 3);
  });

  it('every hole takes growth and position error, and is the next of at most four drills of the house', () => {
    const kept = record.house.drills.mm;
    const sizes = new Set<number>();
    for (const site of plan.layout.sites) {
      const stack = plan.stacks.get(site.id)!;
      const [dx, dy] = [at(site.id)[0] - 450.08, at(site.id)[1] - 1259.57];
      const need = 6 + 2 * (0.0005 * 2 * Math.sqrt(dx * dx + dy * dy) + site.uncertainty);
      const least = Math.max(site.id === 'D2' ? 6.4 : 6.6, need);
      expect(stack.clearanceDiameter).toBeGreaterThanOrEqual(least - 1e-9);
      if (!stack.holeNeed.opened) continue;
      expect(kept).toContain(stack.clearanceDiameter);
      sizes.add(stack.clearanceDiameter);
    }
    expect(sizes.size).toBeLessThanOrEqual(4);
    for (const site of plan.layout.sites) {
      const { clearanceDiameter, holeNeed } = plan.stacks.get(site.id)!;
      const smaller = [...sizes].filter((size) => size < clearanceDiameter && size >= holeNeed.diameter);
      if (holeNeed.opened) expect(smaller).toEqual([]);
    }
  });

  it('the run sheet lists every hole once, by the drill that opens it', () => {
    const lines = plan.steps.flatMap((step) => step.lines);
    const told = lines.flatMap((line) => {
      const match = /^(?:open to [\d.]+ mm|leave as the machine cut it): ([A-Z0-9, ]+)/.exec(line);
      return match ? match[1]!.trim().split(', ') : [];
    });
    expect(told.sort()).toEqual(plan.layout.sites.map(({ id }) => id).sort());
  });

  it('a profile that names another site has the board held there; one that names none of its sites is stopped', () => {
    const holding = (held: string): MachineRecord => ({
      ...record,
      machine: { ...record.machine, fixing: { ...record.machine.fixing, held } },
    });
    const corner = planMachine(holding('A1'), { layout: plan.layout });
    expect(corner.work.hold.site).toBe('A1');
    expect(corner.stacks.get('G4')!.lateral.growth).toBeGreaterThan(plan.stacks.get('G4')!.lateral.growth);
    const lost = planMachine(holding('Z9'), { layout: plan.layout }).findings;
    expect(lost.find((f) => f.code === 'stack/held-unknown')).toMatchObject({ severity: 'stop' });
  });

  it('a hole that no drill of the house reaches: which to buy', () => {
    const few = { ...record, house: withDrills([6.5, 7, 8, 8.5]) };
    const found = planMachine(few, { layout: plan.layout }).findings.find(
      (f) => f.code === 'stack/drill-missing',
    );
    expect(found?.message).toMatch(/the largest at hand is 8.50 mm/);
    expect(found?.help).toMatch(/^buy a drill 9\.\d mm and add it to `drills`/);
  });
});

function withDrills(mm: readonly number[]): House {
  return { ...heron.record.house, drills: { ...heron.record.house.drills, mm } };
}

describe('the checker, on its own reading', () => {
  const codes = (record: MachineRecord, issued: IssuedFiles): string[] => [
    ...new Set(checkIssued(record, issued).findings.map((f) => f.code)),
  ];
  const table = (change: (line: string) => string): IssuedFiles => {
    const { holes } = heron.issued;
    return { ...heron.issued, holes: { ...holes, text: holes.text.split('\n').map(change).join('\n') } };
  };
  const cell = (site: string, column: number, value: string) => (line: string) => {
    const cells = line.split(',');
    if (cells[0] === site) cells[column] = value;
    return cells.join(',');
  };

  it('the issued files are what it reckons', () => {
    expect(codes(heron.record, heron.issued)).toEqual([]);
    expect(checkIssued(egret.record, egret.issued).findings).toEqual([]);
  });

  it('held at another site, held at two, held at none', () => {
    const nowhere = table(cell('D2', 15, 'floats'));
    expect(codes(heron.record, nowhere)).toContain('work/hold');
    expect(codes(heron.record, table(cell('B2', 15, 'held')))).toContain('work/hold');
    const moved = table((line) => cell('C2', 15, 'held')(cell('D2', 15, 'floats')(line)));
    expect(codes(heron.record, moved)).toContain('work/hold');
  });

  it('a hole of a size that the house does not keep, or narrower than the board grows', () => {
    expect(codes(heron.record, table(cell('A4', 8, '9.400')))).toContain('work/no-drill');
    const narrow = codes(heron.record, table(cell('A4', 8, '8.000')));
    expect(narrow).toEqual(expect.arrayContaining(['work/drills', 'documents/holes', 'documents/run-sheet']));
  });

  it('a wider drill than the next of the board wastes what bears', () => {
    expect(codes(heron.record, table(cell('D3', 8, '9.000')))).toContain('documents/holes');
  });

  it('five drills for one board', () => {
    const house = withDrills([...heron.record.house.drills.mm, 8.5].sort((a, b) => a - b));
    const five = table(cell('F2', 8, '8.500'));
    expect(codes({ ...heron.record, house }, five)).toContain('work/drills');
  });

  it('a sheet that opens a hole to another size than the table', () => {
    const { runSheet } = heron.issued;
    const text = runSheet.text.replace(/Open to 9.5 mm/, 'Open to 9.0 mm');
    expect(text).not.toBe(runSheet.text);
    expect(codes(heron.record, { ...heron.issued, runSheet: { ...runSheet, text } })).toContain(
      'documents/run-sheet',
    );
  });
});
