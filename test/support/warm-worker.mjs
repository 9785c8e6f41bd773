// Runs calls of the built command in one thread, one after another (see warm-command.ts). What a process of its own would have
// is put in place for each call: arguments, folder, environment, the two streams, exit code.
import { workerData } from 'node:worker_threads';

const { port, done, bundle } = workerData;
const own = { ...process.env };
let calls = 0;

port.on('message', async ({ cwd, args, env }) => {
  const said = { stdout: '', stderr: '' };
  for (const stream of ['stdout', 'stderr']) {
    process[stream].write = (text) => {
      said[stream] += text;
      return true;
    };
  }
  for (const name of Object.keys(process.env)) if (!(name in own)) delete process.env[name];
  Object.assign(process.env, own, env);
  process.argv = [process.argv[0], 'bedledger', ...args];
  process.cwd = () => cwd;
  process.exitCode = undefined;
  let broken = null;
  try {
    // Another query is another module: the entry runs anew. What it imports is loaded already.
    await import(`${bundle}?call=${++calls}`);
  } catch (error) {
    broken = String(error?.stack ?? error);
  }
  process.removeAllListeners('SIGINT');
  process.stdout.removeAllListeners('error');
  port.postMessage({ status: process.exitCode ?? 0, ...said, broken });
  Atomics.store(done, 0, 1);
  Atomics.notify(done, 0);
});
