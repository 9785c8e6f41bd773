import { join } from 'node:path';
import type { MachineRecord, Zone } from '@bedledger/fleet';
import { distance, forgetAnswers } from '@bedledger/geometry';
import { tenZoneBed } from '../../../../test/layout/ten-zone-beds.ts';
import { bare, demoRecord, demoRecords, withLayout } from '../../../../test/support/demo-records.ts';
import { computeLands } from '../lands/lands.ts';
import { fitBed } from '../survey/bed-fit.ts';
import { alignedLayout } from './aligned.ts';
import { pitchRule } from './pitch.ts';
import { planLayout } from './plan-layout.ts';

interface Figure {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly limit: number | null;
  readonly reference: string | null;
}

/** Median time of several runs, each from nothing, ms. */
function median(runs: number, work: () => void): number {
  work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    forgetAnswers();
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return times[times.length >> 1] as number;
}

const TEN_ZONE_BEDS = 15;
/** What else runs on the machine slows a run down and never speeds it up: the best of so many counts. */
const RUNS = 3;

/** The record with a bed that nothing was worked out for yet. */
function anew(record: MachineRecord): MachineRecord {
  return { ...record, machine: { ...record.machine, bed: { ...record.machine.bed } } };
}

function processorSeconds(record: MachineRecord): number {
  let best = Number.POSITIVE_INFINITY;
  for (let run = 0; run < RUNS; run++) {
    const bed = anew(record);
    const before = process.cpuUsage();
    planLayout(bed);
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1e6);
  }
  return best;
}

/** The 5 × 10 ft demo bed with eight zones, grooves every 50 mm. */
function largeBed(): MachineRecord {
  const egret = bare(demoRecord('egret'));
  const zones: Zone[] = egret.machine.bed.zones.map((z) => ({
    ...z,
    grooves: { kind: 'grid', pitch: [50, 50], width: 9, depth: 8 },
  }));
  return { ...egret, machine: { ...egret.machine, bed: { ...egret.machine.bed, zones } } };
}

export async function figures(): Promise<Figure[]> {
  demoRecords(join(import.meta.dirname, '../../../..'));
  const out: Figure[] = [];
  const large = largeBed();
  const fit = fitBed(large);
  out.push({
    name: 'lands of a 5 x 10 ft bed, eight grooved zones',
    value: median(15, () => {
      computeLands(anew(large), fit);
    }),
    unit: 'ms',
    limit: 100,
    reference: null,
  });

  for (const record of demoRecords()) {
    const id = record.machine.id;
    const fresh = bare(record);
    const here = fitBed(fresh);
    const lands = computeLands(fresh, here);
    const pitch = pitchRule(fresh);
    const aligned = withLayout(fresh, { pattern: 'aligned' });
    out.push({
      name: `aligned layout, ${id}`,
      value: median(41, () => {
        alignedLayout(aligned, here, lands, pitch);
      }),
      unit: 'ms',
      limit: 10,
      reference: null,
    });
  }

  for (const record of demoRecords()) {
    const id = record.machine.id;
    const fresh = withLayout(record, { pattern: 'fewest' });
    const ms = median(3, () => {
      planLayout(anew(fresh));
    });
    out.push({ name: `fewest layout, ${id}`, value: ms / 1000, unit: 's', limit: 1.5, reference: null });
  }

  const beds = Array.from({ length: TEN_ZONE_BEDS }, (_, k) => tenZoneBed(k + 1));
  for (const bed of beds.slice(0, 3)) planLayout(bed);
  const times = beds.map(processorSeconds).sort((a, b) => a - b);
  const name = `fewest layout, 5 x 10 ft with ten zones, ${TEN_ZONE_BEDS} beds`;
  const unit = 's of processor time';
  out.push(
    { name: `${name}, median`, value: times[times.length >> 1] as number, unit, limit: 0.3, reference: null },
    { name: `${name}, worst`, value: times.at(-1) as number, unit, limit: 1.5, reference: null },
  );

  const lands = computeLands(large, fit);
  const points = Array.from({ length: 4096 }, (_, i): [number, number] => [
    ((i * 733) % 1524) + 0.37,
    ((i * 1571) % 3048) - 50.21,
  ]);
  let sum = 0;
  const ms = median(15, () => {
    for (const p of points) sum += lands.features.nearest(p)?.distance ?? 0;
  });
  const naive = median(3, () => {
    for (const p of points.slice(0, 64)) {
      let near = Number.POSITIVE_INFINITY;
      for (const polygon of lands.actual)
        for (const q of polygon.outer) near = Math.min(near, distance(p, q));
      sum += near;
    }
  });
  if (!Number.isFinite(sum)) throw new Error('a distance is not a number');
  out.push({
    name: 'clearance query: nearest of all features of a 5 x 10 ft bed',
    value: (ms * 1000) / points.length,
    unit: 'µs',
    limit: 5,
    reference: `a plain loop over the corners alone: ${((naive * 1000) / 64).toFixed(1)} µs`,
  });
  return out;
}
