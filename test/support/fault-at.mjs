// Loaded before a command (node --import fault-at.mjs?…): faults of the system below the folder `below`.
//   operation, code: every such operation there fails with the system's code
//   restless: this file gets a line more each time it was read
//   clock: the computer's clock stands at this time
//   pauses=none: whoever waits for a lock counts its pauses and does not sleep them
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

const { searchParams } = new URL(import.meta.url);
const [operation, code, below, restless, clock, pauses] = [
  ...['operation', 'code', 'below', 'restless', 'clock', 'pauses'],
].map((key) => searchParams.get(key));

/** As the system's own: with a path only where the operation has one. */
function fail(path) {
  const error = Object.assign(new Error(`${code}: ${operation}`), { code, syscall: operation });
  if (path !== null) error.path = path;
  throw error;
}

if (operation !== null) {
  const open = new Set();
  const { openSync, closeSync } = fs;
  fs.openSync = (path, flags, ...rest) => {
    const ours = String(path).startsWith(below);
    if (ours && operation === 'open' && flags !== 'r') fail(path);
    const handle = openSync(path, flags, ...rest);
    if (ours && flags !== 'r') open.add(handle);
    return handle;
  };
  fs.closeSync = (handle) => {
    open.delete(handle);
    return closeSync(handle);
  };
  for (const name of ['write', 'fsync']) {
    const act = fs[`${name}Sync`];
    fs[`${name}Sync`] = (handle, ...rest) =>
      operation === name && open.has(handle) ? fail(null) : act(handle, ...rest);
  }
  for (const name of ['rename', 'link', 'unlink', 'rmdir', 'mkdir']) {
    const act = fs[`${name}Sync`];
    fs[`${name}Sync`] = (path, ...rest) =>
      operation === name && String(path).startsWith(below) ? fail(path) : act(path, ...rest);
  }
}
if (restless !== null) {
  const { readFileSync } = fs;
  fs.readFileSync = (path, ...rest) => {
    const found = readFileSync(path, ...rest);
    if (path === restless) fs.appendFileSync(path, '# more\n');
    return found;
  };
}
if (clock !== null) {
  const RealDate = Date;
  globalThis.Date = class extends RealDate {
    constructor(...args) {
      super(...(args.length === 0 ? [clock] : args));
    }
    static now() {
      return RealDate.parse(clock);
    }
  };
}
syncBuiltinESMExports();
if (pauses === 'none') Atomics.wait = () => 'timed-out';
