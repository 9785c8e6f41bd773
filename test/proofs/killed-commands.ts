import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { ROOT } from '../support/command.ts';

export interface KilledOptions {
  /** One kill for each command, at this operation (beyond the last one counting goes on from the first); without it one at every operation. */
  readonly at?: number;
  readonly say?: (line: string) => void;
}

export interface KilledScore {
  /** Per command: operations that change something, and how the fleet stood after a kill. */
  readonly commands: Record<string, { operations: number; old: number; new: number; aside: number }>;
  /** What must never be; one sentence each. */
  readonly wrong: string[];
}

const FLEET = join(ROOT, 'test/fixtures/fleets/desktop');
const ID = 'teal';

interface Case {
  readonly args: readonly string[];
  /** From the fleet as it is: what the command finds. */
  readonly prepare: (root: string) => void;
  /** What must be old or new as a whole, relative to the root. */
  readonly whole: readonly string[];
}

const CASES: Readonly<Record<string, Case>> = {
  // The profile has changed since the files were issued.
  regenerate: {
    args: ['regenerate', ID],
    prepare: (root) => {
      const profile = join(root, `machines/${ID}/machine.yaml`);
      writeFileSync(profile, readFileSync(profile, 'utf8').replace(/^title: .*$/m, 'title: Another title'));
    },
    whole: [`machines/${ID}/issued`],
  },
  'regenerate, nothing issued before': {
    args: ['regenerate', ID],
    prepare: (root) => rmSync(join(root, `machines/${ID}/issued`), { recursive: true }),
    whole: [`machines/${ID}/issued`],
  },
  record: {
    args: ['record', ID, 'note', '--text', 'a note', '--date', '2026-12-31'],
    prepare: () => {},
    whole: [`machines/${ID}/ledger.yaml`],
  },
  schema: {
    args: ['schema'],
    prepare: (root) => {
      for (const name of readdirSync(join(root, 'shared/schemas')))
        writeFileSync(join(root, 'shared/schemas', name), 'old\n');
    },
    // Each file by itself: they do not depend on each other, and `schema --check` tells of one that is old.
    whole: readdirSync(join(ROOT, 'shared/schemas')).map((name) => `shared/schemas/${name}`),
  },
  new: { args: ['new', 'dunlin'], prepare: () => {}, whole: ['machines/dunlin'] },
};

/** Everything at a path as one hash; `none` where nothing is. */
function stateOf(path: string): string {
  if (!existsSync(path)) return 'none';
  const hash = createHash('sha256');
  const walk = (at: string): void => {
    for (const entry of readdirSync(at, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))) {
      hash.update(`${entry.name}\n`);
      if (entry.isDirectory()) walk(join(at, entry.name));
      else hash.update(readFileSync(join(at, entry.name)));
    }
  };
  try {
    walk(path);
  } catch {
    hash.update(readFileSync(path));
  }
  return hash.digest('hex');
}

function run(
  root: string,
  args: readonly string[],
  killAt: number,
): { killed: boolean; changes: number; text: string } {
  const hook = pathToFileURL(join(ROOT, 'test/support/kill-at.mjs'));
  hook.searchParams.set('at', String(killAt));
  hook.searchParams.set('below', root);
  const result = spawnSync(
    process.execPath,
    ['--import', hook.href, join(ROOT, 'packages/cli/bin/bedledger.js'), ...args],
    { cwd: root, encoding: 'utf8', env: { ...process.env, NO_COLOR: '1' } },
  );
  const changes = /changes: (\d+)/.exec(result.stderr)?.[1];
  return {
    killed: result.signal === 'SIGKILL',
    changes: Number(changes ?? 0),
    text: `${result.stdout}${result.stderr}`,
  };
}

/**
 * The built command, killed (SIGKILL) at its operations on the disk: what it writes is afterwards as before or as it should be,
 * whole; between the two renames the issued folder may be aside. The same command given again ends well, says so when it had
 * to put the old files back, and leaves nothing beside them.
 */
export function killedCommands(options: KilledOptions = {}): KilledScore {
  const work = mkdtempSync(join(tmpdir(), 'bedledger-killed-'));
  const commands: KilledScore['commands'] = {};
  const wrong: string[] = [];
  try {
    const start = join(work, 'start');
    cpSync(FLEET, start, { recursive: true });
    cpSync(join(ROOT, 'shared/schemas'), join(start, 'shared/schemas'), { recursive: true });
    run(start, ['regenerate', ID], 0);
    for (const [name, one] of Object.entries(CASES)) {
      const before = join(work, 'before');
      rmSync(before, { recursive: true, force: true });
      cpSync(start, before, { recursive: true, preserveTimestamps: true });
      one.prepare(before);
      const after = join(work, 'after');
      rmSync(after, { recursive: true, force: true });
      cpSync(before, after, { recursive: true, preserveTimestamps: true });
      const operations = run(after, one.args, 0).changes;
      const tally = { operations, old: 0, new: 0, aside: 0 };
      commands[name] = tally;
      const every = Array.from({ length: operations }, (_, i) => i + 1);
      const kills = options.at === undefined ? every : [every[(options.at - 1) % operations]!];
      for (const at of kills) killOnce(name, one, at, { before, after }, tally);
      options.say?.(`${name}: ${JSON.stringify(tally)}, wrong so far ${wrong.length}`);
    }
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
  return { commands, wrong };

  function killOnce(
    name: string,
    { args, whole }: Case,
    at: number,
    { before, after }: { before: string; after: string },
    tally: { old: number; new: number; aside: number },
  ): void {
    const root = join(work, 'killed');
    rmSync(root, { recursive: true, force: true });
    cpSync(before, root, { recursive: true, preserveTimestamps: true });
    const say = (what: string): void => {
      wrong.push(`${name}, killed at ${at}: ${what}`);
    };
    if (!run(root, args, at).killed) {
      say('was not killed');
      return;
    }
    let aside = false;
    for (const path of whole) {
      const [was, is, shall] = [before, root, after].map((folder) => stateOf(join(folder, path)));
      if (is === shall) tally.new++;
      else if (is === was) tally.old++;
      else if (is === 'none') {
        aside = readdirSync(join(root, path, '..')).some((n) => n.startsWith('.issued-previous'));
        if (aside) tally.aside++;
        else say(`${path} is gone`);
      } else say(`${path} is neither as before nor as it should be`);
    }
    // `new` says that its machine is there already, where it was killed after its last rename.
    const again = run(root, args, 0).text;
    if (aside !== /an interrupted write was undone/.test(again))
      say(`the next run ${aside ? 'does not say' : 'says'} that it put the old files back`);
    if (/fault of this program/.test(again)) say(`the next run fails:\n${again}`);
    for (const path of whole)
      if (name !== 'record' && stateOf(join(root, path)) !== stateOf(join(after, path)))
        say(`the next run does not heal ${path}`);
    const check = run(root, ['check', ID], 0);
    if (name.startsWith('regenerate') && !/^ok {7}/m.test(check.text))
      say(`check is not content:\n${check.text}`);
    for (const folder of [`machines/${ID}`, 'machines', 'shared/schemas'])
      for (const left of readdirSync(join(root, folder)))
        if (left.startsWith('.')) say(`${folder}/${left} is left over`);
  }
}
