import { feedText, quantise, quantiseDown } from '@bedledger/diagnostics';
import type { NumberForm } from '../numbers/number-form.ts';
import { refusal } from '../report.ts';
import { ByteText } from '../text/byte-text.ts';
import { BlockWriter } from './block-writer.ts';
import { blankMemory, type ModalMemory } from './modal-memory.ts';
import type { Setup } from './setup.ts';

const F = 70;
const MOTION_CODES = ['G0', 'G1', 'G2', 'G3'] as const;

/**
 * Writes the words that motions share. Positions are rounded to the controller's grid once, here; everything after works
 * on whole numbers of grid steps, so increments cannot drift and claims are about what is written.
 */
export abstract class WordWriter {
  readonly setup: Setup;
  readonly text: ByteText;
  readonly block: BlockWriter;

  protected state: ModalMemory = blankMemory();
  /** Move being written, for errors. */
  protected index = 0;

  constructor(setup: Setup) {
    this.setup = setup;
    this.text = new ByteText(setup.controller.lineEnding);
    this.block = new BlockWriter(this.text, setup);
  }

  /** A number that its word cannot hold. */
  protected fail(axis: string, value: number, form: NumberForm): never {
    const where = this.place();
    const facts = { program: this.setup.program.name, move: this.index + 1, axis };
    if (!Number.isFinite(value)) {
      throw refusal({
        code: 'post/not-a-number',
        message: `${where}: ${axis} is ${value}, a finite number was expected`,
        facts,
      });
    }
    throw refusal({
      code: 'post/overflow',
      message: `${where}: ${axis} ${value}${this.#unitOf(axis)} does not fit ${form.integers} digits before the point and ${form.decimals} after it`,
      facts: { ...facts, value },
    });
  }

  /** Unit of a word's number as the text has it, for errors. */
  #unitOf(letter: string): string {
    const { controller, choices } = this.setup;
    if ('XYZIJRQ'.includes(letter)) return ` ${controller.units}`;
    if (letter === controller.dwell.word) return ` ${controller.dwell.unit}`;
    if (letter === 'F') return ` ${controller.units}/${choices.feedPerSecond ? 's' : 'min'}`;
    return letter === 'S' ? ' rpm' : '';
  }

  /** `socket-pockets, move 17 (feed)`, for errors. */
  place(): string {
    const { program } = this.setup;
    const move = program.moves[this.index];
    return move === undefined ? program.name : `${program.name}, move ${this.index + 1} (${move.kind})`;
  }

  /** X or Y in grid steps. */
  gridXy(value: number, axis: 'X' | 'Y'): number {
    const { scale, xyz } = this.setup;
    const q = quantise(value, scale);
    if (!(q < xyz.limit && q > -xyz.limit)) this.fail(axis, value * (scale / xyz.one), xyz);
    return q;
  }

  /** A height above the bed in grid steps of the program's Z. */
  gridZ(value: number): number {
    const { program, controller, scale, xyz } = this.setup;
    const z = (value - program.header.zeroHeight) * controller.zSign;
    const q = quantise(z, scale);
    if (!(q < xyz.limit && q > -xyz.limit)) this.fail('Z', z * (scale / xyz.one), xyz);
    return q;
  }

  /** A number that is already in grid steps, checked against its format. */
  protected word(letter: number, q: number, form: NumberForm): void {
    if (!(q < form.limit && q > -form.limit)) this.fail(String.fromCharCode(letter), q / form.one, form);
    this.block.number(letter, q, form);
  }

  /** A feed in mm/min as steps of the feed word. */
  #feedSteps(feed: number): number {
    const { controller, feedScale, feed: form } = this.setup;
    const { min, max } = controller.feed;
    if (!(feed >= min && feed <= max)) {
      throw refusal({
        code: 'post/feed',
        message: `${this.place()}: feed ${feedText(feed, controller.units)}, the controller takes ${feedText(min, controller.units)} to ${feedText(max, controller.units)}`,
        facts: { feed, min, max },
      });
    }
    // Down, not to the nearest: with whole units per second a feed at an axis's limit would land beyond it.
    const down = quantiseDown(feed, feedScale);
    const q = down < min * feedScale ? quantise(feed, feedScale) : down;
    if (q === 0) {
      throw refusal({
        code: 'post/feed',
        message: `${this.place()}: feed ${feedText(feed, controller.units)} is 0 with ${form.decimals} decimals`,
        facts: { feed },
        help: 'give controller.numbers.feed more decimals',
      });
    }
    if (q >= form.limit) this.fail('F', q / form.one, form);
    return q;
  }

  protected motionWord(g: number): void {
    if (this.state.motion !== g || !this.setup.controller.modal.motion) {
      this.block.code(g < 10 ? MOTION_CODES[g]! : `G${g}`);
      this.state.motion = g;
    }
  }

  /** A coordinate from one grid step to another, left out where it may be. */
  protected axisWord(letter: number, to: number, from: number, restate: boolean): void {
    if (this.state.absolute) {
      if (to !== from || restate || !this.setup.controller.modal.axes)
        this.block.number(letter, to, this.setup.xyz);
    } else if (to !== from || !this.setup.controller.modal.axes) {
      this.word(letter, to - from, this.setup.xyz);
    }
  }

  protected feedWord(feed: number): void {
    const q = this.#feedSteps(feed);
    if (q !== this.state.feed || this.setup.choices.feedInEveryCut) {
      this.block.number(F, q, this.setup.feed);
      this.state.feed = q;
    }
  }

  protected codeBlock(...words: readonly string[]): void {
    this.block.codes(words, this.setup.controller.words.gPerBlock);
  }

  /** Absolute or incremental distance, stated only on a change. */
  protected distance(absolute: boolean): void {
    if (this.state.absolute === absolute) return;
    this.codeBlock(absolute ? 'G90' : 'G91');
    this.state.absolute = absolute;
  }
}
