import type { Move } from '@bedledger/bedwork';
import type { InputError } from '@bedledger/diagnostics';
import { refusal } from '../report.ts';
import { writeArc } from './arc-writer.ts';
import { writeDrill } from './drill-writer.ts';
import type { CutEnd } from './motion-writer.ts';
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

/** A place where the part may end: what the next part takes over, and how to cut off what was written since. */
interface Break {
  readonly carried: Carried;
  readonly backTo: () => void;
}

/** The most that one part may be. */
export interface Budget {
  readonly lines: number;
  readonly bytes: number;
}

/** `191 lines and 65536 bytes`, without what has no limit. */
export function budgetText({ lines, bytes }: Budget): string {
  const limits = [
    [lines, 'lines'],
    [bytes, 'bytes'],
  ] as const;
  return limits.flatMap(([most, what]) => (Number.isFinite(most) ? `${most} ${what}` : [])).join(' and ');
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
    const { controller, choices, program, rules } = this.setup;
    this.index = from.index;
    this.block.mark();
    this.codeBlock(...rules.start(controller, program.header.workOffset));
    if (choices.homeFirst) this.home();
    // With a length offset to come, a height means nothing yet: the changer clears itself.
    if (program.header.cutter !== null && choices.changesCutter && !choices.lengthOffset) this.clear();
    this.changeCutter();
    this.clear();
    this.#beginSpindle(from);
    for (const name of from.auxiliaries) this.auxiliary(name, true);
    if (from.section !== null) {
      this.section = from.section;
      this.sections.push(from.section);
      this.begun = true;
      this.comment(`${from.section}, CONTINUED`);
      this.block.mark();
    }
  }

  #beginSpindle({ index, rpm }: Carried): void {
    if (this.#spindleComesFirst(index)) return;
    if (rpm !== null) this.writeSpindle(rpm);
    else if (!this.setup.choices.spindleByHand) this.spindleOff();
  }

  /** Z to the clear height, spindle and auxiliaries off, park. */
  end(): void {
    const { program, choices } = this.setup;
    this.index = program.moves.length;
    this.cancelCycle();
    const clear = this.gridZ(program.clearHeight);
    this.distance(true);
    if (this.qz !== clear || !this.state.zKnown) this.clear();
    // A spindle that is started by hand and never was need not be stopped by hand.
    if (this.rpm !== null || (!this.spindleStated && !choices.spindleByHand)) this.spindleOff();
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

  /** The neutral motion has cut its way to the end of a move. */
  #travelled(move: CutEnd): void {
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
    const { px, py, pz, qx, qy, qz, rpm, spindleStated, feedMinutes, stops } = this;
    const { length, lines } = this.text;
    const auxiliaries = [...this.auxiliaries];
    const numbering = this.block.numbering();
    const extents = this.extents.copy();
    const sections = this.sections.length;
    const restarts = this.restarts.length;
    const { begun } = this;
    const state = { ...this.state };
    const opens = this.setup.program.moves[i]!.kind === 'section';
    return {
      carried: { index: i, rpm, auxiliaries, section: opens ? null : this.section },
      backTo: () => {
        this.text.cut(length, lines);
        this.block.resume(numbering);
        this.sections.length = sections;
        this.restarts.length = restarts;
        Object.assign(this, {
          px,
          py,
          pz,
          qx,
          qy,
          qz,
          rpm,
          spindleStated,
          feedMinutes,
          stops,
          begun,
          extents,
          state,
        });
        this.auxiliaries = [...auxiliaries];
      },
    };
  }

  /**
   * Writes moves from `from` until the program or the budget ends; null when the program ends. With a budget the part
   * ends at the last section that begins in its second half, else at the last place at clear height.
   */
  run(from: Carried, budget: Budget | null): Carried | null {
    const { moves } = this.setup.program;
    let anywhere: Break | null = null;
    let section: Break | null = null;
    for (let i = from.index; i < moves.length; i++) {
      this.index = i;
      const move = moves[i]!;
      if (budget !== null && i > from.index && this.#mayEnd(i)) {
        anywhere = this.#break(i);
        if (move.kind === 'section' && move.restart && this.#exceeds(budget, 0.5)) section = anywhere;
      }
      this.#write(move);
      if (budget === null || !this.#exceeds(budget, 1)) continue;
      const end = section ?? anywhere;
      if (end === null) throw this.#noPlaceToEnd(budget);
      end.backTo();
      return end.carried;
    }
    return null;
  }

  /** Is the part longer than a share of its budget? */
  #exceeds({ lines, bytes }: Budget, share: number): boolean {
    return this.text.lines > lines * share || this.text.length > bytes * share;
  }

  #noPlaceToEnd(budget: Budget): InputError {
    return refusal({
      code: 'post/part-too-small',
      message: `${this.place()}: no place at clear height to end part of ${this.setup.program.name} within ${budgetText(budget)}`,
      facts: { ...budget },
    });
  }
}
