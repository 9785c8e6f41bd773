import { type Diagnostic, exactLength, fixed, fromUnits } from '@bedledger/diagnostics';
import type { ManifestProgram } from '@bedledger/fleet';
import { type Case, gridStep } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { bulgeSteps, minutesFit, type OwnClaims } from './claims.ts';

const NUMBER = '-?\\d*\\.?\\d+';

/** The header comments of a program against what it does. Controllers without comments have none. */
export function checkHeader(c: Case, entry: ManifestProgram, own: OwnClaims): Diagnostic[] {
  if (c.record.machine.controller.comments === 'none') return [];
  return new HeaderCheck(c, entry, own).run();
}

class HeaderCheck {
  readonly #c: Case;
  readonly #entry: ManifestProgram;
  readonly #own: OwnClaims;
  /** Unit of the header's lengths as it is written there. */
  readonly #unit: string;
  readonly #step: number;
  /** The first line of each key, upper case. */
  readonly #lines = new Map<string, { readonly value: string; readonly line: number }>();
  readonly #found: Diagnostic[] = [];

  constructor(c: Case, entry: ManifestProgram, own: OwnClaims) {
    const { controller } = c.record.machine;
    this.#c = c;
    this.#entry = entry;
    this.#own = own;
    this.#unit = controller.units.toUpperCase();
    this.#step = gridStep(controller);
    for (const h of c.trace.header) {
      const key = h.key.toUpperCase();
      if (!this.#lines.has(key)) this.#lines.set(key, h);
    }
  }

  run(): Diagnostic[] {
    const { record } = this.#c;
    const { operation, form, part, parts } = this.#entry;
    this.#begins('MACHINE', record.machine.id);
    this.#value('TITLE');
    this.#same('REVISION', record.revision);
    this.#same('OPERATION', form === null ? operation : `${operation} ${form}`);
    this.#same('PART', `${part} OF ${parts}`);
    this.#checkCutter();
    this.#same('UNITS', this.#unit);
    this.#same('Z ZERO', this.#own.zZero);
    this.#checkKeyIn();
    this.#checkExtents();
    this.#checkDepth('DEEPEST BED', this.#own.deepestBed);
    this.#checkDepth('DEEPEST BOARD', this.#own.deepestBoard);
    this.#checkMinutes();
    return this.#found;
  }

  #wrong(key: string, message: string): void {
    const line = this.#lines.get(key)?.line ?? 1;
    this.#found.push(
      report({ code: 'documents/header', ...inFile(this.#c.file, line), message, facts: { key } }),
    );
  }

  /** The value of a key in upper case; null and a finding when the header has no such line. */
  #value(key: string): string | null {
    const found = this.#lines.get(key);
    if (!found) this.#wrong(key, `the header has no line ${key}`);
    return found ? found.value.trim().toUpperCase() : null;
  }

  #same(key: string, wanted: string): void {
    const text = this.#value(key);
    const expected = wanted.toUpperCase();
    if (text !== null && text !== expected)
      this.#wrong(key, `${key} is \`${text}\`, expected \`${expected}\``);
  }

  #begins(key: string, wanted: string): void {
    const text = this.#value(key);
    const expected = wanted.toUpperCase();
    if (text === null || text === expected || text.startsWith(`${expected} `)) return;
    this.#wrong(key, `${key} is \`${text}\`, expected it to begin with \`${expected}\``);
  }

  /** A length in the units of the program against one in mm. */
  #length(key: string, text: string, expected: number, slack: number): void {
    const { units, controller } = this.#c.record.machine;
    const read = new RegExp(`^${NUMBER}$`).test(text) ? Number(text) : Number.NaN;
    if (Math.abs(fromUnits(read, controller.units) - expected) <= slack) return;
    this.#wrong(
      key,
      `${key} says ${text} ${controller.units}, the text gives ${exactLength(expected, units)}`,
    );
  }

  #checkCutter(): void {
    const line = this.#value('CUTTER');
    const id = this.#own.cutter?.toUpperCase() ?? null;
    if (line === null || (id === null && line === 'NONE')) return;
    if (id === null) {
      this.#wrong('CUTTER', `CUTTER is \`${line}\`, nothing may be in the spindle or nothing turns`);
      return;
    }
    const cutter = this.#c.record.cutters.get(this.#own.cutter!);
    const match = new RegExp(`^(\\S+) D(${NUMBER}) T(\\d+)$`).exec(line);
    if (!match || !cutter) {
      this.#wrong('CUTTER', `CUTTER is \`${line}\`, expected \`${id} D… T…\``);
      return;
    }
    const [, name, diameter, tool] = match as unknown as [string, string, string, string];
    if (name !== id) this.#wrong('CUTTER', `CUTTER names \`${name}\`, the profile uses \`${id}\``);
    this.#length('CUTTER', diameter, cutter.diameter, this.#step);
    if (Number(tool) !== cutter.number) {
      this.#wrong('CUTTER', `CUTTER says T${tool}, the shared list T${cutter.number}`);
    }
  }

  #checkKeyIn(): void {
    const line = this.#value('KEY IN');
    const expected = this.#own.keyIn;
    if (line === null) return;
    if (expected === null) {
      if (line !== 'NONE') {
        this.#wrong('KEY IN', `KEY IN is \`${line}\`, nothing is keyed in for this program`);
      }
      return;
    }
    const match = new RegExp(`^(${NUMBER}) ${this.#unit}$`).exec(line);
    if (match) this.#length('KEY IN', match[1]!, expected, this.#step * 0.51 + 1e-9);
    else this.#wrong('KEY IN', `KEY IN is \`${line}\`, expected a length in ${this.#unit}`);
  }

  /** Extents are printed to a step, Z in the program's own frame. */
  #checkExtents(): void {
    const bulge = bulgeSteps(this.#c);
    for (const axis of ['x', 'y', 'z'] as const) {
      const key = `EXTENTS ${axis.toUpperCase()}`;
      const line = this.#value(key);
      if (line === null) continue;
      const match = new RegExp(`^(${NUMBER}) TO (${NUMBER})$`).exec(line);
      const extents = this.#own.extents;
      if (!match || !extents) {
        this.#wrong(key, `${key} is \`${line}\`, expected \`a TO b\``);
        continue;
      }
      const [low, high] = axis === 'z' ? this.#programHeights(extents.z) : extents[axis];
      const slack = (axis === 'z' ? 1.05 : bulge + 0.55) * this.#step;
      this.#length(key, match[1]!, low, slack);
      this.#length(key, match[2]!, high, slack);
    }
  }

  /** Heights above the bed as the program's Z words have them. */
  #programHeights([low, high]: readonly [number, number]): readonly [number, number] {
    const lift = this.#c.zeroHeight;
    const down = this.#c.record.machine.controller.zSign === -1;
    return down ? [lift - high, lift - low] : [low - lift, high - lift];
  }

  #checkDepth(key: string, expected: number | null): void {
    const line = this.#value(key);
    if (line === null || (expected === null && line === 'NONE')) return;
    if (expected !== null && line !== 'NONE') {
      this.#length(key, line, expected, 0.51 * this.#step + 1e-9);
      return;
    }
    const { units } = this.#c.record.machine;
    const own = expected === null ? 'none' : exactLength(expected, units);
    this.#wrong(key, `${key} is \`${line}\`, the text gives ${own}`);
  }

  #checkMinutes(): void {
    const line = this.#value('MINUTES');
    if (line === null) return;
    const read = Number(line);
    if (!Number.isFinite(read)) {
      this.#wrong('MINUTES', `MINUTES is \`${line}\`, expected a number`);
      return;
    }
    const own = this.#own;
    if (minutesFit(read, own, this.#c, this.#entry.parts)) return;
    this.#found.push(
      report({
        code: 'documents/minutes',
        ...inFile(this.#c.file, this.#lines.get('MINUTES')!.line),
        message: `MINUTES says ${line}, the motions take ${fixed(own.minutes, 1)} and the stops ${fixed(own.stopMinutes, 1)}`,
        facts: { found: read, expected: own.minutes + own.stopMinutes },
      }),
    );
  }
}
