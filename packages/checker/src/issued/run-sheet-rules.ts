import { type Diagnostic, exactLength, fromUnits, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { IssuedFiles } from '../model.ts';
import { inFile, report } from '../report.ts';
import { drillsFor } from '../scene/hold.ts';
import type { CheckedProgram } from './check-program.ts';
import { readHoleTable } from './hole-table.ts';
import { OPERATION_VIEWS } from './operations.ts';
import { isLoaded, loadsIn, pageText } from './sheet-text.ts';

/** A drill is named to a thousandth of an inch, and no two drills of a set are nearer than 0.1 mm, mm. */
const SAME_DRILL = 0.02;

/** Half a step of what is keyed in, and a little, in the machine's units. */
const KEY_STEP: Readonly<Record<Units, number>> = { mm: 0.00051, in: 0.00013 };

/** A drill as the sheet names it, mm: `7.0 mm`, `9/32 (0.2813 in)`. */
function drillNamed(words: string): number {
  const inches = /([\d.]+) in\b/.exec(words);
  if (inches) return fromUnits(Number(inches[1]), 'in');
  return Number(/([\d.]+) mm\b/.exec(words)?.[1] ?? Number.NaN);
}

/** Where holes over inserts are cut, the sheet tells for each that a hand opens with which drill: the diameter of the table. */
function openingFaults(
  record: MachineRecord,
  issued: IssuedFiles,
  text: string,
): { readonly site: string; readonly message: string }[] {
  const { units } = record.machine;
  const refit = issued.manifest.programs.some((p) => p.operation === 'clearance-holes' && p.form === 'refit');
  if (!refit) return [];
  const told = new Map<string, number>();
  for (const [, words, sites] of text.matchAll(/\bopen to ([^:]{1,40}): ([A-Z0-9, ]+)\./gi)) {
    for (const site of sites!.split(', ')) told.set(site.trim(), drillNamed(words!));
  }
  return readHoleTable(issued.holes, units).rows.flatMap((hole) => {
    const { site, holeDiameter, refitDiameter } = hole;
    if (holeDiameter === null || refitDiameter === null) return [];
    const whole = drillsFor(record, [hole.x, hole.y], [])?.everyHole === true;
    const opened = whole || holeDiameter > refitDiameter + 0.001;
    const said = told.get(site);
    if (!opened && said === undefined) return [];
    if (opened && said !== undefined && Math.abs(said - holeDiameter) < SAME_DRILL) return [];
    const drill = said === undefined ? 'does not say to open' : `opens to ${exactLength(said, units)}`;
    const message = `the run sheet ${drill} the hole of site ${site}, the table has it ${exactLength(opened ? holeDiameter : refitDiameter, units)} wide`;
    return [{ site, message }];
  });
}

/** The sheet lets a program be taken up again where the manifest has such a place, at each of them and at no other line. */
function restartFaults(
  issued: IssuedFiles,
  text: string,
): { readonly file: string; readonly message: string }[] {
  const told = [
    ...text.matchAll(/After a stop \S+ may be taken up again at its first line or at (.*?)\. Nowhere else/g),
  ];
  const lines = told.map(([, places]) => [...places!.matchAll(/\bline (\d+)\b/g)].map((m) => Number(m[1])));
  const programs = issued.manifest.programs.filter((p) => p.restarts.length > 0);
  const wrong = programs.flatMap(({ file, restarts }) => {
    const k = lines.findIndex((some) => restarts.every(({ line }) => some.includes(line)));
    if (k >= 0 && lines[k]!.length === restarts.length) {
      lines.splice(k, 1);
      return [];
    }
    const where = restarts.map(({ line }) => line).join(', ');
    return [
      {
        file,
        message: `the run sheet does not say that ${file} may be taken up again at line ${where} and nowhere else`,
      },
    ];
  });
  const more = lines.map((some) => ({
    file: issued.runSheet.path,
    message: `the run sheet lets a program be taken up again at line ${some.join(', ')}, where no program may be`,
  }));
  return [...wrong, ...more];
}

/** Where a program visits places, the sheet has them in the order in which it stops: readings go to the right ones. */
function orderFaults(record: MachineRecord, programs: readonly CheckedProgram[], text: string): string[] {
  const told = [...text.matchAll(/It stops above, in this order: (.*?)\.(?= |$)/g)].map((m) => m[1]!);
  const orders = new Map<string, string[]>();
  for (const { entry, simulated } of programs) {
    if (OPERATION_VIEWS[entry.operation].work(record).kind !== 'visits') continue;
    orders.set(entry.operation, [...(orders.get(entry.operation) ?? []), ...(simulated?.sites ?? [])]);
  }
  return [...orders].flatMap(([operation, places]) => {
    const order = places.join(', ');
    return told.includes(order)
      ? []
      : [`the run sheet does not say that ${operation} stops above ${order}, in this order`];
  });
}

/** The run sheet names every program to load, in the order of work, and says what to key in before each. */
export function checkRunSheet(
  record: MachineRecord,
  issued: IssuedFiles,
  programs: readonly CheckedProgram[],
): Diagnostic[] {
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
  const loads = loadsIn(text);
  for (const entry of issued.manifest.programs) {
    const k = loads.findIndex(({ path }) => isLoaded(path, entry.file));
    if (k < 0) {
      add(`the run sheet does not say when to load ${entry.file}`, { file: entry.file });
      continue;
    }
    if (entry.keyIn === null) continue;
    // the parts of one operation are one step: what is keyed in stands before or after the list of them
    const stepOf = (path: string): string | null => {
      const other = issued.manifest.programs.find((p) => isLoaded(path, p.file));
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
  for (const message of orderFaults(record, programs, text)) add(message);
  for (const { message, site } of openingFaults(record, issued, text)) add(message, { site });
  for (const { message, file: program } of restartFaults(issued, text)) add(message, { file: program });
  for (const load of loads) {
    if (!issued.manifest.programs.some((p) => isLoaded(load.path, p.file))) {
      add(`the run sheet loads ${load.path}, which is not issued`, { file: load.path });
    }
  }
  return found;
}
