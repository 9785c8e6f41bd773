import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { forgetAnswers } from '@bedledger/geometry';
import { parseDocument } from 'yaml';
import { listMachines, loadFleet } from './load/load-fleet.ts';

const ROOT = `${resolve(import.meta.dirname, '../../..')}/`;

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)]!;
}

function time(work: () => unknown, rounds: number): number {
  const out: number[] = [];
  for (let i = 0; i < rounds; i++) {
    forgetAnswers();
    const start = performance.now();
    work();
    out.push(performance.now() - start);
  }
  return median(out);
}

/**
 * Loading, measured on the demo fleet. The reference is the time the YAML reader alone needs for the same files in the
 * same run: what is above it is schemas, units, checks, ledger and features.
 */
export async function figures(): Promise<
  { name: string; value: number; unit: string; limit: number | null; reference: string | null }[]
> {
  const ids = listMachines(ROOT);
  const first = time(() => loadFleet(ROOT, { only: ['heron'] }), 1);
  const one = time(() => loadFleet(ROOT, { only: ['heron'] }), 9);
  const all = time(() => loadFleet(ROOT), 5);
  const texts = [
    ...['cutters', 'boards', 'fixings', 'house'].map((n) => `shared/${n}.yaml`),
    ...ids.flatMap((id) => [`machines/${id}/machine.yaml`, `machines/${id}/ledger.yaml`]),
  ].map((p) => readFileSync(ROOT + p, 'utf8'));
  const yaml = time(() => {
    for (const t of texts) parseDocument(t).toJS();
  }, 5);
  const reference = `YAML reader alone on the same files ${yaml.toFixed(1)} ms`;
  return [
    {
      name: 'fleet: load one machine, first time in the process',
      value: first,
      unit: 'ms',
      limit: null,
      reference: null,
    },
    { name: 'fleet: load one machine', value: one, unit: 'ms', limit: 100, reference: null },
    { name: `fleet: load ${ids.length} machines`, value: all, unit: 'ms', limit: null, reference },
    { name: 'fleet: load against the YAML reader alone', value: all / yaml, unit: 'x', limit: 4, reference },
  ];
}
