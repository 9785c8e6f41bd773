import { quantise, type Units } from '@bedledger/diagnostics';
import type { ZZero } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';
import { formatNumber, type NumberForm } from '../numbers/number-form.ts';
import type { PartNumber } from '../text/file-name.ts';
import type { Claims, Range } from './claims.ts';
import type { Setup } from './setup.ts';

const UNIT: Readonly<Record<Units, string>> = { mm: 'MM', in: 'IN' };
const Z_ZERO: Readonly<Record<ZZero, string>> = { bed: 'BED', 'board-top': 'BOARD-TOP' };

/** Writes lengths of a header: the controller's decimals, always with a point, whatever the words look like. */
class HeaderLengths {
  readonly #form: NumberForm;
  readonly #scale: number;

  constructor({ xyz, scale }: Setup) {
    this.#form = { ...xyz, point: true, bareWhole: false, strip: false, leadingZero: true, plus: false };
    this.#scale = scale;
  }

  length(mm: number): string {
    return formatNumber(quantise(mm, this.#scale), this.#form);
  }

  lengthOrNone(mm: number | null): string {
    return mm === null ? 'NONE' : this.length(mm);
  }

  /** A range in grid steps. Half steps of an arc's bulge are rounded outwards: the header promises room enough. */
  range([least, greatest]: Range): string {
    const from = formatNumber(Math.floor(least + 1e-6), this.#form);
    return `${from} TO ${formatNumber(Math.ceil(greatest - 1e-6), this.#form)}`;
  }
}

/** The comment lines in front of a part: what the operator has to know before pressing start. */
export function headerLines(setup: Setup, claims: Claims, { part, parts }: PartNumber): readonly string[] {
  const { program, controller, comments } = setup;
  const { header, operation, form } = program;
  const { cutter, keyIn } = header;
  const lengths = new HeaderLengths(setup);
  const unit = entryOf(UNIT, controller.units, 'unit');
  const entries: readonly (readonly [key: string, value: string])[] = [
    ['MACHINE', `${header.machineId} ${header.machine}`],
    ['TITLE', header.title],
    ['REVISION', header.revision],
    ['OPERATION', form === null ? operation : `${operation} ${form}`],
    ['PART', `${part} OF ${parts}`],
    [
      'CUTTER',
      cutter === null ? 'NONE' : `${cutter.id} D${lengths.length(cutter.diameter)} T${cutter.number}`,
    ],
    ['UNITS', unit],
    ['Z ZERO', entryOf(Z_ZERO, header.zZero, 'place of Z 0')],
    ['KEY IN', keyIn === null ? 'NONE' : `${lengths.length(keyIn)} ${unit}`],
    ['EXTENTS X', lengths.range(claims.steps.x)],
    ['EXTENTS Y', lengths.range(claims.steps.y)],
    ['EXTENTS Z', lengths.range(claims.steps.z)],
    ['DEEPEST BED', lengths.lengthOrNone(claims.deepest.bed)],
    ['DEEPEST BOARD', lengths.lengthOrNone(claims.deepest.board)],
    ['MINUTES', claims.minutes.toFixed(1)],
    ...header.before.map((text) => ['BEFORE', text] as const),
    ...header.after.map((text) => ['AFTER', text] as const),
    ...header.cautions.map((text) => ['CAUTION', text] as const),
  ];
  return entries.flatMap(([key, value]) => comments.entry(key, value));
}
