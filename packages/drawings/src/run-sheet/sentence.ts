/**
 * A line of a plan as a sentence of a page: a capital first, unless the first word is a name or a quantity (`upcut-6`, `bed-mark`), and a
 * full stop at the end.
 */
export function sentence(text: string): string {
  const trimmed = text.trim();
  if (trimmed === '') return '';
  const first = /^[a-z]+(?=[\s,:;.!?]|$)/.test(trimmed)
    ? trimmed.charAt(0).toUpperCase() + trimmed.slice(1)
    : trimmed;
  return /[.!?:…]$/.test(first) ? first : `${first}.`;
}
