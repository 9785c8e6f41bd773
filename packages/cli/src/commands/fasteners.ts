import { catalogueSummary, type FastenerRow, findFasteners, type TableKind } from '@bedledger/fasteners';
import { flag } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { textTable } from '../text-table.ts';

/** `--clearance 1/4` narrows the same query to one kind of table. */
const KINDS: readonly (readonly [option: string, kinds: readonly TableKind[], help: string])[] = [
  ['thread', ['thread', 'thread-limits', 'stress-area', 'tap-drill'], 'threads, stress areas, tap drills'],
  ['clearance', ['clearance'], 'clearance holes'],
  ['head', ['head'], 'heads'],
  ['counterbore', ['counterbore', 'countersink'], 'counterbores and countersinks'],
  ['washer', ['washer'], 'washers'],
  ['insert', ['insert', 'insert-hole'], 'inserts and their holes'],
  ['socket', ['socket', 'wrench-opening'], 'driving sockets and wrench openings'],
  ['drill', ['drill', 'drill-point'], 'drill sizes'],
  ['strength', ['screw-strength', 'material'], 'strengths'],
];

export const fasteners: Command = {
  name: 'fasteners',
  usage: 'fasteners [query…]',
  summary: 'look the catalogue up, with sources',
  options: KINDS.map(([name, , help]) => ({ name, value: 'none' as const, help: `only ${help}` })),
  examples: [
    'bedledger fasteners m6',
    'bedledger fasteners --clearance 1/4',
    'bedledger fasteners "#10" --drill',
  ],
  positional: [0, Number.POSITIVE_INFINITY],
  needsFleet: false,
  run: async ({ args, output }) => {
    const query = args.positional.join(' ');
    if (query.trim() === '') {
      const summary = catalogueSummary();
      for (const line of textTable(
        ['table', 'standard', 'sizes'],
        summary.map((t) => [t.title, t.standard, t.sizes.join(' ')]),
      ))
        output.line(line);
      output.object({ command: 'fasteners', tables: summary });
      return EXIT.fine;
    }
    const kinds = KINDS.filter(([name]) => flag(args, name)).flatMap(([, k]) => k);
    const result = findFasteners(query, kinds.length === 0 ? {} : { kinds });
    let title = '';
    for (const row of result.rows) {
      if (row.title !== title) {
        title = row.title;
        output.line(
          `${output.colour ? '\u001b[1m' : ''}${row.title}${output.colour ? '\u001b[0m' : ''}  (${row.standard}${row.table === undefined ? '' : `, ${row.table}`})`,
        );
      }
      const cells = row.columns.map((c) => columnText(c));
      output.line(
        `  ${row.size}: ${cells.join(', ')}  [grade ${row.grade}${row.note === undefined || row.note === '' ? '' : `; ${row.note}`}]`,
      );
    }
    if (result.rows.some((r) => r.grade !== 'A'))
      output.line(
        '\nGrade A: two or more sources agree; B: one source; C: from memory. Where it is B or C, measure yours and put it in the fixing’s `measured` block.',
      );
    output.object({
      command: 'fasteners',
      query: result.query,
      rows: result.rows,
      suggestions: result.suggestions,
    });
    if (result.rows.length > 0) return EXIT.fine;
    output.say(
      `nothing in the catalogue for \`${query}\`${result.suggestions.length > 0 ? `; near it: ${result.suggestions.join(', ')}` : ''}`,
    );
    return EXIT.findings;
  },
};

function columnText({ title, value, unit, metric }: FastenerRow['columns'][number]): string {
  const list = (v: number | string | readonly number[]): string =>
    typeof v === 'object' ? v.join(' ') : String(v);
  // Areas printed in inches come with mm², lengths with mm.
  const rounded = (v: number | readonly number[]): string =>
    list(typeof v === 'number' ? Math.round(v * 1000) / 1000 : v.map((n) => Math.round(n * 1000) / 1000));
  return `${title} ${list(value)}${unit === '' ? '' : ` ${unit}`}${metric === undefined ? '' : ` = ${rounded(metric)} ${unit === 'in²' ? 'mm²' : 'mm'}`}`;
}
