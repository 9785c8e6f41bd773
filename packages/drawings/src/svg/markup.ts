import { powerOfTen } from '@bedledger/diagnostics';

/** Text made safe for XML and HTML, in content and in quoted attributes. Control characters, which XML forbids, become visible. */
export function escapeMarkup(text: string): string {
  return text
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\ufffe\uffff]/g, '\ufffd')
    .replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd')
    .replace(/[\t\r\n]/g, ' ')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&#39;');
}

/** The value itself, for text that another module writes: a picture with a hole in it must not look finished. */
export function finite(value: number): number {
  if (!(Math.abs(value) < 1e12)) throw new RangeError(`a drawing cannot show ${value}`);
  return value;
}

/**
 * A coordinate on paper: at most `decimals` places, no exponent, no `-0`, no trailing zeros. Nobody reads it, so that decimal
 * ties need no care.
 *
 * @throws RangeError when it is not finite
 */
export function num(value: number, decimals = 3): string {
  const scale = powerOfTen(decimals);
  const steps = Math.floor(Math.abs(finite(value)) * scale + 0.5);
  return String((value < 0 && steps !== 0 ? -steps : steps) / scale);
}

type Attribute = string | number | undefined;

/** One element; attribute values and text children are escaped, element children are taken as they are. */
export function element(
  name: string,
  attributes: Readonly<Record<string, Attribute>>,
  children: readonly string[] | null = null,
): string {
  let open = `<${name}`;
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined) continue;
    open += ` ${key}="${typeof value === 'number' ? num(value) : escapeMarkup(value)}"`;
  }
  return children === null ? `${open}/>` : `${open}>${children.join('')}</${name}>`;
}
