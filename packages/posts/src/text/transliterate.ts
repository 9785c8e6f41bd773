/**
 * Letters that lose their meaning when only their accents are dropped, in the way their own languages write them
 * without them (ISO 9 and ISO 843 style for Cyrillic and Greek, shortened), and signs of the trade.
 */
const WRITTEN_OUT: ReadonlyMap<string, string> = new Map(
  Object.entries({
    ä: 'ae',
    ö: 'oe',
    ü: 'ue',
    ß: 'ss',
    ẞ: 'SS',
    ø: 'oe',
    å: 'aa',
    æ: 'ae',
    œ: 'oe',
    Ä: 'Ae',
    Ö: 'Oe',
    Ü: 'Ue',
    Ø: 'Oe',
    Å: 'Aa',
    Æ: 'Ae',
    Œ: 'Oe',
    ł: 'l',
    Ł: 'L',
    đ: 'd',
    Đ: 'D',
    ð: 'd',
    Ð: 'D',
    þ: 'th',
    Þ: 'Th',
    ı: 'i',
    ħ: 'h',
    '×': 'x',
    '÷': '/',
    '·': '.',
    '°': ' deg',
    '±': '+-',
    '⌀': 'D',
    '∅': 'D',
    '€': 'EUR',
    '£': 'GBP',
    µ: 'u',
    μ: 'u',
    '–': '-',
    '—': '-',
    '‐': '-',
    '‑': '-',
    '−': '-',
    '’': "'",
    '‘': "'",
    '“': "''",
    '”': "''",
    '„': "''",
    '″': "''",
    '′': "'",
    '⁄': '/',
    '≤': '<=',
    '≥': '>=',
    '→': '->',
    '•': '-',
    а: 'a',
    б: 'b',
    в: 'v',
    г: 'g',
    д: 'd',
    е: 'e',
    ж: 'zh',
    з: 'z',
    и: 'i',
    й: 'j',
    к: 'k',
    л: 'l',
    м: 'm',
    н: 'n',
    о: 'o',
    п: 'p',
    р: 'r',
    с: 's',
    т: 't',
    у: 'u',
    ф: 'f',
    х: 'h',
    ц: 'c',
    ч: 'ch',
    ш: 'sh',
    щ: 'shh',
    ъ: '',
    ы: 'y',
    ь: '',
    э: 'e',
    ю: 'yu',
    я: 'ya',
    ё: 'e',
    і: 'i',
    ї: 'i',
    є: 'ye',
    ґ: 'g',
    α: 'a',
    β: 'v',
    γ: 'g',
    δ: 'd',
    ε: 'e',
    ζ: 'z',
    η: 'i',
    θ: 'th',
    ι: 'i',
    κ: 'k',
    λ: 'l',
    ν: 'n',
    ξ: 'x',
    ο: 'o',
    π: 'p',
    ρ: 'r',
    σ: 's',
    ς: 's',
    τ: 't',
    υ: 'y',
    φ: 'f',
    χ: 'ch',
    ψ: 'ps',
    ω: 'o',
  }),
);

/**
 * Characters that a controller may take for something else, even inside a comment: brackets of comments, comment and
 * program marks, operators, and characters that small controllers pick off the line while it is still coming in.
 */
const DEFUSED: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '(': '[',
    ')': ']',
    '{': '[',
    '}': ']',
    ';': ',',
    ':': '-',
    '%': ' pct',
    '!': '.',
    '?': '.',
    '~': '-',
    $: 'S',
    '*': 'x',
    '#': 'no.',
    '^': ' ',
    '\\': '/',
    '|': '/',
    '`': "'",
    '"': "''",
    '&': '+',
    '@': ' at ',
  }),
);

function isPlain(code: number): boolean {
  return code >= 32 && code < 127;
}

function isSpace(character: string): boolean {
  return /\s|\p{Cc}|\p{Zl}|\p{Zp}/u.test(character);
}

/** One character without a sign of its own above ASCII: letters spelt out, accents dropped, anything else a full stop. */
function spell(character: string): string {
  const written = WRITTEN_OUT.get(character);
  if (written !== undefined) return written;
  const small = character.toLowerCase();
  if (small !== character) {
    const lower = WRITTEN_OUT.get(small);
    if (lower !== undefined) return lower.toUpperCase();
  }
  if (/\p{M}|\p{Cf}/u.test(character)) return '';
  let out = '';
  for (const part of character.normalize('NFKD')) {
    if (isPlain(part.charCodeAt(0)) && part.length === 1) out += part;
    else if (WRITTEN_OUT.has(part)) out += WRITTEN_OUT.get(part);
    else if (!/\p{M}|\p{Cf}/u.test(part)) out += '.';
  }
  return out;
}

/**
 * Any text as plain words of printable ASCII that no controller can take for a block, the end of a comment, a program
 * mark or a message: white space of every kind becomes one space.
 */
export function plainText(text: string): string {
  let out = '';
  for (const character of text.normalize('NFC')) {
    if (isSpace(character)) out += ' ';
    else {
      for (const plain of isPlain(character.charCodeAt(0)) && character.length === 1
        ? character
        : spell(character))
        out += DEFUSED.get(plain) ?? plain;
    }
  }
  return out.replace(/ +/g, ' ').trim();
}
