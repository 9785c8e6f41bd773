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

/** Parameter settings take effect after the line is read (NGC 3.3.3). */
export function store(machine: Machine): void {
  const s = machine.block.settings;
  for (let i = 0; i + 1 < s.length; i += 2) machine.parameters.set(s[i]!, s[i + 1]!);
}

/** Every other block, in the order of NGC table 8. */
export function longWay(machine: Machine): void {
  const b = machine.block;
  const profile = machine.profile;
  const c = profile.controller;
  store(machine);
  if (b.gCount === 0 && b.mCount === 0 && (b.mask & ~bit(13)) === 0) return;
  if (b.gCount > profile.maxG) {
    machine.finding('grammar/too-many-g', -1, `found ${b.gCount} G words, expected at most ${profile.maxG}`);
  }
  if (b.mCount > profile.maxM) {
    machine.finding('grammar/too-many-m', -1, `found ${b.mCount} M words, expected at most ${profile.maxM}`);
    return;
  }
  const g = (group: number): number => ((b.gMask & bit(group)) !== 0 ? b.g[group]! : NONE);
  const m = (group: number): number => ((b.mMask & bit(group)) !== 0 ? b.m[group]! : NONE);
  const once = g(GROUP.once);
  const motionWord = g(GROUP.motion);

  let mask = b.mask;
  let dwell = Number.NaN;
  if (once === 40) {
    const w = profile.dwell;
    if (w < 0 || (mask & bit(w)) === 0) {
      machine.findingG('grammar/word-missing', GROUP.once, `found G4 without ${w < 0 ? 'P' : NAME[w]}`);
      return;
    }
    dwell = b.value[w]!;
    if (c.numbers.point === 'never' && b.from[w]! < b.gFrom[GROUP.once]!) {
      machine.finding(
        'grammar/digits',
        w,
        'found the time before G4, expected it after, where its format is known',
      );
      return;
    }
    if (dwell < 0) {
      machine.finding('grammar/negative', w, `found a dwell of ${dwell}, expected zero or more`);
      return;
    }
    if (c.dwell.unit === 'ms') dwell /= 1000;
    mask &= ~bit(w);
  }

  const axes = (mask & AXES) !== 0;
  const takesAxes = once === 100 || once === 280 || once === 300 || once === 920;
  if (takesAxes && motionWord !== NONE && motionWord !== G80) {
    machine.findingG(
      'grammar/axes-conflict',
      GROUP.once,
      `found G${once / 10} and G${motionWord / 10} in one block, expected only one that uses axis words`,
    );
    return;
  }
  const moving = (axes && !takesAxes) || (motionWord !== NONE && motionWord !== G80 && !takesAxes);
  const effective = motionWord !== NONE ? motionWord : machine.motion;
  if (!wordsUsed(machine, mask, moving ? effective : NONE, once, g(GROUP.length), motionWord)) return;
  if (machine.strict && moving && (b.mMask & (bit(M_GROUP.spindle) | bit(M_GROUP.tool))) !== 0) {
    const group = (b.mMask & bit(M_GROUP.tool)) !== 0 ? M_GROUP.tool : M_GROUP.spindle;
    machine.findingM('grammar/m-with-motion', group, `found M${b.m[group]} on a block with motion`);
  }

  // 2 feed mode, 3 feed, 4 speed, 5 tool select.
  const feedMode = g(GROUP.feedMode);
  if (feedMode !== NONE) {
    machine.feedMode = feedMode === 930 ? 2 : 1;
  }
  const units = g(GROUP.units);
  if ((mask & bit(F)) !== 0) {
    machine.feed = b.value[F]!;
    machine.feedStale = false;
  }
  if ((mask & bit(S)) !== 0) {
    const speed = machine.speedOf(b.value[S]!);
    if (Number.isNaN(speed)) return;
    machine.speed = speed;
    if (machine.turning === 1 || machine.turning === -1) {
      const before = machine.rpm;
      machine.updateRpm();
      if (machine.rpm !== before && m(M_GROUP.spindle) === NONE) machine.event('spindle', machine.rpm, 'S');
    }
  }
  if ((mask & bit(T)) !== 0) {
    const t = machine.whole(T, 0, 99_999);
    if (Number.isNaN(t)) return;
    machine.selected = t;
    machine.event('tool-select', t, `T${t}`);
  }
  // 6 tool change, 7 spindle, 8 coolant, 9 overrides.
  if (m(M_GROUP.tool) === 6) {
    if (machine.selected === null) {
      machine.findingM('grammar/word-missing', M_GROUP.tool, 'found M6 before any T word');
    } else machine.tool = machine.selected;
    machine.turning = 0;
    machine.updateRpm();
    machine.interrupted = true;
    machine.event('tool', machine.tool ?? 0, 'M6');
  }
  const spindle = m(M_GROUP.spindle);
  // NGC switches off before the motion of the block; the older standards after it.
  const late = !machine.ngc && moving;
  if (spindle === 3 || spindle === 4 || (spindle === 5 && !late)) machine.spindle(spindle);
  const coolant = m(M_GROUP.coolant);
  if (coolant !== NONE && !(coolant === 9 && late)) machine.auxiliary(coolant);
  if (m(M_GROUP.override) !== NONE) machine.auxiliary(m(M_GROUP.override));
  for (let group: number = M_GROUP.output; group < 31; group++) {
    const code = m(group);
    if (code !== NONE && !(late && machine.switchesOff(code))) machine.auxiliary(code);
  }
  // 10 dwell.
  if (once === 40) machine.event('dwell', dwell, 'G4');
  // 11 plane.
  const plane = g(GROUP.plane);
  if (plane !== NONE) machine.plane = plane / 10;
  // 12 units.
  if (units !== NONE) unitsWord(machine, units === 200 || units === 700);
  // 13 radius compensation: only G40 gets here.
  if (g(GROUP.compensation) !== NONE) machine.compensationOff = true;
  // 14 tool length.
  lengthWords(machine, g(GROUP.length));
  // 15 work offset.
  if (g(GROUP.workOffset) !== NONE) {
    const code = g(GROUP.workOffset);
    changeWorkOffset(machine, code <= 590 ? code / 10 - 53 : code - 590 + 6);
  }
  // 16 path control leaves no trace in positions. 17 distance, 18 cycle return.
  if (g(GROUP.path) !== NONE) machine.pathStated = true;
  if (g(GROUP.distance) !== NONE) machine.distance = g(GROUP.distance) === 900 ? 1 : 2;
  if (g(GROUP.cycleReturn) !== NONE) machine.cycleReturn = g(GROUP.cycleReturn) === 980 ? 1 : 2;
  if (g(GROUP.quadrants) !== NONE) machine.single = g(GROUP.quadrants) === 740;
  // 19 home, origins, axis offsets.
  if (once === 280 || once === 300) homeMove(machine, mask, once);
  else if (once === 100) originWord(machine, mask);
  else if (once >= 920 && once <= 923) axisOffsetWord(machine, mask, once);
  // 20 motion.
  if (motionWord === G80) {
    if (moving) {
      machine.findingG('state/axes-after-g80', GROUP.motion, 'found axis words with G80, expected none');
    }
    machine.motion = G80;
  } else if (moving) motionWords(machine, mask, effective, motionWord !== NONE, once === 530);
  else if (once === 530) {
    machine.findingG('grammar/word-missing', GROUP.once, 'found G53 without axis words');
  }
  if (late && spindle === 5) machine.spindle(5);
  if (late && coolant === 9) machine.auxiliary(9);
  if (late) {
    for (let group: number = M_GROUP.output; group < 31; group++) {
      const code = m(group);
      if (code !== NONE && machine.switchesOff(code)) machine.auxiliary(code);
    }
  }
  // 21 stops and the end.
  const stop = m(M_GROUP.stop);
  if (stop !== NONE) stopWord(machine, stop);
}

/** Are all words of the block used by something in it? A word without its code shows that a code is missing. */
export function wordsUsed(
  machine: Machine,
  mask: number,
  motion: number,
  once: number,
  length: number,
  motionWord: number,
): boolean {
  const arc = motion === G2 || motion === G3;
  const cycle = isCycle(motion);
  let used = AXES | bit(F) | bit(S) | bit(T) | bit(13);
  if (arc) used |= bit(R) | bit(I) | bit(J) | bit(K);
  if (cycle) used |= bit(R) | bit(L) | bit(P) | bit(Q);
  if (once === 100) used |= bit(L) | bit(P);
  if (length === 430) used |= bit(H);
  for (let group: number = 0; group < 31; group++) {
    if ((machine.block.mMask & bit(group)) === 0) continue;
    for (const output of machine.profile.outputs.get(machine.block.m[group]!) ?? []) {
      for (const word of output.words) used |= bit(word.letter);
    }
  }
  const unused = mask & ~used;
  if (unused === 0) return true;
  for (let letter = 0; letter < 26; letter++) {
    if ((unused & bit(letter)) === 0) continue;
    const hint = [I, J, K].includes(letter)
      ? 'G2 or G3'
      : letter === H
        ? 'G43'
        : letter === D
          ? 'G41 or G42'
          : '';
    machine.finding(
      'grammar/word-unused',
      letter,
      `found ${NAME[letter]}${machine.block.value[letter]}, which nothing in this block uses${hint === '' ? '' : `; expected ${hint}`}${motionWord === NONE ? '' : ` beside G${motionWord / 10}`}`,
    );
    return false;
  }
  return false;
}

export function stopWord(machine: Machine, code: number): void {
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
