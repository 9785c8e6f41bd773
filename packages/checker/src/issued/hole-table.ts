import { type Diagnostic, fromUnits, type Units } from '@bedledger/diagnostics';
import { HOLDS, holeColumns } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import { inFile, report } from '../report.ts';

/** One line of `holes.csv`, read back as a claim. Lengths mm; null where the table leaves a cell empty. */
export interface HoleRow {
  readonly line: number;
  readonly site: string;
  readonly state: string;
  readonly nominalX: number;
  readonly nominalY: number;
  readonly x: number;
  readonly y: number;
  readonly pocketDiameter: number | null;
  readonly pocketFloor: number | null;
  readonly holeDiameter: number | null;
  readonly refitDiameter: number | null;
  readonly boreDiameter: number | null;
  readonly boreDepth: number | null;
  readonly screwLength: number | null;
  readonly web: number | null;
  readonly cover: number | null;
  /** What the table says that the board does here. */
  readonly hold: (typeof HOLDS)[number];
}

/** A place to work at: what every row of the table has, and the datum marks as well. Bed frame, mm. */
export type Site = Pick<HoleRow, 'site' | 'x' | 'y'>;

/** Splits one CSV record (RFC 4180: quotes double inside quoted cells). */
function cells(line: string): string[] {
  const out: string[] = [];
  let cell = '';
  let quoted = false;
  for (let k = 0; k < line.length; k++) {
    const c = line[k]!;
    if (quoted) {
      if (c === '"' && line[k + 1] === '"') {
        cell += '"';
        k++;
      } else if (c === '"') quoted = false;
      else cell += c;
    } else if (c === '"' && cell === '') quoted = true;
    else if (c === ',') {
      out.push(cell);
      cell = '';
    } else cell += c;
  }
  out.push(cell);
  return out;
}

/** Why a hole table cannot be read, and where. */
class TableFault {
  readonly line: number;
  readonly message: string;
  constructor(line: number, message: string) {
    this.line = line;
    this.message = message;
  }
}

/**
 * Reads the hole table of a machine that works in `units`. No rows and a finding when it is none: wrong columns, lengths in no
 * unit or in another one than the machine's, a cell that is not a number, a site twice.
 */
export function readHoleTable(
  file: ProgramFile,
  units: Units,
): { rows: HoleRow[]; fault: Diagnostic | null } {
  try {
    return { rows: rowsOf(file.text, units), fault: null };
  } catch (fault) {
    if (!(fault instanceof TableFault)) throw fault;
    const { line, message } = fault;
    return { rows: [], fault: report({ code: 'documents/holes', ...inFile(file, line), message }) };
  }
}

function rowsOf(text: string, units: Units): HoleRow[] {
  const lines = text.split(/\r\n|\n|\r/);
  const wrong = (line: number, message: string): TableFault => new TableFault(line, message);
  const header = cells(lines[0] ?? '');
  const columns = holeColumns(units);
  const other = units === 'mm' ? 'in' : 'mm';
  if (header.join(',') === holeColumns(other).join(',')) {
    throw wrong(1, `the lengths are in ${other}, expected ${units}, the units of the machine`);
  }
  if (header.join(',') !== columns.join(',')) {
    throw wrong(1, `the columns are ${header.join(', ')}, expected ${columns.join(', ')}`);
  }
  const rows: HoleRow[] = [];
  const seen = new Set<string>();
  for (let k = 1; k < lines.length; k++) {
    if (lines[k] === '') continue;
    const c = cells(lines[k]!);
    if (c.length !== columns.length) {
      throw wrong(k + 1, `${c.length} cells, expected ${columns.length}`);
    }
    const number = (at: number): number | null => {
      const text = c[at]!.trim();
      if (text === '') return null;
      const value = Number(text);
      if (!/^-?\d+(\.\d+)?$/.test(text) || !Number.isFinite(value)) {
        throw wrong(k + 1, `\`${text}\` in column ${columns[at]} is not a plain number`);
      }
      return fromUnits(value, units);
    };
    const needed = (at: number): number => {
      const value = number(at);
      if (value === null) throw wrong(k + 1, `column ${columns[at]} is empty`);
      return value;
    };
    const hold = HOLDS.find((word) => word === c[15]);
    if (!hold) throw wrong(k + 1, `\`${c[15]}\` in column ${columns[15]}, expected ${HOLDS.join(' or ')}`);
    const site = c[0]!;
    if (seen.has(site)) throw wrong(k + 1, `site ${site} stands in the table twice`);
    seen.add(site);
    rows.push({
      line: k + 1,
      site,
      state: c[1]!,
      nominalX: needed(2),
      nominalY: needed(3),
      x: needed(4),
      y: needed(5),
      pocketDiameter: number(6),
      pocketFloor: number(7),
      holeDiameter: number(8),
      refitDiameter: number(9),
      boreDiameter: number(10),
      boreDepth: number(11),
      screwLength: number(12),
      web: number(13),
      cover: number(14),
      hold,
    });
  }
  return rows;
}
