import { NOT_SAID } from '../trace.ts';
import type { BlockScanner } from './block-scanner.ts';
import type { Machine } from './machine.ts';
import { motionWords } from './motion-words.ts';
import {
  axisOffsetWord,
  changeWorkOffset,
  homeMove,
  lengthWords,
  originWord,
  resetWorkOffset,
  unitsWord,
} from './offset-words.ts';
import { GROUP, M_GROUP } from './reading-profile.ts';
import {
  AXES,
  bit,
  D,
  F,
  G1,
  G2,
  G3,
  G80,
  H,
  I,
  isCycle,
  J,
  K,
  L,
  NAME,
  NONE,
  P,
  Q,
  R,
  S,
  T,
} from './words.ts';

/** N, and G4 as ten times its code. */
const L_N = 13;
const G4 = 40;
/** Groups of M words that the scanner keeps apart. */
const M_GROUPS = 31;

/** Parameter settings take effect after the line is read (NGC 3.3.3). */
export function store(machine: Machine): void {
  const s = machine.block.settings;
  for (let i = 0; i + 1 < s.length; i += 2) machine.parameters.set(s[i]!, s[i + 1]!);
}

/** The G word of a group in the block, as ten times the code; NONE when it has none. */
function gWord(b: BlockScanner, group: number): number {
  return (b.gMask & bit(group)) !== 0 ? b.g[group]! : NONE;
}

/** The M word of a group in the block; NONE when it has none. */
function mWord(b: BlockScanner, group: number): number {
  return (b.mMask & bit(group)) !== 0 ? b.m[group]! : NONE;
}

/** G words that take the axis words for themselves: G10, G28, G30, G92. */
function takesAxes(once: number): boolean {
  return once === 100 || once === 280 || once === 300 || once === 920;
}

/** Carries out a block of any kind, in the order of NGC table 8, whose steps the numbers name. */
export function executeBlock(machine: Machine): void {
  const b = machine.block;
  store(machine);
  if (b.gCount === 0 && b.mCount === 0 && (b.mask & ~bit(L_N)) === 0) return;
  if (!isWithinCounts(machine)) return;
  const once = gWord(b, GROUP.once);
  const motionWord = gWord(b, GROUP.motion);
  const named = motionWord !== NONE && motionWord !== G80;
  let mask = b.mask;
  let dwell = Number.NaN;
  if (once === G4) {
    dwell = dwellTime(machine);
    if (Number.isNaN(dwell)) return;
    mask &= ~bit(machine.profile.dwell);
  }
  if (takesAxes(once) && named) {
    machine.findingG(
      'grammar/axes-conflict',
      GROUP.once,
      `found G${once / 10} and G${motionWord / 10} in one block, expected only one that uses axis words`,
    );
    return;
  }
  const moving = !takesAxes(once) && ((mask & AXES) !== 0 || named);
  const motion = motionWord !== NONE ? motionWord : machine.motion;
  if (!wordsUsed(machine, mask, moving ? motion : NONE, once)) return;
  if (machine.strict && moving) checkNoMWithMotion(machine);

  if (!feedSpeedAndTool(machine, mask)) return; // 2 to 5
  changeTool(machine); // 6
  // NGC switches off before the motion of the block; the older standards after it.
  const late = !machine.ngc && moving;
  switchOutputs(machine, late); // 7 to 9
  if (once === G4) machine.event('dwell', dwell, 'G4'); // 10
  setModes(machine); // 11 to 18
  if (once === 280 || once === 300)
    homeMove(machine, mask, once); // 19
  else if (once === 100) originWord(machine, mask);
  else if (once >= 920 && once <= 923) axisOffsetWord(machine, mask, once);
  if (motionWord === G80)
    cancelCycle(machine, moving); // 20
  else if (moving) motionWords(machine, mask, motion, motionWord !== NONE, once === 530);
  else if (once === 530) {
    machine.findingG('grammar/word-missing', GROUP.once, 'found G53 without axis words');
  }
  if (late) switchOff(machine);
  const stop = mWord(b, M_GROUP.stop);
  if (stop !== NONE) stopWord(machine, stop); // 21
}

/** No more G and M words than the controller takes; false when nobody knows which of them it would carry out. */
function isWithinCounts(machine: Machine): boolean {
  const { gCount, mCount } = machine.block;
  const { maxG, maxM } = machine.profile;
  if (gCount > maxG) {
    machine.finding('grammar/too-many-g', -1, `found ${gCount} G words, expected at most ${maxG}`);
  }
  if (mCount <= maxM) return true;
  machine.finding('grammar/too-many-m', -1, `found ${mCount} M words, expected at most ${maxM}`);
  return false;
}

/** Seconds of a G4; NaN and a finding when the block does not say. */
function dwellTime(machine: Machine): number {
  const b = machine.block;
  const w = machine.profile.dwell;
  const { numbers, dwell } = machine.profile.controller;
  if (w < 0 || (b.mask & bit(w)) === 0) {
    machine.findingG('grammar/word-missing', GROUP.once, `found G4 without ${w < 0 ? 'P' : NAME[w]}`);
    return Number.NaN;
  }
  if (numbers.point === 'never' && b.from[w]! < b.gFrom[GROUP.once]!) {
    machine.finding(
      'grammar/digits',
      w,
      'found the time before G4, expected it after, where its format is known',
    );
    return Number.NaN;
  }
  const time = b.value[w]!;
  if (time < 0) {
    machine.finding('grammar/negative', w, `found a dwell of ${time}, expected zero or more`);
    return Number.NaN;
  }
  return dwell.unit === 'ms' ? time / 1000 : time;
}

function checkNoMWithMotion(machine: Machine): void {
  const b = machine.block;
  if ((b.mMask & (bit(M_GROUP.spindle) | bit(M_GROUP.tool))) === 0) return;
  const group = (b.mMask & bit(M_GROUP.tool)) !== 0 ? M_GROUP.tool : M_GROUP.spindle;
  machine.findingM('grammar/m-with-motion', group, `found M${b.m[group]} on a block with motion`);
}

/** Feed mode, feed, speed, tool select; false when a number among them cannot be used. */
function feedSpeedAndTool(machine: Machine, mask: number): boolean {
  const b = machine.block;
  const feedMode = gWord(b, GROUP.feedMode);
  if (feedMode !== NONE) machine.feedMode = feedMode === 930 ? 2 : 1;
  if ((mask & bit(F)) !== 0) {
    machine.feed = b.value[F]!;
    machine.feedStale = false;
  }
  if ((mask & bit(S)) !== 0) {
    const speed = machine.speedOf(b.value[S]!);
    if (Number.isNaN(speed)) return false;
    machine.speed = speed;
    if (machine.turning === 1 || machine.turning === -1) {
      const before = machine.rpm;
      machine.updateRpm();
      if (machine.rpm !== before && mWord(b, M_GROUP.spindle) === NONE) {
        machine.event('spindle', machine.rpm, 'S');
      }
    }
  }
  if ((mask & bit(T)) !== 0) {
    const t = machine.whole(T, 0, 99_999);
    if (Number.isNaN(t)) return false;
    machine.selected = t;
    machine.event('tool-select', t, `T${t}`);
  }
  return true;
}

function changeTool(machine: Machine): void {
  if (mWord(machine.block, M_GROUP.tool) !== 6) return;
  if (machine.selected === NOT_SAID) {
    machine.findingM('grammar/word-missing', M_GROUP.tool, 'found M6 before any T word');
  } else machine.tool = machine.selected;
  machine.turning = 0;
  machine.updateRpm();
  machine.interrupted = true;
  machine.event('tool', machine.tool, 'M6');
}

/** Spindle, coolant, overrides and outputs; `late` leaves what switches off for after the motion. */
function switchOutputs(machine: Machine, late: boolean): void {
  const b = machine.block;
  const spindle = mWord(b, M_GROUP.spindle);
  if (spindle === 3 || spindle === 4 || (spindle === 5 && !late)) machine.spindle(spindle);
  const coolant = mWord(b, M_GROUP.coolant);
  if (coolant !== NONE && !(coolant === 9 && late)) machine.auxiliary(coolant);
  const override = mWord(b, M_GROUP.override);
  if (override !== NONE) machine.auxiliary(override);
  for (let group: number = M_GROUP.output; group < M_GROUPS; group++) {
    const code = mWord(b, group);
    if (code !== NONE && !(late && machine.switchesOff(code))) machine.auxiliary(code);
  }
}

/** What the older standards switch off after the motion of the block. */
function switchOff(machine: Machine): void {
  const b = machine.block;
  if (mWord(b, M_GROUP.spindle) === 5) machine.spindle(5);
  if (mWord(b, M_GROUP.coolant) === 9) machine.auxiliary(9);
  for (let group: number = M_GROUP.output; group < M_GROUPS; group++) {
    const code = mWord(b, group);
    if (code !== NONE && machine.switchesOff(code)) machine.auxiliary(code);
  }
}

/** Plane, units, compensation, tool length, work offset, path control, distance, cycle return. */
function setModes(machine: Machine): void {
  const b = machine.block;
  const plane = gWord(b, GROUP.plane);
  if (plane !== NONE) machine.plane = plane / 10;
  const units = gWord(b, GROUP.units);
  if (units !== NONE) unitsWord(machine, units === 200 || units === 700);
  // Only G40 gets here.
  if (gWord(b, GROUP.compensation) !== NONE) machine.compensationOff = true;
  lengthWords(machine, gWord(b, GROUP.length));
  const offset = gWord(b, GROUP.workOffset);
  if (offset !== NONE) changeWorkOffset(machine, offset <= 590 ? offset / 10 - 53 : offset - 590 + 6);
  // Path control leaves no trace in positions.
  if (gWord(b, GROUP.path) !== NONE) machine.pathStated = true;
  const distance = gWord(b, GROUP.distance);
  if (distance !== NONE) machine.distance = distance === 900 ? 1 : 2;
  const cycleReturn = gWord(b, GROUP.cycleReturn);
  if (cycleReturn !== NONE) machine.cycleReturn = cycleReturn === 980 ? 1 : 2;
  const quadrants = gWord(b, GROUP.quadrants);
  if (quadrants !== NONE) machine.single = quadrants === 740;
}

function cancelCycle(machine: Machine, withAxes: boolean): void {
  if (withAxes) {
    machine.findingG('state/axes-after-g80', GROUP.motion, 'found axis words with G80, expected none');
  }
  machine.motion = G80;
}

/** Letters that belong to one code, for the finding when they stand without it. */
const CODE_OF_LETTER: ReadonlyMap<number, string> = new Map([
  [I, 'G2 or G3'],
  [J, 'G2 or G3'],
  [K, 'G2 or G3'],
  [H, 'G43'],
  [D, 'G41 or G42'],
]);

/** Are all words of the block used by something in it? A word without its code shows that a code is missing. */
function wordsUsed(machine: Machine, mask: number, motion: number, once: number): boolean {
  const b = machine.block;
  let used = AXES | bit(F) | bit(S) | bit(T) | bit(L_N);
  if (motion === G2 || motion === G3) used |= bit(R) | bit(I) | bit(J) | bit(K);
  if (isCycle(motion)) used |= bit(R) | bit(L) | bit(P) | bit(Q);
  if (once === 100) used |= bit(L) | bit(P);
  if (gWord(b, GROUP.length) === 430) used |= bit(H);
  for (let group = 0; b.mMask !== 0 && group < M_GROUPS; group++) {
    if ((b.mMask & bit(group)) === 0) continue;
    for (const output of machine.profile.outputs.get(b.m[group]!) ?? []) {
      for (const word of output.words) used |= bit(word.letter);
    }
  }
  const unused = mask & ~used;
  if (unused === 0) return true;
  let letter = 0;
  while ((unused & bit(letter)) === 0) letter++;
  const code = CODE_OF_LETTER.get(letter);
  const expected = code === undefined ? '' : `; expected ${code}`;
  const motionWord = gWord(b, GROUP.motion);
  const beside = motionWord === NONE ? '' : ` beside G${motionWord / 10}`;
  machine.finding(
    'grammar/word-unused',
    letter,
    `found ${NAME[letter]}${b.value[letter]}, which nothing in this block uses${expected}${beside}`,
  );
  return false;
}

function stopWord(machine: Machine, code: number): void {
  if (code === 0 || code === 60) {
    machine.event('stop', code, `M${code}`);
    machine.interrupted = true;
    return;
  }
  if (code === 1) {
    machine.event('optional-stop', code, 'M1');
    machine.interrupted = true;
    return;
  }
  const expected = machine.profile.controller.end.word;
  if (`M${code}` !== expected) {
    machine.findingM('grammar/end-word', M_GROUP.stop, `found M${code}, expected ${expected}`);
  }
  if (machine.distance === 2) {
    machine.findingM(
      'state/distance-left',
      M_GROUP.stop,
      'found the end of the program while G91 is in force',
    );
  }
  machine.event('end', code, `M${code}`);
  machine.ended = true;
  machine.turning = 0;
  if (machine.ngc) {
    // NGC 3.6.1: what the end resets. Units, length offset, cycle return, F, S and the tool stay as they are.
    machine.axisOffset[0] = machine.axisOffset[1] = machine.axisOffset[2] = 0;
    resetWorkOffset(machine, 1);
    machine.plane = 17;
    machine.distance = 1;
    machine.feedMode = 1;
    machine.compensationOff = true;
    machine.motion = G1;
  }
  machine.updateRpm();
}
