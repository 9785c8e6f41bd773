import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { MachineTask } from './machine-task.ts';
import { runTasks } from './pool.ts';

// Workers that are no worker of ours: what the pool makes of them must not depend on what they do. The machines do not exist,
// so a task that is done here ends as `wrong`.
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'bedledger-pool-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const PRELUDE = `import { parentPort, threadId } from 'node:worker_threads';
const done = (id) => ({ outcome: { id, title: String(threadId), verdict: 'fine', changes: [], findings: [], withheld: [], programs: 0, next: '', recovered: false, fault: null } });
`;

function script(name: string, body: string): URL {
  const file = join(folder, `${name}.mjs`);
  writeFileSync(file, PRELUDE + body);
  return pathToFileURL(file);
}

const tasks = (...ids: string[]): MachineTask[] => ids.map((id) => ({ kind: 'check', root: folder, id }));

async function run(worker: URL, ids: readonly string[], workers = 2) {
  const told: string[] = [];
  const counted: number[] = [];
  const result = await runTasks(tasks(...ids), {
    script: worker,
    workers,
    done: (n) => counted.push(n),
    cannotStart: (why) => told.push(why),
  });
  expect(counted).toEqual(ids.map((_, i) => i + 1));
  expect(result.outcomes.map((o) => o.id)).toEqual(ids);
  return { ...result, told };
}

describe('the pool', () => {
  it('hands the tasks to as many workers as it was told, and answers in their order', async () => {
    // The first task is the slowest.
    const worker = script(
      'slow-first',
      `parentPort.on('message', ({ id }) => setTimeout(() => parentPort.postMessage(done(id)), id === 'a' ? 300 : 30));
       parentPort.postMessage({ ready: true });`,
    );
    const { outcomes, workers, told } = await run(worker, ['a', 'b', 'c', 'd']);
    expect(told).toEqual([]);
    expect(workers).toBe(2);
    expect(new Set(outcomes.map((o) => o.title)).size).toBe(2);
  });

  it('a worker that dies is the fault of its machine alone', async () => {
    const worker = script(
      'dies',
      `parentPort.on('message', ({ id }) => (id === 'b' ? process.exit(7) : parentPort.postMessage(done(id))));
       parentPort.postMessage({ ready: true });`,
    );
    const { outcomes } = await run(worker, ['a', 'b', 'c', 'd', 'e']);
    expect(outcomes.map((o) => o.verdict)).toEqual(['fine', 'fault', 'fine', 'fine', 'fine']);
    expect(outcomes[1]?.fault?.message).toMatch(/exit code 7/);
  });

  it('a worker that throws says what and where', async () => {
    const worker = script(
      'throws',
      `parentPort.on('message', ({ id }) => { if (id === 'a') throw new TypeError('no such tool'); parentPort.postMessage(done(id)); });
       parentPort.postMessage({ ready: true });`,
    );
    const { outcomes } = await run(worker, ['a', 'b', 'c']);
    expect(outcomes.map((o) => o.verdict)).toEqual(['fault', 'fine', 'fine']);
    expect(outcomes[0]?.fault?.message).toBe('no such tool');
    expect(outcomes[0]?.fault?.stack).toContain('throws.mjs');
  });

  it.each([
    ['is not there', () => pathToFileURL(join(folder, 'nowhere.mjs')), /nowhere\.mjs/],
    ['does not load', () => script('broken', 'import "./not-there.mjs";'), /not-there\.mjs/],
    ['ends before it is asked', () => script('ends', 'process.exit(3);'), /exit code 3/],
  ])('a worker that %s is told once, and the tasks are done here', async (_, worker, why) => {
    const { outcomes, workers, told } = await run(worker(), ['a', 'b', 'c']);
    expect(workers).toBe(0);
    expect(told).toHaveLength(1);
    expect(told[0]).toMatch(why);
    expect(outcomes.map((o) => o.verdict)).toEqual(['wrong', 'wrong', 'wrong']);
  });

  it('one worker would only be in the way', async () => {
    const { outcomes, workers, told } = await run(pathToFileURL(join(folder, 'nowhere.mjs')), ['a', 'b'], 1);
    expect([workers, told]).toEqual([0, []]);
    expect(outcomes.map((o) => o.findings[0]?.code)).toEqual([
      'fleet/unknown-machine',
      'fleet/unknown-machine',
    ]);
  });
});
