import { parentPort } from 'node:worker_threads';
import { type MachineTask, runMachineTask } from './machine-task.ts';
import type { WorkerMessage } from './pool.ts';

// One machine after another, as the pool hands them out. `runMachineTask` throws nothing: what goes wrong with a machine is
// in its outcome.
const say = (message: WorkerMessage): void => parentPort?.postMessage(message);
parentPort?.on('message', (task: MachineTask) => say({ outcome: runMachineTask(task) }));
say({ ready: true });
