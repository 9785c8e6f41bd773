import { type Diagnostic, exactLength, fromUnits, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { IssuedFiles } from '../model.ts';
import { inFile, report } from '../report.ts';

/** Half a step of what is keyed in, and a little, in the machine's units. */
const KEY_STEP: Readonly<Record<Units, number>> = { mm: 0.00051, in: 0.00013 };

/** The words of a page without its markup; style and script left out, the five named entities read back. */
function pageText(html: string): string {
  return html
    .replace(/<(style|script)\b[\s\S]*?<\/\1>/gi, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&quot;/g, '"')
    .replace(/&#39;|&apos;/g, "'")
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ');
}

/** The run sheet names every program to load, in the order of work, and says what to key in before each. */
export function checkRunSheet(record: MachineRecord, issued: IssuedFiles): Diagnostic[] {
  const { units } = record.machine;
  const { machine } = record;
  const file = issued.runSheet;
  const text = pageText(file.text);
  const found: Diagnostic[] = [];
  const add = (message: string, facts: Record<string, string | number> = {}): void => {
    found.push(report({ code: 'documents/run-sheet', ...inFile(file), message, facts }));
  };
  if (!text.includes(machine.title.replace(/\s+/g, ' ').trim()))
    add(`the run sheet does not name the machine \`${machine.title}\``);
  if (!text.includes(`revision ${record.revision}`))
    add(`the run sheet is not of revision ${record.revision}`);
  const loads = [...text.matchAll(/\bLoad (\S+?)\.?(?= |$)/g)].map((m) => ({ path: m[1]!, at: m.index }));
  for (const entry of issued.manifest.programs) {
    const k = loads.findIndex(
      (l) => l.path === entry.file || l.path.endsWith(`/${entry.file}`) || entry.file.endsWith(l.path),
    );
    if (k < 0) {
      add(`the run sheet does not say when to load ${entry.file}`, { file: entry.file });
      continue;
    }
    if (entry.keyIn === null) continue;
    // the parts of one operation are one step: what is keyed in stands before or after the list of them
    const stepOf = (path: string): string | null => {
      const other = issued.manifest.programs.find((p) => path.endsWith(p.file) || p.file.endsWith(path));
      return other ? `${other.operation} ${other.form ?? ''}` : null;
    };
    const own = `${entry.operation} ${entry.form ?? ''}`;
    const end = loads.slice(k + 1).find((l) => stepOf(l.path) !== own);
    const section = text.slice(loads[k]!.at, end?.at ?? text.length);
    const match = /key in[^:]*: Z (-?\d+(?:\.\d+)?) (mm|in)\b/.exec(section);
    // parts after the first carry on with what was keyed in before them
    if (!match) {
      if (entry.part === 1)
        add(`the run sheet does not say what to key in for ${entry.file}`, { file: entry.file });
      continue;
    }
    const written = match[2] as Units;
    const value = fromUnits(Number(match[1]), written);
    if (Math.abs(value - entry.keyIn) > fromUnits(KEY_STEP[written], written)) {
      add(
        `the run sheet says to key in ${match[1]} ${match[2]} for ${entry.file}, the program needs ${exactLength(entry.keyIn, units)}`,
        { file: entry.file },
      );
    }
  }
  for (const load of loads) {
    if (!issued.manifest.programs.some((p) => load.path.endsWith(p.file) || p.file.endsWith(load.path))) {
      add(`the run sheet loads ${load.path}, which is not issued`, { file: load.path });
    }
  }
  return found;
}
