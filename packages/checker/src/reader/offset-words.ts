import { MACHINE, MACHINE_X, RAPID } from '../trace.ts';
import type { Machine } from './machine.ts';
import { firstMotion } from './motion-words.ts';
import { GROUP } from './reading-profile.ts';
import { AXES, AXIS_LETTER, bit, H, L, NAME, NONE, P } from './words.ts';

/** G20, G21, G70, G71: units from here on; a feed that was written before keeps its number (NGC 4.3.3.3). */
export function unitsWord(machine: Machine, inch: boolean): void {
  const c = machine.profile.controller;
  if (inch !== (c.units === 'in')) {
    machine.findingG(
      'state/units-profile',
      GROUP.units,
      `found ${inch ? 'inch' : 'millimetre'} units, expected ${c.units === 'in' ? 'inch' : 'millimetre'}`,
    );
  }
  if (machine.inch !== null && machine.inch !== inch && machine.moved) {
    machine.findingG('state/units-changed', GROUP.units, 'found other units than before');
  }
  if (machine.inch !== inch && !Number.isNaN(machine.feed)) machine.feedStale = true;
  machine.setUnits(inch);
}

/** G43 H and G49 (NGC 3.5.11): the tip's height in program coordinates moves by the difference of the lengths. */
export function lengthWords(machine: Machine, code: number): void {
  if (code === NONE) return;
  const before = machine.lengthInForce;
  const number = machine.lengthOffset;
  if (code === 490) machine.setLength(0);
  else {
    if (!machine.has(H)) {
      // The report allows G43 with the tool in the spindle only through H.
      machine.findingG('grammar/word-missing', GROUP.length, 'found G43 without H');
      return;
    }
    const h = machine.whole(H, 0, 99_999);
    if (Number.isNaN(h)) return;
    machine.setLength(h);
  }
  // The tip's height in program coordinates changes with the length; unknown when a length is.
  if (number !== machine.lengthOffset && before !== machine.lengthInForce)
    machine.z += before - machine.lengthInForce;
  machine.event('length-offset', machine.lengthOffset, code === 490 ? 'G49' : `G43 H${machine.lengthOffset}`);
}

/** G54 to G59.3 (NGC 3.5.13): coordinates move by the difference of the origins, to the unknown when one is unknown. */
export function changeWorkOffset(machine: Machine, number: number): void {
  const before = machine.workOffset;
  if (before !== number) {
    if (before !== 0 && machine.moved) {
      machine.findingG(
        'state/offset-changed',
        GROUP.workOffset,
        `found work offset ${number} after ${before}; their distance is not in the text`,
      );
    }
    if (before !== 0) {
      const from = machine.origins.get(before);
      const to = machine.origins.get(number);
      const shift = (axis: number): number =>
        from === undefined || to === undefined ? Number.NaN : from[axis]! - to[axis]!;
      machine.x += shift(0);
      machine.y += shift(1);
      machine.z += shift(2);
    }
    machine.workOffset = number;
  }
  machine.event('work-offset', number, number <= 6 ? `G${53 + number}` : `G59.${number - 6}`);
}

/** The end of a program goes back to the first work offset without a word in the text (NGC 3.6.1). */
export function resetWorkOffset(machine: Machine, number: number): void {
  if (machine.profile.controller.workOffset === 'none') return;
  machine.workOffset = number;
}

/**
 * G28 and G30 (NGC 3.5.8): by way of the programmed point to home, or to a second place (G30) that only the controller
 * knows.
 */
export function homeMove(machine: Machine, mask: number, code: number): void {
  const named = mask & AXES;
  if (!machine.moved) firstMotion(machine);
  if (named !== 0) {
    machine.checkUnits();
    machine.checkDistance();
    machine.target(mask);
    machine.push(RAPID, 0);
  }
  // The report sends every axis home (3.5.8); other standards only those named.
  const all = machine.ngc || named === 0;
  let flags = MACHINE;
  for (let axis = 0; axis < 3; axis++) {
    if (!all && (named & bit(AXIS_LETTER[axis]!)) === 0) continue;
    const home = code === 280 ? machine.homeOf(axis) : Number.NaN;
    if (Number.isNaN(home)) flags |= MACHINE_X << axis;
    machine.put(axis, home);
  }
  const own = machine.profile.controller.home === 'G28' && code === 280;
  if (!own && (machine.strict || flags !== MACHINE))
    machine.findingG('state/home', GROUP.once, `found G${code / 10}, a move to the home position`);
  machine.push(RAPID, flags);
  machine.moved = true;
  const axes = AXIS_LETTER.filter((letter) => (named & bit(letter)) !== 0).map((letter) => NAME[letter]);
  machine.event('home', code / 10, `G${code / 10} ${axes.join('')}`.trim());
}

/** G10 L2 (NGC 3.5.5): rewrites the origin of a work offset. */
export function originWord(machine: Machine, mask: number): void {
  machine.findingG('state/origin-rewritten', GROUP.once, 'found G10, which rewrites a work offset');
  if (!machine.has(L) || Math.abs(machine.block.value[L]! - 2) > 0.0001) {
    machine.findingG('grammar/code-not-followed', GROUP.once, 'found G10 in another form than G10 L2');
    return;
  }
  if (!machine.has(P)) {
    machine.findingG('grammar/word-missing', GROUP.once, 'found G10 L2 without P');
    return;
  }
  const number = machine.whole(P, 1, 9);
  if (Number.isNaN(number)) return;
  if ((mask & AXES) !== 0) machine.checkUnits();
  const before = machine.origins.get(number) ?? [Number.NaN, Number.NaN, Number.NaN];
  const after: [number, number, number] = [before[0]!, before[1]!, before[2]!];
  for (let axis = 0; axis < 3; axis++) {
    if ((mask & bit(AXIS_LETTER[axis]!)) !== 0) after[axis] = machine.axisValue(axis);
  }
  if (number === machine.workOffset || machine.workOffset === 0) {
    for (let axis = 0; axis < 3; axis++) {
      if ((mask & bit(AXIS_LETTER[axis]!)) !== 0)
        machine.put(axis, machine.at(axis) + before[axis]! - after[axis]!);
    }
  }
  machine.origins.set(number, after);
  machine.event('origin', number, 'G10 L2');
}

/** G92, G92.1, G92.2, G92.3 (NGC 3.5.18): offset = position − value given, so that the display shows that value. */
export function axisOffsetWord(machine: Machine, mask: number, code: number): void {
  machine.findingG(
    'state/axis-offset',
    GROUP.once,
    `found G${code / 10}, which shifts everything that follows`,
  );
  const o = machine.axisOffset;
  if (code === 920) {
    if ((mask & AXES) === 0) {
      machine.findingG('grammar/word-missing', GROUP.once, 'found G92 without axis words');
      return;
    }
    machine.checkUnits();
    for (let axis = 0; axis < 3; axis++) {
      if ((mask & bit(AXIS_LETTER[axis]!)) === 0) continue;
      o[axis] = machine.at(axis) - machine.axisValue(axis);
      if (Number.isNaN(o[axis]!)) {
        machine.finding(
          'state/position-unknown',
          AXIS_LETTER[axis]!,
          'found G92 at a place that the program has not given',
        );
      }
    }
    machine.savedAxisOffset = [o[0], o[1], o[2]];
  } else if (code === 923) {
    [o[0], o[1], o[2]] = machine.savedAxisOffset;
  } else {
    o[0] = o[1] = o[2] = 0;
    if (code === 921) machine.savedAxisOffset = [0, 0, 0];
  }
  machine.event('axis-offset', code / 10, `G${code / 10}`);
}
