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

/**
 * A number for markup: at most `decimals` places, no exponent, no `-0`, no trailing zeros.
 *
 * @throws RangeError when it is not finite: a picture with a hole in it must not look finished.
 */
export function num(value: number, decimals = 3): string {
  const text = fixed(value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** A number with exactly `decimals` places, rounded half away from zero, never `-0`. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`a drawing cannot show ${value}`);
  let scale = 1;
  for (let i = 0; i < decimals; i++) scale *= 10;
  const units = Math.floor(Math.abs(value) * scale + 0.5);
  if (!Number.isSafeInteger(units)) throw new RangeError(`${value} is too large for a drawing`);
  const digits = String(units).padStart(decimals + 1, '0');
  const sign = value < 0 && units !== 0 ? '-' : '';
  return decimals === 0 ? sign + digits : `${sign}${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
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
