import { exactLength } from '@bedledger/diagnostics';
import { peckBackOff } from '@bedledger/fleet';
import { CYCLE, FEED, RAPID } from '../trace.ts';
import { planeKnown } from './arc-motion.ts';
import type { Machine } from './machine.ts';
import { GROUP } from './reading-profile.ts';
import { AXIS_LETTER, bit, isCycle, L, MOST_REPEATS, NAME, P, PLANES, Q, R } from './words.ts';

/** G82, G86 and G89 wait at the bottom. */
const DWELLS = [820, 860, 890];

/**
 * Reads the numbers of a cycle block into the sticky ones: R always, the bottom, P and Q while the same cycle stays.
 * Returns the repeat count, or NaN after a finding: then the numbers are not to be used by the blocks that follow.
 */
function cycleNumbers(machine: Machine, mask: number, code: number, previous: number): number {
  const b = machine.block;
  const [a1, a2, a3] = PLANES[machine.plane]!;
  const word = (axis: number) => bit(AXIS_LETTER[axis]!);
  const name = `G${code / 10}`;
  const refuse = (): number => {
    machine.cycleBroken = true;
    return Number.NaN;
  };
  const missing = (letter: string): number => {
    machine.findingG('grammar/word-missing', GROUP.motion, `found ${name} without ${letter}`);
    return refuse();
  };
  const same = previous === code;
  // The cycle was refused and reported in an earlier block; its sticky numbers are not there.
  if (same && machine.cycleBroken) return Number.NaN;
  machine.cycleBroken = false;
  const sign = a3 === 2 ? machine.zSign : 1;
  if ((mask & word(a3)) !== 0) machine.cycleBottom = b.value[AXIS_LETTER[a3]!]! * machine.scale * sign;
  else if (!same || Number.isNaN(machine.cycleBottom)) return missing(NAME[AXIS_LETTER[a3]!]!);
  if ((mask & bit(R)) !== 0) machine.cycleR = b.value[R]! * machine.scale * sign;
  else if (!isCycle(previous) || Number.isNaN(machine.cycleR)) return missing('R');
  const dwells = DWELLS.includes(code);
  if ((mask & bit(P)) !== 0) {
    if (!dwells) {
      machine.finding('grammar/word-unused', P, `found P, which ${name} does not use`);
      return refuse();
    }
    machine.cycleDwell = machine.profile.controller.dwell.unit === 'ms' ? b.value[P]! / 1000 : b.value[P]!;
  } else if (dwells && (!same || Number.isNaN(machine.cycleDwell))) return missing('P');
  if ((mask & bit(Q)) !== 0) {
    if (code !== 830) {
      machine.finding('grammar/word-unused', Q, `found Q, which ${name} does not use`);
      return refuse();
    }
    machine.cyclePeck = b.value[Q]! * machine.scale;
    if (!(machine.cyclePeck > 0)) {
      machine.finding('grammar/out-of-range', Q, `found Q${b.value[Q]}, expected more than 0`);
      return refuse();
    }
  } else if (code === 830 && (!same || Number.isNaN(machine.cyclePeck))) return missing('Q');
  let repeats = 1;
  if ((mask & bit(L)) !== 0) {
    repeats = machine.whole(L, 1, MOST_REPEATS);
    if (Number.isNaN(repeats)) return refuse();
  }
  if (machine.feedMode === 2) {
    machine.findingG('grammar/axes-conflict', GROUP.motion, `found ${name} in inverse time mode`);
    return refuse();
  }
  if ((mask & (word(a1) | word(a2))) === 0) {
    machine.findingG('state/cycle-position', GROUP.motion, `found ${name} without a position in its plane`);
    return Number.NaN;
  }
  return repeats;
}

/** Drilling and boring cycles (NGC 3.5.16), as the rapids and feeds they stand for. */
export function cycleMotion(machine: Machine, mask: number, code: number, previous: number): void {
  planeKnown(machine, 'a cycle');
  const [a1, a2, a3] = PLANES[machine.plane]!;
  const word = (axis: number) => bit(AXIS_LETTER[axis]!);
  const name = `G${code / 10}`;
  const dwells = DWELLS.includes(code);
  const repeats = cycleNumbers(machine, mask, code, previous);
  if (Number.isNaN(repeats)) return;
  machine.cutting(mask);

  const before = machine.at(a3);
  if (!isCycle(previous)) machine.chainHeight = before;
  const incremental = machine.distance === 2;
  const r = incremental ? before + machine.cycleR : machine.cycleR + machine.axisOffset[a3]!;
  const bottom = incremental ? r + machine.cycleBottom : machine.cycleBottom + machine.axisOffset[a3]!;
  if (r < bottom) {
    machine.finding(
      'state/cycle-depth',
      R,
      `found R ${exactLength(bottom - r, machine.profile.controller.units)} below the bottom of the cycle, expected it above`,
    );
    return;
  }
  if (incremental) {
    machine.checkKnown(mask & ~word(a3));
    if (Number.isNaN(before)) {
      machine.findingG(
        'state/position-unknown',
        GROUP.motion,
        `found ${name} in G91 at a height that is not known`,
      );
    }
  }
  const clear = clearHeight(machine, before, r, name);

  const line = (kind: number) => machine.push(kind, CYCLE);
  const height = (value: number, kind: number) => {
    machine.put(a3, value);
    line(kind);
  };
  if (before < r) height(r, RAPID);
  for (let turn = 0; turn < repeats; turn++) {
    const at1 = machine.at(a1);
    const at2 = machine.at(a2);
    for (const axis of [a1, a2]) {
      if ((mask & word(axis)) === 0) continue;
      const v = machine.axisValue(axis);
      machine.put(axis, incremental ? machine.at(axis) + v : v + machine.axisOffset[axis]!);
    }
    if (machine.at(a1) !== at1 || machine.at(a2) !== at2) line(RAPID);
    if (machine.at(a3) !== r) height(r, RAPID);
    if (code === 830) peck(machine, a3, r, bottom, machine.cycles === 'chain' ? r : clear);
    else height(bottom, FEED);
    if (dwells) machine.event('dwell', machine.cycleDwell, name);
    if (code === 850 || code === 890) {
      height(r, FEED);
      if (clear !== r) height(clear, RAPID);
    } else if (code === 860) {
      const turning = machine.turning;
      machine.spindle(5);
      height(clear, RAPID);
      if (turning === 1 || turning === -1) machine.spindle(turning === 1 ? 3 : 4);
    } else height(clear, RAPID);
    if (tooMany(machine)) return;
  }
}

/** Height after each hole: G99 R; G98 the height before the cycle, never below R. */
export function clearHeight(machine: Machine, before: number, r: number, name: string): number {
  const perBlock = Math.max(before, r);
  const perChain = Math.max(machine.chainHeight, r);
  if (machine.cycleReturn === 2) return r;
  if (Number.isNaN(before)) {
    machine.findingG('state/position-unknown', GROUP.motion, `found ${name} at a height that is not known`);
    return Number.NaN;
  }
  if (machine.cycleReturn === 0) {
    if (perBlock !== r) {
      machine.findingG('state/cycle-return-missing', GROUP.motion, `found ${name} before G98 or G99`);
    }
    return perBlock;
  }
  if (Math.abs(perBlock - perChain) > 1e-9) {
    const { units } = machine.profile.controller;
    machine.findingG(
      'state/cycle-initial-height',
      GROUP.motion,
      `found ${name} with G98 from ${exactLength(perBlock, units)} before this block and ${exactLength(perChain, units)} before the chain`,
    );
  }
  return machine.cycles === 'chain' ? perChain : perBlock;
}

/** Has the program asked for more motions than may be followed? Then it is read no further. */
function tooMany(machine: Machine): boolean {
  if (machine.out.length <= machine.mostMotions) return false;
  machine.finding('state/too-many-motions', L, `found more than ${machine.mostMotions} motions`);
  machine.ended = true;
  return true;
}

/** Pecks of G83: feed by Q, rapid to the clear height, rapid back to just above the last bottom (NGC 3.5.16.4). */
export function peck(machine: Machine, axis: number, r: number, bottom: number, clear: number): void {
  const back = peckBackOff(machine.cyclePeck);
  const count = Math.ceil((r - bottom) / machine.cyclePeck - 1e-9);
  if (count > MOST_REPEATS) {
    machine.finding('state/too-many-motions', Q, `found ${count} pecks in one hole`);
    machine.ended = true;
    return;
  }
  for (let n = 1; n <= count; n++) {
    const depth = n === count ? bottom : r - n * machine.cyclePeck;
    machine.put(axis, depth);
    machine.push(FEED, CYCLE);
    if (n === count) return;
    machine.put(axis, clear);
    machine.push(RAPID, CYCLE);
    machine.put(axis, depth + back);
    machine.push(RAPID, CYCLE);
  }
  if (count === 0) {
    machine.put(axis, bottom);
    machine.push(FEED, CYCLE);
  }
}
