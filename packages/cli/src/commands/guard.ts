import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { type GuardOptions, guardWithPicture } from '@bedledger/checker';
import { didYouMean, lengthNumber, lengthText, toPlain, type Units } from '@bedledger/diagnostics';
import { pathDrawing } from '@bedledger/drawings';
import { readLength } from '@bedledger/fleet';
import { textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { loadMachine } from '../load-machines.ts';

/** A job larger than this is not read: no controller of a router holds it, and neither should we. */
const MOST_BYTES = 256 * 1024 * 1024;

const VERDICT = {
  'may-run': 'may run on this bed today',
  'may-not': 'may not run on this bed today',
  'cannot-vouch': 'cannot be vouched for: not everything in it was understood',
} as const;

export const guardCommand: Command = {
  name: 'guard',
  usage: 'guard <machine> <program>',
  summary: 'may this job’s program run on this bed today?',
  options: [
    {
      name: 'zero',
      value: 'text',
      placeholder: 'bed|board-top|profile',
      help: 'where the job has its Z 0 (default: the machine’s habit)',
    },
    {
      name: 'cutter',
      value: 'text',
      placeholder: 'ID|LENGTH',
      help: 'the cutter in the spindle: an id of shared/cutters.yaml, or a diameter, in the machine’s unit unless it names one',
    },
    {
      name: 'depth',
      value: 'text',
      placeholder: 'LENGTH',
      help: 'deepest the job may go into the board, in the machine’s unit unless it names one (default 0: not at all)',
    },
    { name: 'drawing', value: 'text', placeholder: 'FILE.svg', help: 'draw the path over the bed' },
  ],
  examples: [
    'bedledger guard heron job.ngc --cutter upcut-6 --depth 0.3',
    'bedledger guard egret sign.ngc --zero board-top --drawing sign.svg',
  ],
  positional: [2, 2],
  needsFleet: true,
  run: async ({ args, output, root, cwd }) => {
    const [name, file] = args.positional as [string, string];
    const { record, findings } = loadMachine(root, name);
    const zero = textOption(args, 'zero') ?? 'profile';
    if (zero !== 'bed' && zero !== 'board-top' && zero !== 'profile')
      throw new UsageError(
        `unknown zero \`${zero}\``,
        'write --zero bed, --zero board-top or --zero profile',
      );
    const { units } = record.machine;
    const allowedDepth = depthOption(textOption(args, 'depth'), units);
    const options: GuardOptions = {
      zero,
      cutter: cutterOption(textOption(args, 'cutter'), [...record.cutters.keys()], units),
      allowedDepth,
    };
    const { report, picture } = guardWithPicture(record, { path: file, text: readJob(cwd, file) }, options);
    output.diagnostics([...findings.filter((f) => f.severity !== 'note'), ...report.findings]);
    const long = (mm: number): string => lengthText(mm, units);
    const place = (x: number, y: number): string => `X ${lengthNumber(x, units)} Y ${lengthNumber(y, units)}`;
    const mark = report.verdict === 'may-run' ? 'ok' : report.verdict === 'may-not' ? 'stop' : 'warn';
    output.marked(mark, `${file} ${VERDICT[report.verdict]} (${name})`);
    for (const d of report.deepest)
      output.line(`          deepest  ${d.what}: Z ${long(d.z)} at ${place(d.x, d.y)}, line ${d.line}`);
    for (const n of report.nearest)
      output.line(`          nearest  ${n.name}: ${long(n.distance)}, line ${n.line}`);
    for (const n of report.notUnderstood)
      output.line(
        `          unread   ${n.message}${n.place?.line === undefined ? '' : `, line ${n.place.line}`}`,
      );
    const target = textOption(args, 'drawing');
    if (target !== undefined) {
      writeFileSync(
        resolve(cwd, target),
        pathDrawing(record, {
          segments: picture.segments,
          metal: picture.nearest.map((n) => ({
            at: [n.x, n.y] as const,
            radius: 5,
          })),
          marks: [
            ...report.deepest.map((d) => ({
              at: [d.x, d.y] as const,
              text: `deepest, ${d.what}: Z ${long(d.z)}, line ${d.line}`,
              stop: report.verdict === 'may-not',
            })),
            ...picture.nearest.slice(0, 4).map((n) => ({
              at: [n.x, n.y] as const,
              text: `${n.name}: ${long(n.distance)}, line ${n.line}`,
              stop: n.distance <= 0,
            })),
          ],
          title: file.split(/[/\\]/).pop() as string,
          verdict: `${VERDICT[report.verdict]}`,
          boardTop: picture.boardTop,
        }),
      );
      output.line(`          drawn    ${target}`);
    }
    output.object({
      command: 'guard',
      machine: name,
      program: file,
      verdict: report.verdict,
      deepest: report.deepest,
      nearest: report.nearest,
      figures: report.figures,
      notUnderstood: report.notUnderstood.map(toPlain),
      findings: report.findings.map(toPlain),
    });
    return report.verdict === 'may-run' ? EXIT.fine : EXIT.findings;
  },
};

/** Latin-1 keeps every byte one character, so that a foreign byte is found at its place and not replaced. */
function readJob(cwd: string, file: string): string {
  const path = resolve(cwd, file);
  let size: number;
  try {
    size = statSync(path).size;
  } catch (error) {
    throw new UsageError(
      `${file} cannot be read: ${(error as NodeJS.ErrnoException).code ?? 'unknown reason'}`,
      'name a program file',
    );
  }
  if (size > MOST_BYTES)
    throw new UsageError(`${file} has ${size} bytes, more than ${MOST_BYTES}`, 'split the job');
  try {
    return readFileSync(path, 'latin1');
  } catch (error) {
    throw new UsageError(
      `${file} cannot be read: ${(error as NodeJS.ErrnoException).code ?? 'unknown reason'}`,
      'name a program file',
    );
  }
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

function cutterOption(
  text: string | undefined,
  known: readonly string[],
  units: Units,
): string | number | null {
  if (text === undefined) return null;
  if (known.includes(text)) return text;
  const diameter = readLength(text, units, 'positive');
  if ('mm' in diameter) return diameter.mm;
  throw new UsageError(
    `no cutter \`${text}\` in shared/cutters.yaml`,
    didYouMean(text, known) ?? `cutters: ${known.join(', ')}; or a diameter`,
  );
}
