import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { didYouMean, type Units } from '@bedledger/diagnostics';
import { type FactWritten, recordFacts } from '@bedledger/fleet';
import { UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
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
import { describeFact } from '../record/describe.ts';
import { MACHINE_FACT } from '../record/machine-facts.ts';
import { RECORD_OPTIONS } from '../record/options.ts';
import { checkReferences } from '../record/references.ts';
import { siteFacts } from '../record/site-facts.ts';

export const record: Command = {
  name: 'record',
  usage: 'record <machine> <fact> [site…]',
  summary: `write a physical fact into the ledger: ${FACTS.join(', ')}`,
  options: RECORD_OPTIONS,
  examples: [
    'bedledger record egret mark --all',
    'bedledger record heron insert B3 --date 2026-03-14',
    'bedledger record heron board --thickness 18.04 --thickness 18.00 --thickness 18.06',
    'bedledger record heron pocket --pocket-depth A1=12.7 --pocket-depth G4=12.8',
    'bedledger record plover skim --commanded 0.4 --thickness 12.1',
    'bedledger record plover screws --swapped --fixing m6-hex-nylon --length 16',
    'bedledger record heron datum --mark 0.12,-0.05 --second 1200.1,0.4',
    'bedledger record heron vacuum --zone A --covered "80 kPa"',
  ],
  positional: [2, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const [name, kind, ...sites] = args.positional as [string, string, ...string[]];
    if (!isFact(kind)) {
      throw new UsageError(
        `unknown kind of fact \`${kind}\``,
        didYouMean(kind, FACTS) ?? `facts: ${FACTS.join(', ')}`,
      );
    }
    const { record: machine } = loadMachine(root, name);
    const id = machine.machine.id;
    const facts = factsOf(
      new RecordCall(kind, sites, args, { root, record: machine, units: ledgerUnits(root, id) }),
    );
    for (const fact of facts) checkReferences(root, machine, fact);
    const found = recordFacts(root, id, facts, machine.machine, machine.house.survey.limit, {
      onWait: (message) => output.say(message),
    });
    output.diagnostics(found);
    const refused = found.some((d) => d.severity === 'stop');
    const written: readonly FactWritten[] = refused ? [] : facts;
    for (const fact of facts)
      output.marked(
        refused ? 'stop' : 'new',
        `${id}: ${describeFact(fact)}${refused ? ' was not recorded; the ledger is as it was' : ''}`,
      );
    if (!refused)
      output.line(`\nThe ledger decides what may be issued: run \`bedledger regenerate ${id}\` next.`);
    output.object({ command: 'record', machine: id, written, findings: found });
    return refused ? EXIT.wrong : EXIT.fine;
  },
};

function isFact(text: string): text is FactName {
  return (FACTS as readonly string[]).includes(text);
}

function isSiteFact(kind: FactName): kind is SiteFact {
  return (SITE_FACTS as readonly string[]).includes(kind);
}

function isBoardFact(kind: FactName): kind is BoardFact {
  return (BOARD_FACTS as readonly string[]).includes(kind);
}

function factsOf(call: RecordCall): FactWritten[] {
  const { kind } = call;
  if (isSiteFact(kind)) return siteFacts(call, kind);
  if (isBoardFact(kind)) return BOARD_FACT[kind](call);
  call.noSites();
  return [MACHINE_FACT[kind](call)];
}

function ledgerUnits(root: string, id: string): Units {
  return /^units:\s*["']?in\b/m.test(readFileSync(join(root, 'machines', id, 'ledger.yaml'), 'utf8'))
    ? 'in'
    : 'mm';
}
