import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { type MachineOutcome, type MachineTask, runMachineTask } from './machine-task.ts';

/** Starting a worker costs about as much as two machines: fewer tasks than this are done here. */
const WORTH_A_WORKER = 3;

/**
 * Runs the tasks over the processor's cores and returns the outcomes in the order of the tasks,
 * whichever finishes first. `done` is told after each.
 */
export async function runTasks(
  tasks: readonly MachineTask[],
  done: (finished: number, id: string) => void,
): Promise<MachineOutcome[]> {
  const outcomes: MachineOutcome[] = new Array(tasks.length);
  const script = fileURLToPath(new URL('./worker.mjs', import.meta.url));
  const workers = Math.min(
    availableParallelism(),
    Math.floor(tasks.length / WORTH_A_WORKER) + 1,
    tasks.length,
  );
  // Run from source there is no bundle for a worker to load.
  if (workers < 2 || !existsSync(script)) {
    tasks.forEach((task, i) => {
      outcomes[i] = runMachineTask(task);
      done(i + 1, task.id);
    });
    return outcomes;
  }
  let next = 0;
  let finished = 0;
  await Promise.all(
    Array.from({ length: workers }, async () => {
      const worker = new Worker(script);
      try {
        while (next < tasks.length) {
          const index = next++;
          const task = tasks[index] as MachineTask;
          outcomes[index] = await ask(worker, task);
          done(++finished, task.id);
        }
      } finally {
        await worker.terminate();
      }
    }),
  );
  return outcomes;
}

function ask(worker: Worker, task: MachineTask): Promise<MachineOutcome> {
  return new Promise((resolve, reject) => {
    const settle = (act: () => void): void => {
      worker.off('message', onMessage);
      worker.off('error', onError);
      worker.off('exit', onExit);
      act();
    };
    const onMessage = (message: { outcome?: MachineOutcome; fault?: string }): void =>
      settle(() =>
        message.outcome === undefined
          ? reject(new Error(`${task.id}: ${message.fault ?? 'the worker said nothing'}`))
          : resolve(message.outcome),
      );
    const onError = (error: Error): void => settle(() => reject(error));
    const onExit = (code: number): void =>
      settle(() => reject(new Error(`${task.id}: the worker ended with ${code}`)));
    worker.on('message', onMessage);
    worker.on('error', onError);
    worker.on('exit', onExit);
    worker.postMessage(task);
  });
}
