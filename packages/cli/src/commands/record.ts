import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Diagnostic, didYouMean, hasStop, raised } from '@bedledger/diagnostics';
import { type FactWritten, futureFacts, ledgerEntries, recordFacts } from '@bedledger/fleet';
import { flag, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { loadMachine } from '../load-machines.ts';
import { BOARD_FACT } from '../record/board-facts.ts';
import {
  BOARD_FACTS,
  type BoardFact,
  FACTS,
  type FactName,
  RecordCall,
  SITE_FACTS,
  type SiteFact,
} from '../record/call.ts';
import { checkToday, today } from '../record/dates.ts';
import { describeFact } from '../record/describe.ts';
import { factsOfFile } from '../record/facts-of-file.ts';
import { withdrawal } from '../record/ledger-facts.ts';
import { MACHINE_FACT } from '../record/machine-facts.ts';
import { RECORD_OPTIONS } from '../record/options.ts';
import { outlook, tellFollows } from '../record/outlook.ts';
import { checkReferences } from '../record/references.ts';
import { siteFacts } from '../record/site-facts.ts';

export const record: Command = {
  name: 'record',
  usage: 'record <machine> <fact> [site…]',
  summary: `write a physical fact into the ledger: ${FACTS.join(', ')}. A LENGTH is in the unit of the machine’s ledger (12.7), unless it has its own (1/2 in)`,
  options: RECORD_OPTIONS,
  examples: [
    'bedledger record egret mark --all',
    'bedledger record curlew insert B2 --date 2026-11-20',
    'bedledger record heron board --thickness 18.04 --thickness 18.00 --thickness 18.06',
    'bedledger record heron pocket --pocket-depth A1=12.7 --pocket-depth G4=12.8',
    'bedledger record plover skim --commanded 0.4 --thickness 12.1',
    'bedledger record plover screws --swapped --fixing m6-hex-nylon --length 16',
    'bedledger record heron datum --mark 0.12,-0.05 --second 1200.1,0.4',
    'bedledger record heron withdraw 106 --reason "the meter stood on another board"',
    'bedledger record heron skim --commanded 0.4 --thickness 17.2 --dry-run',
    'bedledger record heron vacuum --zone A --covered "80 kPa"',
  ],
  positional: [1, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async ({ args, output, root, cwd }) => {
    const [name, kind, ...sites] = args.positional as [string, string | undefined, ...string[]];
    const named = factNamed(kind, args.options.has('file'));
    const { record: machine, findings } = loadMachine(root, name);
    const { id } = machine.machine;
    const call = new RecordCall(named, sites, args, { root, record: machine, ...ledgerOf(root, id) });
    const facts = factsOf(call, cwd);
    for (const fact of facts) checkReferences(root, machine, fact);

    const seen = outlook(root, { plan: call.plan(), findings }, facts);
    const future = raised(futureFacts(`machines/${id}/ledger.yaml`, facts, today()), machine.house.raise);
    const found = [...seen.findings, ...future, ...seen.stops];
    const dryRun = flag(args, 'dry-run');
    const tell = (written: readonly FactWritten[], all: readonly Diagnostic[]): void => {
      const { follows } = seen;
      output.object({ command: 'record', machine: id, dryRun, facts, written, findings: all, follows });
    };
    const refuse = (all: readonly Diagnostic[], help?: string): ExitCode => {
      output.diagnostics(all);
      for (const fact of facts)
        output.marked('stop', `${id}: ${describeFact(fact)} was not recorded; the ledger is as it was`);
      if (help !== undefined) output.warn(`help: ${help}`);
      tell([], all);
      return EXIT.wrong;
    };
    if (hasStop([...seen.findings, ...future])) return refuse(found);
    if (seen.stops.length > 0 && !flag(args, 'anyway')) return refuse(found, ANYWAY);
    if (call.text('date') === undefined && facts.some(({ date }) => date === call.date))
      checkToday(call.date, call.entries);
    if (!dryRun) {
      const trouble = recordFacts(root, id, facts, machine.machine, machine.house.survey.limit, {
        onWait: (message) => output.say(message),
      });
      // Somebody else wrote in between, or the ledger is locked.
      if (hasStop(trouble)) return refuse(trouble);
    }
    output.diagnostics(found);
    for (const fact of facts)
      output.marked(dryRun ? 'note' : 'new', `${id}: ${dryRun ? 'would record ' : ''}${describeFact(fact)}`);
    if (seen.follows) tellFollows(output, machine, seen.follows);
    output.line(
      dryRun
        ? '\nNothing was written.'
        : `\nThe ledger decides what may be issued: run \`bedledger regenerate ${id}\` next.`,
    );
    tell(dryRun ? [] : facts, found);
    return EXIT.fine;
  },
};

const ANYWAY =
  'nothing could be issued for the machine any more; if it is so all the same, record it with --anyway';

/** The kind of fact that a call names; null where it names a file of facts. */
function factNamed(kind: string | undefined, hasFile: boolean): FactName | null {
  if (kind === undefined) {
    if (hasFile) return null;
    throw new UsageError(
      'record needs a machine and a fact, or a file of facts',
      'usage: bedledger record <machine> <fact> [site…], or bedledger record <machine> --file facts.yaml',
    );
  }
  if ((FACTS as readonly string[]).includes(kind)) return kind as FactName;
  throw new UsageError(
    `unknown kind of fact \`${kind}\``,
    didYouMean(kind, FACTS) ?? `facts: ${FACTS.join(', ')}`,
  );
}

function isSiteFact(kind: FactName): kind is SiteFact {
  return (SITE_FACTS as readonly string[]).includes(kind);
}

function isBoardFact(kind: FactName): kind is BoardFact {
  return (BOARD_FACTS as readonly string[]).includes(kind);
}

function factsOf(call: RecordCall, cwd: string): readonly FactWritten[] {
  const { kind } = call;
  if (kind === null) return factsOfFile(call, cwd, call.neededText('file'));
  if (isSiteFact(kind)) return siteFacts(call, kind);
  if (isBoardFact(kind)) return BOARD_FACT[kind](call);
  if (kind === 'withdraw') return [withdrawal(call)];
  call.noSites();
  return [MACHINE_FACT[kind](call)];
}

/** The ledger's unit and entries, as they stand in its file. */
function ledgerOf(root: string, id: string) {
  const read = ledgerEntries(readFileSync(join(root, 'machines', id, 'ledger.yaml'), 'utf8'));
  if (read) return { units: read.units, entries: read.facts };
  throw new UsageError(`the ledger of ${id} changed while it was read`, 'give the command again');
}
