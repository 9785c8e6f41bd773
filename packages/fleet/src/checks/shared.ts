import type { Fault } from './fault.ts';

/** Facts of one shared file that contradict each other. */
export function sharedFaults(_file: string, _written: unknown): Fault[] {
  return [];
}
