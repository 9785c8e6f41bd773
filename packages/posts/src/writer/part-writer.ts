import type { Move } from '@bedledger/bedwork';
import { fault } from '../fault.ts';
import { writeArc } from './arc-writer.ts';
import type { Numbering } from './block-writer.ts';
import { writeDrill } from './drill-writer.ts';
import type { Extents } from './extents.ts';
import type { ModalMemory } from './modal-memory.ts';
import { StateWriter } from './state-writer.ts';

/** What of the machine's state a part takes over from the part before it. */
export interface Carried {
  /** Move the part begins with. */
  readonly index: number;
  readonly rpm: number | null;
  readonly auxiliaries: readonly string[];
  /** Section the part begins in the middle of. */
  readonly section: string | null;
}

/** A place where the part may end, with all that has to be undone to end there. */
interface Break extends Carried {
  readonly length: number;
  readonly lines: number;
  readonly numbering: Numbering;
  readonly spindleStated: boolean;
  readonly extents: Extents;
  readonly feedMinutes: number;
  readonly stops: number;
  readonly sections: number;
  readonly px: number;
  readonly py: number;
  readonly pz: number;
  readonly qx: number;
  readonly qy: number;
  readonly qz: number;
  readonly state: ModalMemory;
}

export interface Budget {
  readonly lines: number;
  readonly bytes: number;
}

/** Writes one part: from the words that state every modal group to the block before the footer. */
export class PartWriter extends StateWriter {
  /** Does the spindle come on, or go off, before anything moves? Then the start need not say it. */
  #spindleComesFirst(index: number): boolean {
    const { moves } = this.setup.program;
    for (let i = index; i < moves.length; i++) {
      const { kind } = moves[i]!;
      if (kind === 'spindle' || kind === 'spindle-off') return true;
      if (kind !== 'section' && kind !== 'auxiliary' && kind !== 'dwell') return false;
    }
    return false;
  }

  /** From the words of the start to the state the neutral motion is in at `from`. */
  begin(from: Carried): void {
    const { controller, program, rules } = this.setup;
    this.index = from.index;
    this.block.mark();
    this.codeBlock(...rules.start(controller, program.header.workOffset));
    if (controller.home === 'G53') this.home();
    const changes = program.header.cutter !== null && controller.toolChange !== 'one-tool-per-program';
    // With a length offset to come, a height means nothing yet: the changer clears itself.
    if (changes && controller.toolLength === 'none') this.clear();
    this.tool();
    this.clear();
    if (from.rpm !== null) this.state.pendingRpm = from.rpm;
    const first = this.#spindleComesFirst(from.index);
    if (first) this.state.pendingRpm = null;
    else if (from.rpm === null && controller.spindle.start !== 'manual') this.spindleOff();
    if (this.state.pendingRpm !== null) this.writeSpindle(this.state.pendingRpm);
    for (const name of from.auxiliaries) this.auxiliary(name, true);
    if (from.section !== null) {
      this.section = from.section;
      this.sections.push(from.section);
      this.comment(`${from.section}, CONTINUED`);
      this.block.mark();
    }
  }

  /** Z to the clear height, spindle and auxiliaries off, park. */
  end(): void {
    const { controller, program } = this.setup;
    this.index = program.moves.length;
    this.cancelCycle();
    const clear = this.gridZ(program.clearHeight);
    this.distance(true);
    if (this.qz !== clear || !this.state.zKnown) this.clear();
    // A spindle that is started by hand and never was need not be stopped by hand.
    if (this.rpm !== null || (!this.spindleStated && controller.spindle.start !== 'manual'))
      this.spindleOff();
    for (const name of [...this.auxiliaries].reverse()) this.auxiliary(name, false);
    const [x, y] = program.park;
    const qx = this.gridXy(x, 'X');
    const qy = this.gridXy(y, 'Y');
    if (qx !== this.qx || qy !== this.qy || !this.state.xyKnown) {
      this.state.restateXy = true;
      this.writeRapidXy(qx, qy);
    }
    // After the park move: from here on the program's own heights are not known any more.
    this.home();
    if (controller.feed.word === 'modal') this.state.feed = Number.NaN;
  }

  #write(move: Move): void {
    switch (move.kind) {
      case 'rapid-xy':
        this.rapidXy(move.x, move.y);
        break;
      case 'rapid-z':
        this.rapidZ(move.z);
        break;
      case 'feed':
        this.ready();
        this.cutTo(this.gridXy(move.x, 'X'), this.gridXy(move.y, 'Y'), this.gridZ(move.z), move.feed);
        this.#travelled(move);
        break;
      case 'arc':
        this.ready();
        writeArc(this, move);
        this.#travelled(move);
        break;
      case 'drill':
        writeDrill(this, move);
        this.feedMinutes += (move.above - move.bottom) / move.feed;
        this.px = move.x;
        this.py = move.y;
        this.pz = move.link;
        break;
      case 'dwell':
        this.cancelCycle();
        this.dwell(move.seconds);
        break;
      case 'stop':
        this.stops++;
        this.stop(move.message, move.optional);
        break;
      case 'spindle':
        this.cancelCycle();
        if (!this.state.zKnown) {
          this.state.pendingRpm = null;
          this.readyZ();
        }
        this.writeSpindle(move.rpm);
        break;
      case 'spindle-off':
        this.cancelCycle();
        this.spindleOff();
        break;
      case 'auxiliary':
        this.cancelCycle();
        this.auxiliary(move.name, move.on);
        break;
      case 'section':
        this.beginSection(move.title, move.restart);
        break;
      default: {
        const unknown: never = move;
        throw new RangeError(`unknown move ${JSON.stringify(unknown)}`);
      }
    }
  }

  #travelled(move: {
    readonly x: number;
    readonly y: number;
    readonly z: number;
    readonly feed: number;
  }): void {
    const dx = move.x - this.px;
    const dy = move.y - this.py;
    const dz = move.z - this.pz;
    this.feedMinutes += Math.sqrt(dx * dx + dy * dy + dz * dz) / move.feed;
    this.px = move.x;
    this.py = move.y;
    this.pz = move.z;
  }

  /** May the part end before move `i`? At clear height, where the next thing is to go somewhere else. */
  #mayEnd(i: number): boolean {
    const { program } = this.setup;
    const { kind } = program.moves[i]!;
    if (this.pz < program.clearHeight || Number.isNaN(this.px)) return false;
    if (kind === 'section') return true;
    return (kind === 'rapid-xy' || kind === 'drill') && program.moves[i - 1]?.kind !== 'section';
  }

  #break(i: number): Break {
    const { px, py, pz, qx, qy, qz, text } = this;
    const opens = this.setup.program.moves[i]!.kind === 'section';
    return {
      index: i,
      rpm: this.rpm,
      auxiliaries: [...this.auxiliaries],
      section: opens ? null : this.section,
      length: text.length,
      lines: text.lines,
      numbering: this.block.numbering(),
      spindleStated: this.spindleStated,
      extents: this.extents.copy(),
      feedMinutes: this.feedMinutes,
      stops: this.stops,
      sections: this.sections.length,
      px,
      py,
      pz,
      qx,
      qy,
      qz,
      state: { ...this.state },
    };
  }

  #backTo(b: Break): void {
    this.text.cut(b.length, b.lines);
    this.block.resume(b.numbering);
    this.spindleStated = b.spindleStated;
    this.extents = b.extents;
    this.feedMinutes = b.feedMinutes;
    this.stops = b.stops;
    this.sections.length = b.sections;
    this.px = b.px;
    this.py = b.py;
    this.pz = b.pz;
    this.qx = b.qx;
    this.qy = b.qy;
    this.qz = b.qz;
    this.rpm = b.rpm;
    this.auxiliaries = [...b.auxiliaries];
    this.state = { ...b.state };
  }

  /**
   * Writes moves from `from` until the program or the budget ends; null when the program ends. With a budget the part
   * ends at the last section that begins in its second half, else at the last place at clear height.
   */
  run(from: Carried, budget: Budget | null): Carried | null {
    const { moves } = this.setup.program;
    if (budget === null) {
      for (let i = from.index; i < moves.length; i++) {
        this.index = i;
        this.#write(moves[i]!);
      }
      return null;
    }
    const over = (): boolean => this.text.lines > budget.lines || this.text.length > budget.bytes;
    const half = (): boolean => this.text.lines * 2 > budget.lines || this.text.length * 2 > budget.bytes;
    let anywhere: Break | null = null;
    let section: Break | null = null;
    for (let i = from.index; i < moves.length; i++) {
      this.index = i;
      const move = moves[i]!;
      if (i > from.index && this.#mayEnd(i)) {
        anywhere = this.#break(i);
        if (move.kind === 'section' && move.restart && half()) section = anywhere;
      }
      this.#write(move);
      if (!over()) continue;
      const place = section ?? anywhere;
      if (place === null) {
        throw fault(
          'part-too-small',
          `${this.place()}: no place at clear height to end part of ${this.setup.program.name} within ${budget.lines} lines and ${budget.bytes} bytes`,
          'raise max_lines or max_bytes in the machine profile, or cut the operation shorter',
          { lines: budget.lines, bytes: budget.bytes },
        );
      }
      this.#backTo(place);
      return { index: place.index, rpm: place.rpm, auxiliaries: place.auxiliaries, section: place.section };
    }
    return null;
  }
}
