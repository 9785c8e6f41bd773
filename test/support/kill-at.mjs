// Loaded before a command (node --import kill-at.mjs?at=7&below=/fleet): kills its process just before its operation number
// `at` that changes anything below `below`. A write that is hit has half its bytes on the disk. Reading changes nothing: a kill at a read is a kill
// before the change that follows it. At the end without a kill, the number of changes goes to standard error.
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

const { searchParams } = new URL(import.meta.url);
const at = Number(searchParams.get('at'));
const below = searchParams.get('below');
const open = new Set();
let count = 0;

function strike(half) {
  if (++count !== at) return;
  half?.();
  process.kill(process.pid, 'SIGKILL');
  // The signal is on its way; nothing more may happen.
  for (;;);
}

const { openSync, writeSync, closeSync, fsyncSync } = fs;
fs.openSync = (path, flags, ...rest) => {
  const ours = String(path).startsWith(below);
  if (ours && flags !== 'r') strike();
  const handle = openSync(path, flags, ...rest);
  if (ours && flags !== 'r') open.add(handle);
  return handle;
};
fs.writeSync = (handle, bytes, offset, ...rest) => {
  if (open.has(handle)) {
    const from = offset ?? 0;
    strike(() => writeSync(handle, bytes, from, Math.floor((bytes.length - from) / 2)));
  }
  return writeSync(handle, bytes, offset, ...rest);
};
fs.fsyncSync = (handle) => {
  if (open.has(handle)) strike();
  return fsyncSync(handle);
};
fs.closeSync = (handle) => {
  if (open.delete(handle)) strike();
  return closeSync(handle);
};
for (const name of [
  'renameSync',
  'linkSync',
  'unlinkSync',
  'rmdirSync',
  'rmSync',
  'mkdirSync',
  'utimesSync',
  'writeFileSync',
  'copyFileSync',
  'appendFileSync',
  'truncateSync',
]) {
  const act = fs[name];
  fs[name] = (path, ...rest) => {
    if (String(path).startsWith(below)) strike();
    return act(path, ...rest);
  };
}
syncBuiltinESMExports();
process.on('exit', () => process.stderr.write(`changes: ${count}\n`));
