import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { MachineOutcome, MachineTask } from './machine-task.ts';
import { faultOutcome, runMachineTask } from './machine-task.ts';

/** What a worker says: once that it has loaded, then one outcome for each task it was given. */
export type WorkerMessage = { readonly ready: true } | { readonly outcome: MachineOutcome };

/** Starting a worker costs about as much as one machine: fewer tasks than this are done here. */
const WORTH_A_WORKER = 3;

export interface PoolOptions {
  /** The file a worker runs. */
  readonly script: URL;
  /** How many workers may run at a time; below 2 the tasks are done here. Default: one a core. */
  readonly workers: number | undefined;
  /** Told after each task. */
  readonly done: (finished: number, id: string) => void;
  /** Told once when workers cannot start, with the reason. The tasks are done all the same. */
  readonly cannotStart: (why: string) => void;
}

export interface PoolResult {
  /** In the order of the tasks, whichever finished first. */
  readonly outcomes: readonly MachineOutcome[];
  /** Workers that did a task; 0 when all were done here. */
  readonly workers: number;
}

/**
 * Runs the tasks over the processor's cores. Nothing is thrown for a task: what goes wrong with one machine is that
 * machine's outcome, and the others are done.
 */
export async function runTasks(tasks: readonly MachineTask[], options: PoolOptions): Promise<PoolResult> {
  const outcomes: MachineOutcome[] = new Array(tasks.length);
  let next = 0;
  let finished = 0;
  let busy = 0;
  let told = false;
  const finish = (index: number, outcome: MachineOutcome): void => {
    outcomes[index] = outcome;
    options.done(++finished, outcome.id);
  };

  /** One worker after another in this place: a worker that dies takes one machine with it, not the rest. */
  const lane = async (): Promise<void> => {
    let worker: Worker | null = null;
    let worked = false;
    try {
      while (next < tasks.length) {
        try {
          worker ??= await start(options.script);
        } catch (error) {
          if (!told) options.cannotStart((error as Error).message);
          told = true;
          return;
        }
        if (next >= tasks.length) return;
        const index = next++;
        const task = tasks[index] as MachineTask;
        try {
          finish(index, await ask(worker, task));
          if (!worked) busy++;
          worked = true;
        } catch (error) {
          finish(index, faultOutcome(task.id, error));
          await worker.terminate();
          worker = null;
        }
      }
    } finally {
      await worker?.terminate();
    }
  };

  const lanes = Math.min(options.workers ?? workersFor(tasks.length), tasks.length);
  if (lanes >= 2) await Promise.all(Array.from({ length: lanes }, lane));
  // Few tasks, or no worker started.
  while (next < tasks.length) {
    const index = next++;
    finish(index, runMachineTask(tasks[index] as MachineTask));
  }
  return { outcomes, workers: busy };
}

function workersFor(tasks: number): number {
  return tasks < WORTH_A_WORKER ? 1 : availableParallelism();
}

/** A worker that has loaded its script. Rejects with the reason when it cannot. */
async function start(script: URL): Promise<Worker> {
  const worker = new Worker(script);
  // An error while nobody waits for an answer is seen by its exit; without a listener it would end this process.
  worker.on('error', () => {});
  try {
    await answer(worker);
  } catch (error) {
    await worker.terminate();
    throw error;
  }
  return worker;
}

async function ask(worker: Worker, task: MachineTask): Promise<MachineOutcome> {
  worker.postMessage(task);
  const message = await answer(worker);
  if ('ready' in message) throw new Error('the worker started twice');
  return message.outcome;
}

/** The worker's next message. Rejects when it dies instead. */
function answer(worker: Worker): Promise<WorkerMessage> {
  return new Promise((resolve, reject) => {
    const settle = (act: () => void): void => {
      worker.off('message', onMessage);
      worker.off('messageerror', onError);
      worker.off('error', onError);
      worker.off('exit', onExit);
      act();
    };
    const onMessage = (message: WorkerMessage): void => settle(() => resolve(message));
    const onError = (error: Error): void => settle(() => reject(error));
    const onExit = (code: number): void =>
      settle(() => reject(new Error(`the worker ended with exit code ${code}`)));
    worker.on('message', onMessage);
    worker.on('messageerror', onError);
    worker.on('error', onError);
    worker.on('exit', onExit);
  });
}
