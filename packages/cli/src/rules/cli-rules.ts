import type { Rule, RuleTable } from '@bedledger/diagnostics';

const RULES = {
  'file/refused': {
    severity: 'stop',
    title: 'a file or folder of the machine cannot be opened or written',
    why: 'The system refuses it: a permission is missing, the disk is full, or a folder or a link is where a file should be. The machine was left as it was; the other machines were done.',
    remedy: 'look at the file and its folder, then give the command again',
  },
  'file/changing': {
    severity: 'stop',
    title: 'the files of the machine change while they are read',
    why: 'What was read in two halves may never have stood in the files at the same time. Nothing was made from it.',
    remedy: 'let whatever writes them end, then give the command again',
  },
  'file/being-written': {
    severity: 'stop',
    title: 'the issued files are being written',
    why: 'Half old and half new files say nothing about either. They were not judged.',
    remedy: 'let the other command end, then give this one again',
  },
  'file/interrupted': {
    severity: 'stop',
    title: 'writing the issued files was interrupted',
    why: 'The files issued before are whole, but stand under another name, where no machine finds them.',
    remedy: 'run `bedledger regenerate` for the machine: it puts them back first',
  },
  'file/leftover': {
    severity: 'warn',
    title: 'something is left over from writing the issued files',
    why: 'Another program holds a file of it, or a permission is missing. The issued files themselves are whole; the leftover is never read.',
    remedy: 'close what holds it; the next regenerate removes it, or remove it by hand',
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
