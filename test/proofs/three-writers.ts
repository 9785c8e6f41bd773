import { type ChildProcess, spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  appendFileSync,
  cpSync,
  existsSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { systemProcesses } from '@bedledger/fleet';
import { ROOT } from '../support/command.ts';

export interface WritersOptions {
  /** Rounds. */
  readonly count: number;
  readonly seed: number;
  /** The built command's folder and the built fleet package; others only to compare with an earlier build. */
  readonly worker?: string;
  readonly fleet?: string;
  readonly say?: (line: string) => void;
}

/** What happened over all rounds. Everything after `refusedAloud` must be zero. */
export interface WritersScore {
  rounds: number;
  /** Regenerates that said they wrote, or that nothing was to change. */
  saidDone: number;
  /** Checks that ended while the writers wrote, and complete sets that the bystander read meanwhile. */
  checks: number;
  readings: number;
  /** Writers that gave up and said so. */
  refusedAloud: number;
  /** A reader saw files of two sets at once, though the folder stood still before and after. */
  mixtures: number;
  /** Rounds that ended with files missing or not of their manifest. */
  incomplete: number;
  /** Rounds in which every writer said all is well, and the set was not that of the ledger. */
  falseOk: number;
  /** Facts said to be recorded that are not in the ledger. */
  lostFacts: number;
  /** Anything left beside the issued folder. */
  leftovers: number;
  /** Outcomes that call it a fault of the program. */
  faults: number;
}

/** The counts that must be zero and are not. */
export function whatMustNotBe(score: WritersScore): Partial<WritersScore> {
  const { rounds, saidDone, checks, readings, ...rest } = score;
  return Object.fromEntries(Object.entries(rest).filter(([, n]) => n !== 0));
}

/** One process of its own that does tasks as the built command's workers do, and records facts as `record` does. */
const WRITER = `
import { Worker } from 'node:worker_threads';
const [script, fleet] = process.argv.slice(1);
const { recordFacts } = await import(fleet);
const worker = new Worker(new URL(script), { execArgv: [] });
worker.on('message', (m) => { if (!m.ready) process.send(m.outcome ?? { verdict: 'fault', fault: m.fault }); });
worker.on('error', (error) => { console.error(error); process.exit(1); });
process.on('message', (task) => {
  if (task.kind !== 'record') return worker.postMessage(task);
  let found;
  try { found = recordFacts(task.root, task.id, [task.fact]); } catch (error) { found = [{ severity: 'stop', code: error.code }]; }
  process.send({ verdict: found.some((d) => d.severity === 'stop') ? 'refused' : 'recorded' });
});
process.on('disconnect', () => process.exit());
process.send('ready');
`;

interface Answer {
  readonly verdict: string;
}

class Hand {
  readonly #child: ChildProcess;
  readonly ready: Promise<void>;
  #answer: ((answer: Answer) => void) | null = null;

  constructor(worker: string, fleet: string) {
    const args = ['--input-type=module', '-e', WRITER, pathToFileURL(worker).href, pathToFileURL(fleet).href];
    this.#child = spawn(process.execPath, args, { stdio: ['ignore', 'ignore', 'ignore', 'ipc'] });
    this.ready = new Promise((resolve, reject) => {
      this.#child.once('error', reject);
      this.#child.once('exit', () => {
        this.#answer?.({ verdict: 'died' });
        reject(new Error('a writer ended'));
      });
      this.#child.on('message', (message) => {
        if (message === 'ready') resolve();
        else this.#answer?.(message as Answer);
      });
    });
    this.ready.catch(() => {});
  }

  do(task: object): Promise<Answer> {
    return new Promise((resolve) => {
      this.#answer = resolve;
      this.#child.send(task);
    });
  }

  end(): void {
    this.#child.kill();
  }
}

const sha = (data: Uint8Array | string): string => createHash('sha256').update(data).digest('hex');

/** Is the folder one whole set, every file as its manifest says? Null when it was replaced while it was read. */
function wholeSet(folder: string): boolean | null {
  const stamp = (): string | null => {
    try {
      const { ino, mtimeMs } = lstatSync(folder);
      return `${ino} ${mtimeMs}`;
    } catch {
      return null;
    }
  };
  const before = stamp();
  if (before === null) return null;
  let whole: boolean;
  try {
    const manifest = JSON.parse(readFileSync(join(folder, 'manifest.json'), 'utf8')) as {
      files: { path: string; sha256: string }[];
    };
    whole = manifest.files.every(({ path, sha256 }) => sha(readFileSync(join(folder, path))) === sha256);
  } catch {
    whole = false;
  }
  return stamp() === before ? whole : null;
}

/** A seeded stream of numbers from 0 to 1 (Lehmer's generator with the constants of Park and Miller, 1988). */
function numbers(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

/** The machine of the test fleets that is made quickest: the proof is about writing. */
const ID = 'teal';
const FLEET = join(ROOT, 'test/fixtures/fleets/desktop');

/** No process has this number: proc(5) allows 2^22 at most. */
const ENDED = 4_194_999;

/** The state that the writers of a round find. */
const BEGINNINGS: readonly ((machine: string) => void)[] = [
  () => {},
  // A first set has no old one.
  (machine) => rmSync(join(machine, 'issued'), { recursive: true }),
  // Everything must be written again.
  (machine) => {
    for (const file of ['holes.csv', 'run-sheet.html', 'manifest.json'])
      appendFileSync(join(machine, 'issued', file), 'edited by hand\n');
  },
  // A writer was killed between its two renames.
  (machine) => renameSync(join(machine, 'issued'), join(machine, `.issued-previous-${ENDED}-abcdefabcdef`)),
  // A writer was killed while it held the lock.
  (machine) =>
    writeFileSync(
      join(machine, '.machine.lock'),
      `${JSON.stringify({ ...systemProcesses.self(), pid: ENDED, doing: 'regenerate' })}\n`,
    ),
];

/**
 * Three writers of one machine at once, in processes of their own, each round from another beginning: two regenerate, one
 * records a fact and regenerates; a checker and a bystander read all the while.
 */
export async function threeWriters(options: WritersOptions): Promise<WritersScore> {
  const worker = options.worker ?? join(ROOT, 'packages/cli/dist/worker.mjs');
  const built = options.fleet ?? join(ROOT, 'packages/fleet/dist/index.js');
  const random = numbers(options.seed);
  const root = mkdtempSync(join(tmpdir(), 'bedledger-writers-'));
  cpSync(FLEET, root, { recursive: true });
  const machine = join(root, 'machines', ID);
  const ledgerFile = join(machine, 'ledger.yaml');
  const hands = Array.from({ length: 4 }, () => new Hand(worker, built));
  const score: WritersScore = {
    rounds: 0,
    saidDone: 0,
    checks: 0,
    readings: 0,
    refusedAloud: 0,
    mixtures: 0,
    incomplete: 0,
    falseOk: 0,
    lostFacts: 0,
    leftovers: 0,
    faults: 0,
  };
  try {
    await Promise.all(hands.map((hand) => hand.ready));
    const ledger = readFileSync(ledgerFile, 'utf8');
    while (score.rounds < options.count) {
      await round(hands, ledger);
      if (score.rounds % 50 === 0) options.say?.(JSON.stringify(score));
    }
  } finally {
    for (const hand of hands) hand.end();
    rmSync(root, { recursive: true, force: true });
  }
  return score;

  async function round([first, second, third, checker]: readonly Hand[], ledger: string): Promise<void> {
    score.rounds++;
    const issued = join(machine, 'issued');
    writeFileSync(ledgerFile, ledger);
    const regenerate = { kind: 'regenerate', root, id: ID };
    await first!.do(regenerate);
    const beginning = BEGINNINGS[Math.floor(random() * BEGINNINGS.length)]!;
    beginning(machine);

    let writing = true;
    const text = `round ${score.rounds}`;
    const writers = Promise.all([
      first!.do(regenerate),
      second!.do(regenerate),
      third!
        .do({ kind: 'record', root, id: ID, fact: { fact: 'note', date: '2026-12-31', text } })
        .then(async (recorded) => [recorded, await third!.do(regenerate)]),
    ]).then((answers) => {
      writing = false;
      return answers.flat();
    });
    const checks = (async () => {
      while (writing) {
        const { verdict } = await checker!.do({ ...regenerate, kind: 'check' });
        if (verdict === 'fault' || verdict === 'died') score.faults++;
        score.checks++;
      }
    })();
    const watching = (async () => {
      // Only a set that a writer has put there: the beginning may be broken on purpose.
      let own = false;
      while (writing) {
        const whole = wholeSet(issued);
        own ||= whole === true;
        if (whole !== null) score.readings++;
        if (own && whole === false) score.mixtures++;
        // Leaves the processor to the writers.
        await new Promise((resolve) => setTimeout(resolve, 1));
      }
    })();
    const answers = await writers;
    await Promise.all([checks, watching]);

    const said = answers.map((a) => a.verdict);
    score.saidDone += said.filter((v) => v === 'fine' || v === 'changed').length;
    score.refusedAloud += said.filter((v) => v === 'wrong' || v === 'refused').length;
    score.faults += said.filter((v) => v === 'fault' || v === 'died').length;
    const whole = existsSync(issued) && wholeSet(issued) === true;
    if (!whole) score.incomplete++;
    const left = readdirSync(machine).filter((name) => name.startsWith('.'));
    if (left.length > 0) score.leftovers++;
    if (said.includes('recorded') && !readFileSync(ledgerFile, 'utf8').includes(text)) score.lostFacts++;
    const well = said.every((v) => v === 'fine' || v === 'changed' || v === 'recorded');
    const { verdict } = await checker!.do({ ...regenerate, kind: 'check' });
    if (well && (!whole || verdict !== 'fine')) score.falseOk++;
    for (const name of left) rmSync(join(machine, name), { recursive: true, force: true });
  }
}
