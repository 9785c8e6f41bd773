import type { Rule, RuleTable } from '@bedledger/diagnostics';

const RULES = {
  'file/refused': {
    severity: 'stop',
    title: 'a file or folder of the machine cannot be opened or written',
    why: 'The system refuses it: a permission is missing, the disk is full, or a folder or a link is where a file should be. The machine was left as it was; the other machines were done.',
    remedy: 'look at the file and its folder, then give the command again',
  },
  'house/unknown-rule': {
    severity: 'warn',
    title: 'the house raises a rule that does not exist',
    why: 'A misspelt code raises nothing: what the house wanted to stop at goes on passing.',
    remedy: 'correct the code under `raise` in shared/house.yaml; `bedledger explain rules` lists them',
  },
  'house/lowered-rule': {
    severity: 'warn',
    title: 'the house would lower a rule',
    why: 'A rule can be raised, never lowered: its findings keep their own severity, and the entry has no effect.',
    remedy: 'take the entry out of `raise` in shared/house.yaml, or give it a heavier severity',
  },
} as const satisfies Record<string, Rule>;

/** Codes of the findings that the command itself makes. */
export type CliCode = keyof typeof RULES;

export const CLI_RULES: RuleTable<CliCode> = RULES;
