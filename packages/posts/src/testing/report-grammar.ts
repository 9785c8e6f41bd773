import peggy from 'peggy';

/**
 * Syntax oracle: the line grammar of the RS274/NGC report (NISTIR 6556, Appendix E), given to a general parser
 * generator. White space outside comments means nothing there (§3.3), so it is taken out first.
 */
const GRAMMAR = String.raw`
line = block_delete:"/"? number:line_number? segments:segment* { return { number, segments } }
line_number = [nN] digits:$(digit digit? digit? digit? digit?) !digit { return digits }
segment = comment / parameter_setting / mid_line_word
mid_line_word = letter:[a-dA-Df-mF-Mp-tP-Tx-zX-Z] value:real_value { return { letter: letter.toUpperCase(), value } }
parameter_setting = "#" real_value "=" real_value { return { letter: '#', value: '' } }
real_value = real_number / expression / "#" v:real_value { return '#' + v } / unary_combo
real_number = $([+-]? (digit+ ("." digit*)? / "." digit+))
expression = $("[" real_value (binary real_value)* "]")
binary = "**" / "*" / "/" / "+" / "-" / [mM][oO][dD] / [aA][nN][dD] / [xX]?[oO][rR]
unary_combo = $([a-zA-Z]+ expression ("/" expression)?)
comment = "(" text:$([\x20-\x27\x2a-\x7e\t]*) ")" { return { letter: '(', value: text } }
digit = [0-9]
`;

const parser = peggy.generate(GRAMMAR);

export interface ReportWord {
  readonly letter: string;
  readonly value: string;
}

/** Modal groups of Table 4; a line may hold one word of each. */
const GROUPS: readonly (readonly string[])[] = [
  ['0', '1', '2', '3', '38.2', '80', '81', '82', '83', '84', '85', '86', '87', '88', '89'],
  ['17', '18', '19'],
  ['90', '91'],
  ['93', '94'],
  ['20', '21'],
  ['40', '41', '42'],
  ['43', '49'],
  ['98', '99'],
  ['54', '55', '56', '57', '58', '59', '59.1', '59.2', '59.3'],
  ['61', '61.1', '64'],
  ['4', '10', '28', '30', '53', '92', '92.1', '92.2', '92.3'],
];
const M_GROUPS: readonly (readonly string[])[] = [
  ['0', '1', '2', '30', '60'],
  ['6'],
  ['3', '4', '5'],
  ['7', '8', '9'],
  ['48', '49'],
];

/** Words of one line, or an error as the report demands one: syntax, length, repeats, groups. */
export function reportLine(line: string): readonly ReportWord[] {
  if (line.length > 256) throw new Error('more than 256 characters');
  const bare = line.replace(/\([^()]*\)|[ \t]+/g, (m) => (m.startsWith('(') ? m : ''));
  const { segments } = parser.parse(bare) as { segments: ReportWord[] };
  const words = segments.filter((s) => s.letter !== '(' && s.letter !== '#');
  const g = words.filter((w) => w.letter === 'G').map((w) => String(Number(w.value)));
  const m = words.filter((w) => w.letter === 'M').map((w) => String(Number(w.value)));
  for (const code of g)
    if (!GROUPS.some((group) => group.includes(code))) throw new Error(`unknown G${code}`);
  for (const group of GROUPS)
    if (g.filter((code) => group.includes(code)).length > 1) throw new Error('two G words of one group');
  for (const group of M_GROUPS)
    if (m.filter((code) => group.includes(code)).length > 1) throw new Error('two M words of one group');
  if (m.length > 4) throw new Error('more than four M words');
  for (const letter of 'ABCDFHIJKLPQRSTXYZ') {
    const same = words.filter((w) => w.letter === letter);
    if (same.length > 1) throw new Error(`${letter} twice`);
    if ('DFHLPQST'.includes(letter) && same.some((w) => w.value.startsWith('-')))
      throw new Error(`negative ${letter}`);
  }
  const has = (letters: string): boolean => words.some((w) => letters.includes(w.letter));
  if (g.some((code) => code === '0' || code === '1') && !has('XYZABC')) throw new Error('no axis words');
  if (g.some((code) => code === '2' || code === '3') && !(has('XY') && has('IJR')))
    throw new Error('arc without its words');
  if (g.includes('80') && has('XYZ')) throw new Error('axis words with G80');
  if (g.includes('4') && !has('P')) throw new Error('dwell without P');
  return words;
}

/** A whole file: percent lines in pairs, every line of the grammar, an end word. */
export function reportFile(text: string): void {
  const lines = text.split(/\r\n|\r|\n/);
  if (lines.pop() !== '') throw new Error('last line not ended');
  if (lines[0]?.trim() === '%') {
    if (lines.at(-1)?.trim() !== '%') throw new Error('percent line not paired');
    lines.shift();
    lines.pop();
  }
  const words = lines.map(reportLine);
  if (!words.at(-1)?.some((w) => w.letter === 'M' && ['2', '30'].includes(String(Number(w.value)))))
    throw new Error('no end word');
}
