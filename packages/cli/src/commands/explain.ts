import {
  asGivenYaml,
  explainLayout,
  explainSite,
  planLayout,
  planMachine,
  type SiteStack,
} from '@bedledger/bedwork';
import { didYouMean, lengthNumber, type Rule } from '@bedledger/diagnostics';
import {
  describeInfeasible,
  describeStack,
  lifeTable,
  type Stack,
  type StackInput,
} from '@bedledger/fasteners';
import { listMachines } from '@bedledger/fleet';
import { flag, textOption, UsageError } from '../arguments.ts';
import type { Command, CommandContext } from '../command.ts';
import { severityText } from '../docs/rules-page.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { findRoot } from '../find-root.ts';
import { loadMachine } from '../load-machines.ts';
import { AREAS, areaOf, codesByArea, RULES } from '../rules/index.ts';
import { textTable } from '../text-table.ts';

export const explain: Command = {
  name: 'explain',
  usage: 'explain <machine> [site] | explain <rule>',
  summary: 'why a site is where it is and what its stack is; what a rule means',
  options: [
    {
      name: 'as-given',
      value: 'none',
      help: 'the present sites written out, ready to be pasted over fixing.layout of the profile',
    },
  ],
  examples: [
    'bedledger explain heron',
    'bedledger explain heron B3',
    'bedledger explain heron --as-given',
    'bedledger explain program/travel',
    'bedledger explain rules',
  ],
  positional: [1, 2],
  needsFleet: false,
  run: async (context) => {
    const [first, site] = context.args.positional as [string, string | undefined];
    if (first === 'rules') return allRules(context);
    if (Object.hasOwn(RULES, first)) return explainRule(context, first);
    if (first.includes('/')) {
      throw new UsageError(
        `no rule \`${first}\``,
        didYouMean(first, Object.keys(RULES)) ?? '`bedledger explain rules` lists them',
      );
    }
    const root = findRoot(textOption(context.args, 'root'), context.root);
    if (!listMachines(root).includes(first)) {
      const known = ['rules', ...listMachines(root), ...Object.keys(RULES)];
      throw new UsageError(
        `\`${first}\` is neither a machine nor a rule`,
        didYouMean(first, known) ?? '`bedledger explain rules` lists the rules',
      );
    }
    if (flag(context.args, 'as-given')) return writtenOut(context, root, first);
    return site === undefined
      ? explainMachine(context, root, first)
      : explainOneSite(context, root, first, site);
  },
};

/** A rule for `--json`. */
function ruleObject(code: string): object {
  const { severity, also = [], title, why, remedy, follows = [] } = RULES[code]!;
  return { id: code, area: areaOf(code), severity, also, title, why, remedy, follows };
}

function followsText({ follows = [] }: Rule): string {
  return follows.length === 0
    ? ''
    : `\n\nFollows from: ${follows.join(', ')}, where one of these is found too`;
}

function explainRule({ output }: CommandContext, code: string): ExitCode {
  const rule = RULES[code]!;
  output.line(
    `${code}  ${severityText(rule)}\n\n${rule.title}\n\n${rule.why}\n\nWhat to do: ${rule.remedy}${followsText(rule)}`,
  );
  output.object({ command: 'explain', rule: ruleObject(code) });
  return EXIT.fine;
}

function allRules({ output }: CommandContext): ExitCode {
  for (const [area, codes] of codesByArea()) {
    output.line(`${AREAS[area].title}: ${AREAS[area].about}`);
    output.line();
    for (const line of textTable(
      ['rule', 'severity', 'title'],
      codes.map((code) => [code, RULES[code]!.severity, RULES[code]!.title]),
    ))
      output.line(`  ${line}`);
    output.line();
  }
  output.object({ command: 'explain', rules: Object.keys(RULES).map(ruleObject) });
  return EXIT.fine;
}

/** The layout as it is, with every site written out. */
function writtenOut({ output }: CommandContext, root: string, name: string): ExitCode {
  const { record } = loadMachine(root, name);
  const lines = asGivenYaml(record, planLayout(record));
  for (const line of lines) output.line(line);
  output.object({ command: 'explain', machine: name, layout: lines.join('\n') });
  return EXIT.fine;
}

function explainMachine({ output }: CommandContext, root: string, name: string): ExitCode {
  const { record, findings } = loadMachine(root, name);
  const plan = planMachine(record);
  output.diagnostics([...findings, ...plan.findings]);
  const lines = explainLayout(plan.layout);
  for (const line of lines) output.line(line);
  const { units } = record.machine;
  const plain = (mm: number): string => lengthNumber(mm, units);
  output.line();
  for (const line of textTable(
    ['site', 'state', `X ${units}`, `Y ${units}`, 'land', 'why'],
    plan.layout.sites.map((s) => [
      s.id,
      s.state,
      plain(s.actual[0]),
      plain(s.actual[1]),
      s.land,
      s.reasons[0] ?? '',
    ]),
    [2, 3],
  ))
    output.line(line);
  output.object({
    command: 'explain',
    machine: name,
    layout: {
      lines,
      pattern: plan.layout.pattern,
      pitch: plan.layout.pitch,
      coverage: plan.layout.coverage,
      bound: plan.layout.bound,
      sites: plan.layout.sites,
    },
  });
  return EXIT.fine;
}

function explainOneSite({ output }: CommandContext, root: string, name: string, wanted: string): ExitCode {
  const { record, findings } = loadMachine(root, name);
  const plan = planMachine(record);
  output.diagnostics(findings);
  const site = plan.layout.sites.find((s) => s.id.toLowerCase() === wanted.toLowerCase());
  if (site === undefined) {
    const ids = plan.layout.sites.map((s) => s.id);
    throw new UsageError(
      `${name} has no site \`${wanted}\``,
      didYouMean(wanted, ids) ?? `it has ${ids.join(', ')}`,
    );
  }
  const why = explainSite(plan.layout, site.id);
  for (const line of why) output.line(line);
  output.line();
  const standing = plan.standing.get(site.id);
  for (const line of stackLines(standing)) output.line(line);
  const evaluated = standing && evaluatedStack(standing);
  if (evaluated) {
    const { units } = record.machine;
    const plain = (mm: number): string => lengthNumber(mm, units);
    output.line();
    for (const line of textTable(
      ['skim', `board ${units}`, `cover ${units}`, 'left', 'state'],
      lifeTable(evaluated.stack, evaluated.input).map((r) => [
        String(r.skim),
        plain(r.thickness),
        plain(r.cover),
        String(r.left),
        r.state,
      ]),
      [0, 1, 2, 3],
    ))
      output.line(line);
  }
  output.object({ command: 'explain', machine: name, site, why, stack: standing ? jsonOf(standing) : null });
  return EXIT.fine;
}

/** The stack with what it was reckoned from; null where none holds or nobody recorded what stands there. */
function evaluatedStack(standing: SiteStack): { readonly stack: Stack; readonly input: StackInput } | null {
  if (standing.kind === 'unknown') return null;
  const { input } = standing;
  if (standing.kind !== 'planned') return { stack: standing.stack, input };
  return standing.result.feasible ? { stack: standing.result.stack, input } : null;
}

const STANDING: Readonly<Record<SiteStack['kind'], string>> = {
  built: 'as built, from the ledger',
  pocketed: 'the pocket as cut, with the screw that the profile asks for',
  planned: 'planned',
  unknown: 'what stands there is not on record',
};

function stackLines(standing: SiteStack | undefined): string[] {
  if (!standing) return [];
  const head = STANDING[standing.kind];
  if (standing.kind === 'unknown') return [head];
  const evaluated = evaluatedStack(standing);
  if (evaluated) return [head, ...describeStack(evaluated.stack, evaluated.input)];
  return standing.kind === 'planned' && !standing.result.feasible
    ? [head, ...describeInfeasible(standing.result, standing.input)]
    : [head];
}

/** The shape of the solver's answer, whatever the stack is from, with where it is from. */
function jsonOf(standing: SiteStack): object {
  if (standing.kind === 'unknown') return { feasible: false, ...standing };
  if (standing.kind === 'planned') return { kind: standing.kind, ...standing.result };
  const { kind, stack, broken } = standing;
  return { feasible: true, kind, stack, broken };
}
