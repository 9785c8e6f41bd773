import type { BlockScanner } from './block-scanner.ts';
import { executeBlock, store } from './block-words.ts';
import type { Machine } from './machine.ts';
import { AXES, bit, F, G0, G1, PLAIN } from './words.ts';

/**
 * Carries blocks out. Most lines of most programs are G0 or G1 with axis words and F, with every mode stated long
 * before: these are executed here, every other block by `executeBlock`.
 */
export class Interpreter {
  private readonly machine: Machine;
  private readonly block: BlockScanner;
  private plain = false;

  constructor(machine: Machine, block: BlockScanner) {
    this.machine = machine;
    this.block = block;
  }

  /** Carries out the block the scanner holds. */
  execute(): void {
    const b = this.block;
    const machine = this.machine;
    const mask = b.mask;
    if (mask === 0 && b.gCount === 0 && b.mCount === 0) {
      if (b.settings.length > 0) {
        machine.blocks++;
        store(machine);
      }
      return;
    }
    machine.blocks++;
    if (
      this.plain &&
      b.mCount === 0 &&
      (mask & ~PLAIN) === 0 &&
      (mask & AXES) !== 0 &&
      (b.gCount === 0 || (b.gCount === 1 && b.gMask === 2 && (b.g[1] === G0 || b.g[1] === G1))) &&
      b.settings.length === 0
    ) {
      if (b.gCount === 1) machine.motion = b.g[1]!;
      if ((mask & bit(F)) !== 0) machine.feed = b.value[F]!;
      machine.straight(mask);
      return;
    }
    executeBlock(machine);
    this.plain = isPlain(machine);
  }
}

/** Is everything stated and usual, so that a plain block can mean one thing only? */
function isPlain(machine: Machine): boolean {
  const c = machine.profile.controller;
  const offset = machine.axisOffset;
  return (
    machine.moved &&
    machine.scale !== 0 &&
    machine.distance !== 0 &&
    machine.feedMode === 1 &&
    (machine.motion === G0 || machine.motion === G1) &&
    !machine.feedStale &&
    !machine.interrupted &&
    c.modal.motion &&
    c.feed.word === 'modal' &&
    !(machine.strict && machine.distance === 2 && c.distance === 'absolute') &&
    !Number.isNaN(offset[0] + offset[1] + offset[2])
  );
}
