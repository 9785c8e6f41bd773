import { cpSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * Facts with figures that are well formed and cannot be so, or of a stage that was not reached: refused, with the reason, and
 * nothing is written. What is odd and may be so is written, and said.
 */

const MACHINES = ['curlew', 'egret', 'heron', 'plover'];
let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet(...MACHINES);
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));
beforeEach(() => {
  for (const id of MACHINES)
    for (const file of ['ledger.yaml', 'machine.yaml'])
      cpSync(join(ROOT, 'machines', id, file), join(fleet.root, 'machines', id, file));
});

const DAY = ['--date', '2026-11-20'];
const ledger = (id: string): string => fleet.read(`machines/${id}/ledger.yaml`);

const REFUSED: readonly (readonly [call: string, why: RegExp])[] = [
  ['heron board --thickness 181', /ledger\/not-plausible.*181 mm/],
  ['heron board --thickness -18', /must be greater than 0/],
  ['heron skim --commanded 0.4 --thickness 181', /ledger\/grows/],
  ['heron skim --commanded 900 --thickness 17.3', /ledger\/not-plausible: a skim of 900\.000 mm/],
  ['heron pocket --pocket-depth 900', /goes through the board/],
  ['heron pocket --pocket-diameter 900', /ledger\/not-plausible: pockets recorded as 900\.00 mm wide/],
  ['heron pocket --hole-diameter 200', /ledger\/not-plausible: a hole is recorded 200\.00 mm wide/],
  ['heron pocket --screw-length 900', /ledger\/not-plausible: the screws recorded as 900\.00 mm long/],
  ['heron screws --length 16', /not recorded as pocketed/],
  ['heron insert A1', /has an insert since/],
  ['heron vacuum --covered 200kPa', /more than the whole atmosphere/],
  ['heron moisture --percent 900', /at most 40/],
  ['heron datum --mark 0,0 --second 12000,0', /ledger\/datum-distance/],
  ['heron datum --mark 0,0 --second 0,1200', /survey\/turned/],
  ['heron vouch --deviation 900 --by me --reason hope', /ledger\/not-plausible: a drawing that is 900/],
  ['egret bore A1 --depth 900 --diameter 0.4', /ledger\/bore-depth/],
  ['egret bore A1 --at 1.3,40', /layout\/moved-site/],
  ['egret mark A1 --at -40,40', /ledger\/outside-bed/],
  ['egret pocket', /no board is recorded as fitted/],
  ['egret skim --commanded 0.01 --thickness 0.7', /none is recorded as fitted/],
  ['curlew insert A1 --at 300,300', /ledger\/moved/],
  ['plover screws --swapped --length 900', /ledger\/not-plausible: the screws recorded as 900/],
  ['plover screws --swapped --head-height 900', /ledger\/not-plausible: the heads recorded as 900/],
  ['plover screws --swapped --fixing quarter-hex-nylon --length 16', /ledger\/other-thread.*1\/4-20.*M6/],
];

describe('a fact that cannot be so is refused, and nothing is written', () => {
  it.each(REFUSED)('%s', (call, why) => {
    const [id] = call.split(' ') as [string];
    const before = ledger(id);
    const run = fleet.run('record', ...call.split(' '), ...DAY);
    expect(run.stderr).toMatch(why);
    expect(run.status).toBe(2);
    expect(ledger(id)).toBe(before);
  });
});

describe('what is odd and may be so is written, and its consequence said', () => {
  it.each([
    ['heron datum --mark 40,0 --second 1240,0', /warn .*the bed lies up to 41/],
    ['plover screws --swapped --length 30', /warn .*screw end does not bottom/],
    ['plover skim --commanded 0.9 --thickness 12', /warn .*the board is worn out/],
    ['curlew bore A1 --depth 23 --diameter 10', /warn ledger\/bore-depth/],
  ])('%s', (call, says) => {
    const [id] = call.split(' ') as [string];
    const run = fleet.run('record', ...call.split(' '), ...DAY);
    expect(run.status).toBe(0);
    expect(run.stderr + run.stdout).toMatch(says);
    expect(fleet.run('status', id).status).toBe(0);
  });

  it('bores that nobody measured are recorded as planned, every one', () => {
    fleet.run('record', 'egret', 'mark', '--all', ...DAY);
    const before = ledger('egret');
    expect(fleet.run('record', 'egret', 'bore', '--all', ...DAY).status).toBe(0);
    const lines = ledger('egret').slice(before.length).trimEnd().split('\n');
    expect(lines.length).toBeGreaterThan(20);
    for (const line of lines) expect(line).toMatch(/at_from: planned.*depth_from: planned/);
  });
});

describe('on a machine that is stopped', () => {
  it('a planned place is not recorded for a real one; where it really is may be', () => {
    fleet.edit('machines/egret/machine.yaml', /pitch_max: 15/, 'pitch_max: 5');
    const before = ledger('egret');
    const refused = fleet.run('record', 'egret', 'mark', 'A1', ...DAY);
    expect(refused.status).toBe(2);
    expect(refused.stderr).toMatch(
      /the plan of egret is stopped, so where it puts A1 means nothing: the board at/,
    );
    expect(refused.stderr).toMatch(/record egret mark A1 --at X,Y/);
    expect(ledger('egret')).toBe(before);
    // The layout that is stopped has A1 elsewhere: that it contradicts the bed is said, and the caller insists.
    const there = ['record', 'egret', 'mark', 'A1', '--at', '1.3,0.5', ...DAY];
    expect(fleet.run(...there).stderr).toMatch(/stop layout\/moved-site/);
    expect(fleet.run(...there, '--anyway').status).toBe(0);
  }, 60_000);
});
