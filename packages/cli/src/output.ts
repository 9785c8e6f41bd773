import { type Diagnostic, foldFindings, renderTold, type Told, unfolded } from '@bedledger/diagnostics';

/** First word of a line that reports on a machine: the mark at the left that a reader scans for. */
export type Mark = 'ok' | 'changed' | 'withheld' | 'stop' | 'warn' | 'note' | 'new' | 'gone';

const COLOURS: Record<Mark, string> = {
  ok: '32',
  changed: '36',
  new: '36',
  gone: '36',
  withheld: '33',
  warn: '33',
  note: '2',
  stop: '31',
};

export interface OutputOptions {
  readonly json: boolean;
  readonly noColor: boolean;
  readonly quiet: boolean;
  /** Every finding, those that follow from another too. */
  readonly all: boolean;
}

/** Data to standard output, everything else to standard error; colour only on a terminal that wants it. */
export class Output {
  readonly json: boolean;
  readonly colour: boolean;
  readonly #quiet: boolean;
  readonly #all: boolean;
  readonly #errorColour: boolean;
  #progressShown = false;
  #hidden = 0;
  readonly #told = new Set<string>();

  constructor(options: OutputOptions) {
    this.json = options.json;
    this.#quiet = options.quiet;
    this.#all = options.all;
    this.colour = !options.json && wantsColour(process.stdout.isTTY, options.noColor);
    this.#errorColour = wantsColour(process.stderr.isTTY, options.noColor);
  }

  /** A line of the command's result. Nothing is printed in JSON mode. */
  line(text = ''): void {
    if (!this.json) process.stdout.write(`${text}\n`);
  }

  /** A line with a mark at the left, in a column of its own. */
  marked(mark: Mark, text: string): void {
    const word = mark.padEnd(9);
    this.line(`${this.colour ? `\u001b[${COLOURS[mark]}m${word}\u001b[0m` : word}${text}`);
  }

  /** The one JSON object of the command; a no-op in text mode. */
  object(value: object): void {
    if (this.json) process.stdout.write(`${JSON.stringify({ schema: 1, ...value }, null, 2)}\n`);
  }

  /**
   * The findings of one machine on standard error (they are in the JSON object otherwise): the causes, with how much hangs
   * on each.
   */
  diagnostics(list: readonly Diagnostic[]): void {
    this.told(foldFindings(list));
  }

  /** The same of findings that are folded already. Each is told once in a run: a shared fixing is found by every machine. */
  told(list: readonly Told[]): void {
    if (this.json) return;
    const shown = this.#all ? unfolded(list).map(alone) : list;
    const fresh = shown.filter(({ finding: d }) => {
      const key = JSON.stringify([d.code, d.severity, d.place, d.message]);
      if (this.#told.has(key)) return false;
      this.#told.add(key);
      return true;
    });
    if (fresh.length === 0) return;
    const cap = this.#all ? Number.POSITIVE_INFINITY : 40;
    process.stderr.write(`${renderTold(fresh, { colour: this.#errorColour, cap })}`);
    const hidden = fresh.reduce((n, { likewise, hanging }) => n + likewise.length + hanging.length, 0);
    this.#hidden += hidden;
  }

  /** Said at the end of a run that has not told everything. */
  hint(): void {
    if (this.#hidden === 0 || this.json) return;
    const more =
      this.#hidden === 1
        ? '1 more finding follows from these or is like one of them'
        : `${this.#hidden} more findings follow from these or are like one of them`;
    this.say(`${more}: \`--all\` shows every one`);
  }

  /** Long work: one line that is written over on a terminal; nothing in a pipe. */
  progress(text: string): void {
    if (this.#quiet || this.json || !process.stderr.isTTY) return;
    process.stderr.write(`\r\u001b[K${text}`);
    this.#progressShown = true;
  }

  progressDone(): void {
    if (this.#progressShown) process.stderr.write('\r\u001b[K');
    this.#progressShown = false;
  }

  /** One plain line on standard error. */
  say(text: string): void {
    if (!this.#quiet) this.warn(text);
  }

  /** The same where `--quiet` must not hide it. */
  warn(text: string): void {
    process.stderr.write(`${text}\n`);
  }
}

function alone(finding: Diagnostic): Told {
  return { finding, also: [], likewise: [], hanging: [] };
}

function wantsColour(terminal: boolean | undefined, off: boolean): boolean {
  if (off) return false;
  const { NO_COLOR, FORCE_COLOR, TERM } = process.env;
  if (NO_COLOR !== undefined && NO_COLOR !== '') return false;
  if (FORCE_COLOR !== undefined && FORCE_COLOR !== '' && FORCE_COLOR !== '0') return true;
  return terminal === true && TERM !== 'dumb';
}
