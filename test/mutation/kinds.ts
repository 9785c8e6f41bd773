/** What an operator touches; the score is told by these. */
export const OPERATOR_KINDS = [
  'tool',
  'length',
  'output',
  'home',
  'offset',
  'height',
  'direction',
  'spindle',
  'feed',
  'modes',
  'path',
  'text',
] as const;
export type OperatorKind = (typeof OPERATOR_KINDS)[number];

/** Numbers of the operators of each kind; a number with letters where its variants differ. */
const NUMBERS: Readonly<Record<OperatorKind, readonly string[]>> = {
  tool: ['30', '31', '44', '51', '52'],
  length: ['53'],
  output: ['54'],
  home: ['55'],
  offset: ['10', '56'],
  height: ['12', '13', '14', '15', '57'],
  direction: ['18', '21', '58'],
  spindle: ['1', '2', '3', '4'],
  feed: ['5', '6', '16'],
  modes: ['7', '8', '9', '11', '45', '49'],
  path: ['17', '19', '20', '22', '32', '33', '34', '35', '36', '37', '38'],
  text: ['23', '24', '25', '26', '27', '28', '29', '39', '40', '41', '42', '43', '46', '47', '48', '50'],
};

/** Kinds of which every place is tried by the proof of the machine's words. */
export const OF_THE_MACHINE: ReadonlySet<OperatorKind> = new Set([
  'tool',
  'length',
  'output',
  'home',
  'offset',
  'height',
  'direction',
]);

/** @throws RangeError for an operator that no kind has */
export function kindOf(id: string): OperatorKind {
  const number = String(Number.parseInt(id, 10));
  const kind = OPERATOR_KINDS.find((name) => NUMBERS[name].includes(number));
  if (kind === undefined) throw new RangeError(`operator ${id} has no kind`);
  return kind;
}
