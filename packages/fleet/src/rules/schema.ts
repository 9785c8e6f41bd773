import type { Rule } from '@bedledger/diagnostics';

/** The files of a fleet that are written in YAML. */
export type Area = 'profile' | 'ledger' | 'shared';

const NAME: Readonly<Record<Area, string>> = {
  profile: 'machine profile',
  ledger: 'ledger',
  shared: 'shared file',
};

/** What a file can get wrong against its schema, whatever file it is. */
const SCHEMA_RULES = {
  'unknown-key': {
    severity: 'stop',
    title: 'a key that FILE does not have',
    why: 'A mistyped key would be passed over in silence, and the machine would run on a default that nobody chose.',
    remedy: 'correct the spelling of the key, or take it out',
  },
  'missing-key': {
    severity: 'stop',
    title: 'a key that FILE needs is missing',
    why: 'There is no safe value to assume: the figure must come from the machine, its drawing or the house.',
    remedy: 'add the key',
  },
  'wrong-quantity': {
    severity: 'stop',
    title: 'a value in FILE is not a quantity of its kind',
    why: 'A length read in the wrong unit, or a typing error in it, becomes a move of the machine.',
    remedy: 'write a number in the unit of the file, or a number with its own unit',
  },
  'wrong-type': {
    severity: 'stop',
    title: 'a value in FILE is of the wrong kind',
    why: 'A text where a number is expected, or a list where a map is expected, cannot be read as anything safe.',
    remedy: 'write the value in the form that is expected',
  },
  'wrong-choice': {
    severity: 'stop',
    title: 'a value in FILE is none of the allowed choices',
    why: 'The program knows only the choices that are listed; another word would have to be guessed at.',
    remedy: 'write one of the choices',
  },
  'wrong-length': {
    severity: 'stop',
    title: 'a list or text in FILE has too few or too many entries',
    why: 'A point needs two numbers and an outline three corners; a list that is far too long is a mistake of the tool that wrote it.',
    remedy: 'correct the number of entries',
  },
  'out-of-range': {
    severity: 'stop',
    title: 'a number in FILE is outside what can be meant',
    why: 'Such a number is nearly always a slip of the unit or of the decimal point.',
    remedy: 'correct the number',
  },
  'wrong-key': {
    severity: 'stop',
    title: 'a name in FILE has characters that a name may not have',
    why: 'Names become file names and comments in programs, where other characters do harm.',
    remedy: 'rename it',
  },
  'wrong-value': {
    severity: 'stop',
    title: 'a value in FILE does not have the form that is expected',
    why: 'A value that has to be guessed at is not used.',
    remedy: 'write the value in the form that is expected',
  },
} satisfies Readonly<Record<string, Rule>>;

export type SchemaWord = keyof typeof SCHEMA_RULES;

/** The rules that every YAML file has, under the codes of one kind of file. */
export function schemaRules<A extends Area>(area: A): Readonly<Record<`${A}/${SchemaWord}`, Rule>> {
  const rules = Object.entries(SCHEMA_RULES).map(([word, rule]) => [
    `${area}/${word}`,
    { ...rule, title: rule.title.replace('FILE', `the ${NAME[area]}`) },
  ]);
  return Object.fromEntries(rules) as Readonly<Record<`${A}/${SchemaWord}`, Rule>>;
}
