import { quantise } from '@bedledger/diagnostics';
import { formatNumber, type NumberForm } from '../numbers/number-form.ts';
import type { ByteText } from '../text/byte-text.ts';
import type { Claims } from './claims.ts';
import type { Setup } from './setup.ts';

/** How lengths read in a header: the controller's decimals, always with a point, whatever the words look like. */
function readable(setup: Setup): NumberForm {
  return {
    ...setup.xyz,
    point: 'always',
    strip: false,
    leadingZero: true,
    suppress: 'none',
    plus: false,
  };
}

/** A length in millimetres as program units. */
function length(mm: number, setup: Setup): string {
  return formatNumber(quantise(mm, setup.scale), readable(setup));
}

/** The comment lines in front of a part: what the operator has to know before pressing start. */
export function writeHeader(text: ByteText, setup: Setup, claims: Claims, part: number, parts: number): void {
  const { program, controller, comments } = setup;
  const { header } = program;
  const entry = (key: string, value: string): void => {
    for (const line of comments.entry(key, value)) text.line(line);
  };
  const steps = (range: readonly [number, number]): string => {
    const form = readable(setup);
    // Half steps of an arc's bulge are rounded outwards: the header promises room enough.
    return `${formatNumber(Math.floor(range[0] + 1e-6), form)} TO ${formatNumber(Math.ceil(range[1] - 1e-6), form)}`;
  };
  const { cutter } = header;
  const unit = controller.units === 'mm' ? 'MM' : 'IN';
  entry('MACHINE', `${header.machineId} ${header.machine}`);
  entry('TITLE', header.title);
  entry('REVISION', header.revision);
  entry('OPERATION', program.form === null ? program.operation : `${program.operation} ${program.form}`);
  entry('PART', `${part} OF ${parts}`);
  entry(
    'CUTTER',
    cutter === null ? 'NONE' : `${cutter.id} D${length(cutter.diameter, setup)} T${cutter.number}`,
  );
  entry('UNITS', unit);
  entry('Z ZERO', header.zZero === 'bed' ? 'BED' : 'BOARD-TOP');
  entry('KEY IN', header.keyIn === null ? 'NONE' : `${length(header.keyIn, setup)} ${unit}`);
  entry('EXTENTS X', steps(claims.steps.x));
  entry('EXTENTS Y', steps(claims.steps.y));
  entry('EXTENTS Z', steps(claims.steps.z));
  entry('DEEPEST BED', claims.deepest.bed === null ? 'NONE' : length(claims.deepest.bed, setup));
  entry('DEEPEST BOARD', claims.deepest.board === null ? 'NONE' : length(claims.deepest.board, setup));
  entry('MINUTES', claims.minutes.toFixed(1));
  for (const text of header.before) entry('BEFORE', text);
  for (const text of header.after) entry('AFTER', text);
  for (const text of header.cautions) entry('CAUTION', text);
}
