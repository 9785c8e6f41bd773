import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { suggest, type Units } from '@bedledger/diagnostics';
import { type FactWritten, recordFact } from '@bedledger/fleet';
import { flag, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { loadMachine } from '../load-machines.ts';
import { FACTS, type FactName, RecordCall, SITE_FACTS, type SiteFact } from '../record/call.ts';
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
    'bedledger record plover skim --commanded 0.4 --thickness 12.1',
    'bedledger record heron datum --mark 0.12,-0.05 --second 1200.1,0.4',
    'bedledger record heron vacuum --zone A --covered "80 kPa"',
  ],
  positional: [2, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const [name, kind, ...sites] = args.positional as [string, string, ...string[]];
    if (!isFact(kind)) {
      const near = suggest(kind, FACTS);
      throw new UsageError(
        `unknown kind of fact \`${kind}\``,
        near.length > 0 ? `did you mean \`${near[0]}\`?` : `facts: ${FACTS.join(', ')}`,
      );
    }
    const { record: machine } = loadMachine(root, name);
    const id = machine.machine.id;
    const facts = factsOf(
      new RecordCall(kind, sites, args, { record: machine, units: ledgerUnits(root, id) }),
    );
    for (const fact of facts) checkReferences(root, machine, fact);
    const written: FactWritten[] = [];
    for (const fact of facts) {
      const found = recordFact(root, id, fact, machine.machine, machine.house.survey.limit, {
        onWait: (message) => output.say(message),
      });
      output.diagnostics(found);
      if (found.some((d) => d.severity === 'stop')) {
        output.marked(
          'stop',
          `${id}: ${describe(fact)} was not recorded${written.length === 0 ? '; the ledger is as it was' : `; the ${written.length} before it were`}`,
        );
        output.object({ command: 'record', machine: id, written, findings: found });
        return EXIT.wrong;
      }
      written.push(fact);
      output.marked('new', `${id}: ${describe(fact)}`);
    }
    output.line(`\nThe ledger decides what may be issued: run \`bedledger regenerate ${id}\` next.`);
    output.object({ command: 'record', machine: id, written, findings: [] });
    return EXIT.fine;
  },
};

function isFact(text: string): text is FactName {
  return (FACTS as readonly string[]).includes(text);
}

function isSiteFact(kind: FactName): kind is SiteFact {
  return (SITE_FACTS as readonly string[]).includes(kind);
}

function factsOf(call: RecordCall): FactWritten[] {
  const { kind } = call;
  if (isSiteFact(kind)) return siteFacts(call, kind);
  if (call.sites.length > 0 || flag(call.args, 'all'))
    throw new UsageError(`${kind} is a fact of the whole machine, not of a site`, 'leave the sites out');
  return [MACHINE_FACT[kind](call)];
}

function ledgerUnits(root: string, id: string): Units {
  return /^units:\s*["']?in\b/m.test(readFileSync(join(root, 'machines', id, 'ledger.yaml'), 'utf8'))
    ? 'in'
    : 'mm';
}

function describe(fact: FactWritten): string {
  const { fact: kind, date, ...rest } = fact;
  const words = Object.entries(rest).map(
    ([key, value]) =>
      `${key} ${Array.isArray(value) ? value.map((v) => (typeof v === 'object' ? JSON.stringify(v) : v)).join(', ') : value}`,
  );
  return `${kind} on ${date}${words.length === 0 ? '' : `: ${words.join('; ')}`}`;
}
