import { planMachine } from '@bedledger/bedwork';
import { checkIssued } from '@bedledger/checker';
import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { demoRecord } from './support/demo-records.ts';

/** A record whose owner vouches for the drawing to so many mm; null: nobody does. */
function vouched(record: MachineRecord, deviation: number | null): MachineRecord {
  return { ...record, state: { ...record.state, vouched: deviation } };
}

/** Egret's survey with the first marks read exactly where they are drawn. */
function surveyed(record: MachineRecord, marks: number): MachineRecord {
  const features = record.survey!.features.map((f, k) => ({ ...f, measured: k < marks ? f.nominal : null }));
  return { ...record, survey: { ...record.survey!, features } };
}

function operationsOf(record: MachineRecord): string[] {
  return planMachine(record).programs.map((p) => p.operation);
}

function reasonOf(record: MachineRecord, operation: string): string {
  return (
    planMachine(record).withheld.find((w) => w.operation === operation && w.form !== 'refit')?.reason ?? ''
  );
}

/** What the checker stops in the programs made for `made`, judged by `record`. */
function stops(made: MachineRecord, record: MachineRecord): string[] {
  const set = issueMachine(made);
  const { findings } = checkIssued(record, issuedFiles(made.machine.id, set.files, set.manifest));
  return findings.filter((f) => f.severity === 'stop').map((f) => `${f.code}: ${f.message}`);
}

const egret = demoRecord('egret');
const curlew = demoRecord('curlew');
const drawn = vouched(egret, null);

describe('a bed that nobody measured and nobody vouches for', () => {
  test('planner: marks of inserts and datum are withheld, with both remedies', () => {
    expect(operationsOf(drawn)).toEqual(['survey-visit', 'air-pass']);
    for (const operation of ['bed-mark', 'datum-mark']) {
      expect(reasonOf(drawn, operation)).toMatch(/survey-visit.*bedledger record egret vouch/);
    }
  });
  test('planner: a first fit that goes on below the bed surface is withheld; pockets are not', () => {
    const bare = vouched(curlew, null);
    expect(reasonOf(bare, 'clearance-holes')).toMatch(/below the bed surface.*bedledger record curlew vouch/);
    expect(operationsOf(bare)).toContain('socket-pockets');
    expect(operationsOf(curlew)).toContain('clearance-holes');
  });
  test('planner: a survey that can check itself, or the word of the owner, lets them through', () => {
    // Two marks leave one coordinate over, three leave three: only these can show a misread one.
    expect(operationsOf(surveyed(drawn, 2))).not.toContain('bed-mark');
    expect(operationsOf(surveyed(drawn, 8))).toEqual(expect.arrayContaining(['bed-mark', 'datum-mark']));
    expect(operationsOf(egret)).toEqual(expect.arrayContaining(['bed-mark', 'datum-mark']));
  });
  test('checker: what was made for a vouched bed is stopped on one without', () => {
    const same = vouched(egret, 0.1);
    expect(stops(same, same)).toEqual([]);
    // 0.1 mm is less than two sigma of the house: the same places, so nothing else differs.
    const found = stops(same, drawn).join('\n');
    expect(found).toMatch(/interlock\/unknown-bed: the tip goes 0\.0882 in below/);
    expect(found.match(/interlock\/unknown-bed/g)).toHaveLength(2);
    expect(stops(curlew, vouched(curlew, null)).join('\n')).toMatch(/interlock\/unknown-bed/);
    expect(stops(curlew, curlew)).toEqual([]);
  });
});

describe('the deviation that the owner vouches for', () => {
  test('planner: is the uncertainty of every site, and never less than twice the house’s sigma', () => {
    const uncertainties = (record: MachineRecord): number[] => [
      ...new Set(planMachine(record).layout.sites.map((s) => s.uncertainty)),
    ];
    expect(uncertainties(vouched(egret, 0.5))).toEqual([0.5]);
    expect(uncertainties(vouched(egret, 0.01))).toEqual([2 * egret.house.survey.sigma]);
  });
  test('checker: holes made for 0.3 mm are too narrow for 0.5 mm, sites placed for it too near to grooves for 2 mm', () => {
    const made = vouched(egret, 0.3);
    expect(stops(made, vouched(egret, 0.5)).join('\n')).toMatch(/documents\/holes: hole_diameter/);
    expect(stops(made, vouched(egret, 2)).join('\n')).toMatch(/work\/land/);
    expect(stops(vouched(egret, 0.5), vouched(egret, 0.5))).toEqual([]);
  });
});
