import { quantise } from '@bedledger/diagnostics';
import { fault } from '../fault.ts';
import { MotionWriter } from './motion-writer.ts';

const H = 72;
const S = 83;
const T = 84;
const Z = 90;

/** Writes what is not motion: spindle, dwell, outputs, cutter, stops, sections, home. */
export abstract class StateWriter extends MotionWriter {
  /** Minutes of feed and dwell so far, to share the expected time out among parts. */
  feedMinutes = 0;
  /** Stops for the operator so far: what a visiting program spends its time on. */
  stops = 0;
  /** Titles of the sections the part has anything of. */
  readonly sections: string[] = [];

  protected rpm: number | null = null;
  /** The text has said whether the spindle turns. */
  protected spindleStated = false;
  protected auxiliaries: string[] = [];
  protected section: string | null = null;

  protected dwell(seconds: number): void {
    const { controller, dwell: form } = this.setup;
    if (!(seconds >= 0)) this.fail('dwell', seconds, form);
    if (seconds === 0) return;
    const { word, unit } = controller.dwell;
    if (word === 'none') {
      throw fault(
        'dwell',
        `${this.place()}: a dwell of ${seconds} s, and the controller has no dwell word`,
        'set controller.dwell.word in the machine profile',
      );
    }
    // A wait too short for the word's grid is one step of it, not none.
    const q = Math.max(1, quantise(seconds * (unit === 'ms' ? 1000 : 1), form.one));
    if (q >= form.limit) this.fail(word, q / form.one, form);
    this.interrupted();
    this.block.open();
    this.block.code('G4');
    this.block.number(word.charCodeAt(0), q, form);
    this.block.close();
    // A dwell by F or S shares its letter with feed or speed, which have to be said again.
    if (word === 'F') this.state.feed = Number.NaN;
    this.feedMinutes += seconds / 60;
  }

  comment(text: string): void {
    for (const line of this.setup.comments.lines(text)) this.text.line(line);
  }

  protected speedWord(rpm: number): void {
    const { controller, speed: form } = this.setup;
    const { codes } = controller.spindle;
    if (codes !== undefined) {
      const entry = codes.find((c) => c.rpm === rpm);
      if (entry === undefined) {
        throw fault(
          'speed',
          `${this.place()}: ${rpm} rpm has no code; the controller has ${codes.map((c) => c.rpm).join(', ')} rpm`,
          'use one of these speeds for the cutter',
          { rpm },
        );
      }
      this.block.integer(S, entry.code);
      return;
    }
    const q = quantise(rpm, form.one);
    if (!(q > 0 && q < form.limit)) this.fail('S', rpm, form);
    this.block.number(S, q, form);
  }

  protected override writeSpindle(rpm: number): void {
    const { controller, program } = this.setup;
    const { spindle } = controller;
    this.state.pendingRpm = null;
    this.rpm = rpm;
    this.spindleStated = true;
    if (!(rpm > 0)) this.fail('S', rpm, this.setup.speed);
    if (spindle.start === 'manual') {
      this.comment(`START THE SPINDLE BY HAND AT ${Math.round(rpm)} RPM AND PRESS START WHEN IT IS AT SPEED`);
      this.mBlock('M0');
      return;
    }
    this.interrupted();
    this.block.open();
    if (spindle.speed === 'rpm') {
      this.speedWord(rpm);
      if (spindle.order === 'speed-first') {
        this.block.close();
        this.block.open();
      }
    }
    this.block.code('M3');
    this.block.close();
    if (spindle.start === 'dwell') this.dwell(program.spinUp);
  }

  protected spindleOff(): void {
    this.rpm = null;
    this.state.pendingRpm = null;
    this.spindleStated = true;
    if (this.setup.controller.spindle.start === 'manual') {
      this.comment('STOP THE SPINDLE BY HAND AND PRESS START WHEN IT STANDS STILL');
      this.mBlock('M0');
    } else this.mBlock('M5');
  }

  /** Spindle, dwell, outputs, tool: the motion word is said again after them, for the eye and for the controller. */
  protected interrupted(): void {
    this.state.motion = -1;
  }

  protected mBlock(word: string): void {
    this.interrupted();
    this.block.open();
    this.block.code(word);
    this.block.close();
  }

  protected auxiliary(name: string, on: boolean): void {
    const { auxiliary } = this.setup.controller;
    const words = Object.hasOwn(auxiliary, name) ? auxiliary[name] : undefined;
    if (words === undefined) {
      throw fault(
        'auxiliary',
        `${this.place()}: the controller has no auxiliary output ${JSON.stringify(name)}; it has ${Object.keys(auxiliary).join(', ') || 'none'}`,
        `add ${name} to controller.auxiliary in the machine profile, or take it out of the operation`,
      );
    }
    this.interrupted();
    this.block.open();
    const [code, ...parameters] = (on ? words.on : words.off).split(' ');
    this.block.code(code!);
    for (const parameter of parameters) this.block.verbatim(parameter);
    this.block.close();
    this.auxiliaries = this.auxiliaries.filter((a) => a !== name);
    if (on) this.auxiliaries.push(name);
  }

  /** Everything that may be left out while it stays in force is said again from here on. */
  restate(): void {
    this.state.motion = -1;
    this.state.feed = Number.NaN;
    this.state.restateXy = true;
    this.state.restateZ = true;
  }

  protected stop(message: string, optional: boolean): void {
    this.cancelCycle();
    this.comment(message);
    this.mBlock(optional && this.setup.controller.optionalStop ? 'M1' : 'M0');
    this.unknown();
    this.state.pendingRpm = this.rpm;
  }

  /** A restart may find the machine anywhere: height first, then place, all in full and absolute. */
  protected unknown(): void {
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
    this.comment(title);
    this.block.mark();
    if (restart) this.unknown();
  }

  protected clear(): void {
    const { program } = this.setup;
    this.distance(true);
    this.writeRapidZ(this.gridZ(program.clearHeight));
    this.state.zKnown = true;
    this.pz = program.clearHeight;
  }

  protected home(): void {
    const { home } = this.setup.controller;
    if (home === 'none') return;
    if (home === 'G53') {
      this.distance(true);
      if (this.setup.controller.words.gPerBlock < 2) {
        this.codeBlock('G0');
      }
      this.block.open();
      this.block.code('G53');
      if (this.setup.controller.words.gPerBlock >= 2) this.block.code('G0');
      this.block.number(Z, 0, this.setup.xyz);
      this.block.close();
    } else {
      this.distance(false);
      this.block.open();
      this.block.code('G28');
      this.block.number(Z, 0, this.setup.xyz);
      this.block.close();
      this.distance(true);
    }
    this.state.motion = -1;
    this.state.zKnown = false;
    this.state.restateZ = true;
  }

  protected tool(): void {
    const { controller, program } = this.setup;
    const { cutter } = program.header;
    if (cutter === null) return;
    if (controller.toolChange === 'automatic') {
      this.block.open();
      this.block.integer(T, cutter.number);
      this.block.code('M6');
      this.block.close();
    } else if (controller.toolChange === 'manual-stop') {
      this.mBlock('M5');
      this.comment(`FIT CUTTER ${cutter.title}, TOUCH OFF, AND PRESS START`);
      this.mBlock('M0');
    }
    if (controller.toolLength === 'G43') {
      this.block.open();
      this.block.code('G43');
      this.block.integer(H, cutter.number);
      this.block.close();
    }
    this.restate();
  }
}
