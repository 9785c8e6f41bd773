import type { GuardOptions, WorkPiece } from '@bedledger/checker';
import { didYouMean, type Units } from '@bedledger/diagnostics';
import { type MachineRecord, readLength } from '@bedledger/fleet';
import { listOption, type OptionSpec, type ParsedArguments, textOption, UsageError } from '../arguments.ts';

export const GUARD_OPTIONS: readonly OptionSpec[] = [
  {
    name: 'zero',
    value: 'text',
    placeholder: 'bed|board-top|work|profile',
    help: 'where the job has its Z 0; work is the top of the sheet (default: the machine’s habit)',
  },
  {
    name: 'work-thickness',
    value: 'text',
    placeholder: 'LENGTH',
    help: 'thickness of the sheet that lies on the board, in the machine’s unit unless it names one',
  },
  {
    name: 'work',
    value: 'text',
    placeholder: 'X,Y,W,H',
    help: 'where the sheet lies: its lower left corner and its size (default: anywhere)',
  },
  {
    name: 'cutter',
    value: 'list',
    placeholder: '[T=]ID|LENGTH',
    help: 'the cutter in the spindle: an id of shared/cutters.yaml, or a diameter, in the machine’s unit unless it names one; 3=upcut-6 says it of the job’s T3, and may be written for each',
  },
  {
    name: 'depth',
    value: 'text',
    placeholder: 'LENGTH',
    help: 'deepest the job may go into the board, in the machine’s unit unless it names one (default 0: not at all)',
  },
  {
    name: 'job-list',
    value: 'text',
    placeholder: 'FOLDER',
    help: 'guard every program of a folder, one line each',
  },
  { name: 'drawing', value: 'text', placeholder: 'FILE.svg', help: 'draw the path over the bed' },
];

/** What the call says about the job, read in the machine's units. */
export function guardOptions(args: ParsedArguments, record: MachineRecord): GuardOptions {
  const { units } = record.machine;
  const zero = textOption(args, 'zero') ?? 'profile';
  if (zero !== 'bed' && zero !== 'board-top' && zero !== 'work' && zero !== 'profile')
    throw new UsageError(
      `unknown zero \`${zero}\``,
      'write --zero bed, --zero board-top, --zero work or --zero profile',
    );
  const work = workOption(args, units);
  if (zero === 'work' && work === null)
    throw new UsageError(
      '--zero work needs the thickness of the sheet',
      `write e.g. --work-thickness "${units === 'mm' ? '18 mm' : '0.75 in'}"`,
    );
  return {
    zero,
    work,
    ...cutterOptions(listOption(args, 'cutter'), [...record.cutters.keys()], units),
    allowedDepth: depthOption(textOption(args, 'depth'), units),
  };
}

function workOption(args: ParsedArguments, units: Units): WorkPiece | null {
  const thick = textOption(args, 'work-thickness');
  const where = textOption(args, 'work');
  if (thick === undefined) {
    if (where === undefined) return null;
    throw new UsageError('--work says where a sheet lies, and not how thick it is', 'add --work-thickness');
  }
  const thickness = readLength(thick, units, 'positive');
  if (!('mm' in thickness))
    throw new UsageError(
      `--work-thickness takes a length, not \`${thick}\``,
      'write e.g. --work-thickness 18',
    );
  if (where === undefined) return { thickness: thickness.mm };
  const read = where.split(',').map((part, k) => readLength(part.trim(), units, k < 2 ? 'any' : 'positive'));
  const [x, y, w, h] = read.map((length) => ('mm' in length ? length.mm : Number.NaN));
  if (read.length !== 4 || [x, y, w, h].some((mm) => !Number.isFinite(mm)))
    throw new UsageError(
      `--work takes four lengths, not \`${where}\``,
      'write the lower left corner, then width and height: --work 100,200,600,300',
    );
  return { thickness: thickness.mm, place: { at: [x!, y!], size: [w!, h!] } };
}

function depthOption(text: string | undefined, units: Units): number {
  if (text === undefined) return 0;
  const depth = readLength(text, units, 'zero-or-more');
  if ('mm' in depth) return depth.mm;
  const below = text.trim().startsWith('-');
  throw new UsageError(
    below ? '--depth is measured down from the board’s top' : `--depth takes a length, not \`${text}\``,
    below ? 'write it without a minus' : `write e.g. --depth "${units === 'mm' ? '0.3 mm' : '0.01 in'}"`,
  );
}

function cutterOptions(
  written: readonly string[],
  known: readonly string[],
  units: Units,
): Pick<GuardOptions, 'cutter' | 'cutters'> {
  let cutter: string | number | null = null;
  const cutters = new Map<number, string | number>();
  for (const text of written) {
    const match = /^T?(\d{1,5})=(.*)$/i.exec(text);
    const value = cutterOf(match ? match[2]! : text, known, units);
    if (match) {
      if (cutters.has(Number(match[1])))
        throw new UsageError(`--cutter names T${match[1]} twice`, 'write each tool number once');
      cutters.set(Number(match[1]), value);
    } else if (cutter === null) cutter = value;
    else
      throw new UsageError(
        '--cutter names two cutters without their tool numbers',
        `write --cutter 1=${known[0] ?? 'ID'} for each tool number of the job`,
      );
  }
  return { cutter, cutters };
}

function cutterOf(text: string, known: readonly string[], units: Units): string | number {
  if (known.includes(text)) return text;
  const diameter = readLength(text, units, 'positive');
  if ('mm' in diameter) return diameter.mm;
  throw new UsageError(
    `no cutter \`${text}\` in shared/cutters.yaml`,
    didYouMean(text, known) ?? `cutters: ${known.join(', ')}; or a diameter`,
  );
}
