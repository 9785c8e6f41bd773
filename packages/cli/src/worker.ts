import { parentPort } from 'node:worker_threads';
import { type MachineTask, runMachineTask } from './machine-task.ts';

// One machine after another, as the pool hands them out. A fault travels back as text and is raised there.
parentPort?.on('message', (task: MachineTask) => {
  try {
    parentPort?.postMessage({ outcome: runMachineTask(task) });
  } catch (error) {
    parentPort?.postMessage({
      fault: error instanceof Error ? (error.stack ?? error.message) : String(error),
    });
  }
});
