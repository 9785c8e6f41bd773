import { escapeMarkup } from '../svg/markup.ts';
import { PAGE_STYLE } from './style.ts';

/** Text for HTML, escaped; the only way words of a profile get into a page. */
export const h = escapeMarkup;

/** A whole page that needs nothing from anywhere else. */
export function page(title: string, body: readonly string[]): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${h(title)}</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<main>
${body.join('\n')}
</main>
</body>
</html>
`;
}

export interface TableColumn {
  readonly head: string;
  readonly right?: boolean;
}

/** A plain table; cells are text and are escaped. */
export function table(columns: readonly TableColumn[], rows: readonly (readonly string[])[]): string {
  const cls = (i: number): string => (columns[i]?.right ? ' class="r"' : '');
  return [
    '<div class="scroll"><table>',
    `<thead><tr>${columns.map((c, i) => `<th${cls(i)} scope="col">${h(c.head)}</th>`).join('')}</tr></thead>`,
    '<tbody>',
    ...rows.map((row) => `<tr>${row.map((cell, i) => `<td${cls(i)}>${h(cell)}</td>`).join('')}</tr>`),
    '</tbody></table></div>',
  ].join('\n');
}
