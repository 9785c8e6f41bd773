import { pathToFileURL } from 'node:url';
import { MessageChannel, type MessagePort, receiveMessageOnPort, Worker } from 'node:worker_threads';

/** What the worker answers: what a process would have left behind, or why the entry itself could not run. */
interface Answer {
  readonly status: number;
  readonly stdout: string;
  readonly stderr: string;
  readonly broken: string | null;
}

let started: { readonly port: MessagePort; readonly done: Int32Array } | null = null;

function start(bundle: string): NonNullable<typeof started> {
  const { port1, port2 } = new MessageChannel();
  const done = new Int32Array(new SharedArrayBuffer(4));
  const worker = new Worker(new URL('./warm-worker.mjs', import.meta.url), {
    workerData: { port: port2, done, bundle: pathToFileURL(bundle).href },
    transferList: [port2],
  });
  // The test run may end while it waits for calls.
  worker.unref();
  port1.unref();
  return { port: port1, done };
}

/**
 * Runs the built command in a thread that has it loaded, and waits for it: loading it, and running it before the engine has
 * compiled it, is most of the time of a process of its own. No time zone, no `--import`, no terminal: such calls need a process.
 */
export function warmCommand(
  bundle: string,
  cwd: string,
  args: readonly string[],
  env: Readonly<Record<string, string>>,
): { readonly status: number; readonly stdout: string; readonly stderr: string } {
  started ??= start(bundle);
  const { port, done } = started;
  Atomics.store(done, 0, 0);
  port.postMessage({ cwd, args, env });
  if (Atomics.wait(done, 0, 0, 120_000) === 'timed-out') throw new Error(`bedledger ${args.join(' ')} hangs`);
  const { broken, ...run } = (receiveMessageOnPort(port) as { message: Answer }).message;
  if (broken !== null) throw new Error(broken);
  return run;
}
