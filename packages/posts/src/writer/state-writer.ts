import { quantise } from '@bedledger/diagnostics';
import type { Controller, RestartPoint } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';
import { refusal } from '../report.ts';
import { MotionWriter } from './motion-writer.ts';

const H = 72;
const S = 83;
const T = 84;
const Z = 90;

/** Marks a place from which a stopped program may be taken up again; nothing else in a program reads like it. */
export const RESTART = 'TAKE UP AGAIN HERE';

/** Writes what is not motion: spindle, dwell, outputs, cutter, stops, sections, home. */
export abstract class StateWriter extends MotionWriter {
  /** Minutes of feed and dwell so far, to share the expected time out among parts. */
  feedMinutes = 0;
  /** Stops for the operator so far: what a visiting program spends its time on. */
  stops = 0;
  /** Titles of the sections the part has anything of. */
  readonly sections: string[] = [];
  /** Where the part may be taken up again; lines count from the part's own first one, from 0. */
  readonly restarts: RestartPoint[] = [];
  /** Something of a section has been written: a restart from here on is none at the part's beginning. */
  protected begun = false;

  protected rpm: number | null = null;
  /** The text has said whether the spindle turns. */
  protected spindleStated = false;
  protected auxiliaries: string[] = [];
  protected section: string | null = null;

  protected dwell(seconds: number): void {
    const { controller, choices, dwell: form } = this.setup;
    if (!(seconds >= 0)) this.fail('dwell', seconds, form);
    if (seconds === 0) return;
    const { word } = controller.dwell;
    if (word === 'none') {
      throw refusal({
        code: 'post/dwell',
        message: `${this.place()}: a dwell of ${seconds} s, and the controller has no dwell word`,
      });
    }
    // A wait too short for the word's grid is one step of it, not none.
    const q = Math.max(1, quantise(seconds * choices.dwellPerSecond, form.one));
    if (q >= form.limit) this.fail(word, q / form.one, form);
    this.restateMotion();
    this.block.open();
    this.block.code('G4');
    this.block.number(word.charCodeAt(0), q, form);
    this.block.close();
    // A dwell by F or S shares its letter with feed or speed, which have to be said again.
    if (word === 'F') this.state.feed = Number.NaN;
    this.feedMinutes += seconds / 60;
  }

  protected comment(text: string): void {
    for (const line of this.setup.comments.lines(text)) this.text.line(line);
  }

  #speedCode(rpm: number, codes: NonNullable<Controller['spindle']['codes']>): number {
    const entry = codes.find((c) => c.rpm === rpm);
    if (entry !== undefined) return entry.code;
    throw refusal({
      code: 'post/speed',
      message: `${this.place()}: ${rpm} rpm has no code; the controller has ${codes.map((c) => c.rpm).join(', ')} rpm`,
      facts: { rpm },
    });
  }

  #speedWord(rpm: number): void {
    const { controller, speed: form } = this.setup;
    const { codes } = controller.spindle;
    if (codes !== undefined) {
      this.block.integer(S, this.#speedCode(rpm, codes));
      return;
    }
    const q = quantise(rpm, form.one);
    if (!(q > 0 && q < form.limit)) this.fail('S', rpm, form);
    this.block.number(S, q, form);
  }

  protected override writeSpindle(rpm: number): void {
    const { choices, program, speed } = this.setup;
    this.state.pendingRpm = null;
    this.rpm = rpm;
    this.spindleStated = true;
    if (!(rpm > 0)) this.fail('S', rpm, speed);
    if (choices.spindleByHand) {
      this.comment(`START THE SPINDLE BY HAND AT ${Math.round(rpm)} RPM AND PRESS START WHEN IT IS AT SPEED`);
      this.mBlock('M0');
      return;
    }
    this.restateMotion();
    this.block.open();
    if (choices.speedWord) {
      this.#speedWord(rpm);
      if (choices.speedInOwnBlock) {
        this.block.close();
        this.block.open();
      }
    }
    this.block.code('M3');
    this.block.close();
    if (choices.dwellForSpindle) this.dwell(program.spinUp);
  }

  protected spindleOff(): void {
    this.rpm = null;
    this.state.pendingRpm = null;
    this.spindleStated = true;
    if (this.setup.choices.spindleByHand) {
      this.comment('STOP THE SPINDLE BY HAND AND PRESS START WHEN IT STANDS STILL');
      this.mBlock('M0');
    } else this.mBlock('M5');
  }

  /** After spindle, dwell, outputs and tool the motion word is written again, for the reader and for the controller. */
  protected restateMotion(): void {
    this.state.motion = -1;
  }

  protected mBlock(word: string): void {
    this.restateMotion();
    this.block.open();
    this.block.code(word);
    this.block.close();
  }

  protected auxiliary(name: string, on: boolean): void {
    const { auxiliary } = this.setup.controller;
    const words = Object.hasOwn(auxiliary, name) ? auxiliary[name] : undefined;
    if (words === undefined) {
      throw refusal({
        code: 'post/auxiliary',
        message: `${this.place()}: the controller has no auxiliary output ${JSON.stringify(name)}; it has ${Object.keys(auxiliary).join(', ') || 'none'}`,
      });
    }
    this.restateMotion();
    this.block.open();
    const [code, ...parameters] = (on ? words.on : words.off).split(' ');
    this.block.code(code!);
    for (const parameter of parameters) this.block.verbatim(parameter);
    this.block.close();
    this.auxiliaries = this.auxiliaries.filter((a) => a !== name);
    if (on) this.auxiliaries.push(name);
  }

  /** Everything that may be left out while it stays in force is said again from here on. */
  protected restate(): void {
    this.state.motion = -1;
    this.state.feed = Number.NaN;
    this.state.restateXy = true;
    this.state.restateZ = true;
  }

  protected stop(message: string, optional: boolean): void {
    this.cancelCycle();
    this.comment(message);
    this.mBlock(optional && this.setup.controller.optionalStop ? 'M1' : 'M0');
    this.forgetPlace();
    this.state.pendingRpm = this.rpm;
  }

  /** A restart may find the machine anywhere: height first, then place, all in full and absolute. */
  protected forgetPlace(): void {
    this.restate();
    // Low down, a motion back to where the cutter ought to be would be worse than none.
    if (this.pz >= this.setup.program.clearHeight) {
      this.state.zKnown = false;
      this.state.xyKnown = false;
    }
  }

  protected beginSection(title: string, restart: boolean): void {
    if (restart) this.cancelCycle();
    this.section = title;
    this.sections.push(title);
    const { lines } = this.text;
    const again = restart && this.begun;
    this.begun = true;
    if (again) this.comment(RESTART);
    this.comment(title);
    this.block.mark();
    if (again) this.#stateAll(title, lines);
    if (restart) this.forgetPlace();
  }

  /** Says again what the part's beginning says: whoever takes the program up here has none of it in force. */
  #stateAll(title: string, line: number): void {
    const { controller, choices, program, rules } = this.setup;
    const { cutter } = program.header;
    const before = this.block.numbering().number;
    this.codeBlock(...rules.start(controller, program.header.workOffset));
    const numbered = this.block.numbering().number !== before;
    this.restarts.push({ line, block: numbered ? before : null, title });
    this.state.absolute = true;
    this.restate();
    if (cutter === null) return;
    if (controller.toolChange === 'automatic') {
      // Not every controller stops the spindle for the change, and home is no place for a turning cutter.
      this.mBlock('M5');
      if (choices.homeFirst) this.home();
      this.#fetch(cutter.number);
    }
    if (choices.lengthOffset) this.lengthOffset(cutter.number);
  }

  /** A cutter from the changer. */
  #fetch(number: number): void {
    this.block.open();
    this.block.integer(T, number);
    this.block.code('M6');
    this.block.close();
  }

  /** The length of a cutter in force. */
  protected lengthOffset(number: number): void {
    this.block.open();
    this.block.code('G43');
    this.block.integer(H, number);
    this.block.close();
  }

  protected clear(): void {
    const { program } = this.setup;
    this.distance(true);
    this.writeRapidZ(this.gridZ(program.clearHeight));
    this.state.zKnown = true;
    this.pz = program.clearHeight;
  }

  /** Up to the machine's own height, where the controller has a word for it. */
  protected home(): void {
    entryOf(
      { none: () => {}, G28: () => this.#homeG28(), G53: () => this.#homeG53() },
      this.setup.controller.home,
      'home word',
    )();
  }

  #homeG53(): void {
    this.distance(true);
    const oneBlock = this.setup.controller.words.gPerBlock >= 2;
    if (!oneBlock) this.codeBlock('G0');
    this.block.open();
    this.block.code('G53');
    if (oneBlock) this.block.code('G0');
    this.block.number(Z, 0, this.setup.xyz);
    this.block.close();
    this.#heightUnknown();
  }

  #homeG28(): void {
    this.distance(false);
    this.block.open();
    this.block.code('G28');
    this.block.number(Z, 0, this.setup.xyz);
    this.block.close();
    this.distance(true);
    this.#heightUnknown();
  }

  #heightUnknown(): void {
    this.state.motion = -1;
    this.state.zKnown = false;
    this.state.restateZ = true;
  }

  /** The program's cutter into the spindle, and its length offset, as the controller does it. */
  protected changeCutter(): void {
    const { controller, choices, program } = this.setup;
    const { cutter } = program.header;
    if (cutter === null) return;
    entryOf(
      {
        'one-tool-per-program': () => {},
        automatic: () => {
          // Not every controller stops the spindle for the change.
          this.mBlock('M5');
          this.#fetch(cutter.number);
        },
        'manual-stop': () => {
          this.mBlock('M5');
          this.comment(`FIT CUTTER ${cutter.title}, TOUCH OFF, AND PRESS START`);
          this.mBlock('M0');
        },
      },
      controller.toolChange,
      'change of cutters',
    )();
    if (choices.lengthOffset) this.lengthOffset(cutter.number);
    this.restate();
  }
}
