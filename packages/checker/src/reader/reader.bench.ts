import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import type { Controller } from '@bedledger/fleet';
import { parseStringSync } from 'gcode-parser';
import Toolpath from 'gcode-toolpath';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { readProgram } from './index.ts';

const BLOCKS = 1_000_000;
/** The general-purpose libraries are far slower: fewer blocks, same text. */
const FEW = 100_000;

const CONTROLLER: Controller = controllerOf('rs274ngc');
const HEAD = 'G21 G17 G90 G94 G40 G49 G80 G54 G98\nG0 Z30\nS18000 M3\nG0 X0 Y0\nG1 Z1 F3000\n';

/** A program as bytes, written straight into one buffer so that making it costs no memory of its own. */
function program(blocks: number, line: (i: number, random: () => number) => string): Uint8Array {
  const buffer = Buffer.allocUnsafe(blocks * 48 + 4096);
  let seed = 7;
  const random = (): number => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 4294967296;
  };
  let at = buffer.write(HEAD, 0, 'latin1');
  for (let i = 0; i < blocks; i++) at += buffer.write(line(i, random), at, 'latin1');
  at += buffer.write('G0 Z30\nM5\nM2\n', at, 'latin1');
  return buffer.subarray(0, at);
}

const cut = (_i: number, random: () => number): string =>
  `G1 X${(random() * 1000).toFixed(3)} Y${(random() * 1000).toFixed(1)} F3000\n`;
const modal = (_i: number, random: () => number): string =>
  `X${(random() * 1000).toFixed(3)} Y${(random() * 1000).toFixed(3)}\n`;
const arc = (i: number): string => (i % 2 === 0 ? 'G2 X10. Y10. I10. J0.\n' : 'G3 X0. Y0. I-10. J0.\n');
const hole = (i: number): string => `G81 X${(i % 1000).toFixed(1)} Y${i % 7}.25 Z-3. R2. F800\n`;

function seconds(work: () => void): number {
  const from = process.hrtime.bigint();
  work();
  return Number(process.hrtime.bigint() - from) / 1e9;
}

function best(times: number, work: () => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times; i++) least = Math.min(least, seconds(work));
  return least;
}

/** Peak resident memory, MB, of this process after it has made and read a program of a million blocks. */
export function peakMemory(): number {
  const bytes = program(BLOCKS, cut);
  const trace = readProgram(bytes, 'bench.ngc', CONTROLLER, { strict: false });
  if (trace.blocks < BLOCKS) throw new Error(`read ${trace.blocks} blocks, expected ${BLOCKS}`);
  return residentPeak();
}

/**
 * Peak resident memory of this process, MB. Where the system keeps it, the figure of the process image itself is
 * taken: `maxRSS` of a started process also counts what its parent had when it was started.
 */
function residentPeak(): number {
  const status = '/proc/self/status';
  const own = existsSync(status) ? /^VmHWM:\s+(\d+) kB/m.exec(readFileSync(status, 'utf8')) : null;
  return (own === null ? process.resourceUsage().maxRSS : Number(own[1])) / 1024;
}

/** Blocks read and interpreted a second, against a general-purpose library in the same run, and memory. */
export async function figures(): Promise<
  { name: string; value: number; unit: string; limit: number | null; reference: string | null }[]
> {
  const out: { name: string; value: number; unit: string; limit: number | null; reference: string | null }[] =
    [];
  let plain = 0;
  for (const [name, line, limit] of [
    ['G1 X Y F', cut, 1e6],
    ['X Y alone', modal, 1e6],
    ['arcs by centre', arc, null],
    ['drilling cycles', hole, null],
  ] as const) {
    const bytes = program(BLOCKS, line);
    let blocks = 0;
    const took = best(4, () => {
      const trace = readProgram(bytes, 'bench.ngc', CONTROLLER, { strict: false });
      if (!trace.understood) throw new Error(`not understood: ${trace.findings[0]?.message}`);
      blocks = trace.blocks;
    });
    if (name === 'G1 X Y F') plain = blocks / took;
    out.push({
      name: `reader: blocks read and interpreted, ${name}`,
      value: Math.round(blocks / took),
      unit: 'blocks/s',
      limit,
      reference: `${(bytes.length / took / 1e6).toFixed(0)} MB/s`,
    });
  }

  const text = Buffer.from(program(FEW, cut)).toString('latin1');
  const lines = text.split('\n').length - 1;
  const theirs =
    lines /
    best(3, () => {
      const path = new Toolpath({ addLine: () => {}, addArcCurve: () => {} });
      path.loadFromStringSync(text);
    });
  out.push({
    name: 'reader: times as fast as a general-purpose interpreter of program text',
    value: Math.round((plain / theirs) * 10) / 10,
    unit: 'times',
    limit: 3,
    reference: `the library: ${Math.round(theirs)} blocks/s, same run, same text`,
  });
  const parsed = lines / best(3, () => parseStringSync(text));
  out.push({
    name: 'reader: times as fast as a general-purpose parser alone',
    value: Math.round((plain / parsed) * 10) / 10,
    unit: 'times',
    limit: 3,
    reference: `the library, without interpreting: ${Math.round(parsed)} blocks/s`,
  });

  // A process of its own, so that nothing else of this run is counted.
  const script = `import(${JSON.stringify(import.meta.url)}).then((m) => process.stdout.write(String(m.peakMemory())))`;
  const memory = Number(execFileSync(process.execPath, ['-e', script], { encoding: 'utf8' }));
  out.push({
    name: 'reader: peak memory for a program of a million blocks, text included',
    value: Math.round(memory),
    unit: 'MB',
    limit: 300,
    reference: 'whole process, its runtime included',
  });
  return out;
}
