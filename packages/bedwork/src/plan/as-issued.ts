import type { Fixing } from '@bedledger/fasteners';
import { stackPlace } from '../base/board-work.ts';
import { inPocket, type StackSite } from '../base/stack-input.ts';
import { drilledDiameter } from '../operations/clearance-holes.ts';
import type { WorkPlan } from './plan.ts';

/** A site of the board as the issued programs and the run sheet make it, mm; the floor is above the bed. */
export interface IssuedSite {
  readonly screwLength: number;
  readonly pocketFloor: number;
  readonly pocketDiameter: number;
  /** As it is in the end: opened to its full diameter where the sheet asks for that. */
  readonly holeDiameter: number;
}

/** What a site's pocket and hole become when the board is cut as planned; null for a site without a stack. */
export function issuedAt(plan: WorkPlan, site: string): IssuedSite | null {
  const stack = plan.stacks.get(site);
  if (!stack) return null;
  const { machine, cutters } = plan.record;
  const drill = cutters.get(machine.cutters.drill);
  const byHand = stack.holeNeed.opened || drill === undefined;
  return {
    screwLength: stack.screwLength,
    pocketFloor: stack.web,
    pocketDiameter: stack.pocketDiameter,
    holeDiameter: byHand ? stack.clearanceDiameter : drilledDiameter(drill, stack.clearanceDiameter),
  };
}

/** Length of a fixing's screw for the pocket that is cut at a site, mm; null where no floor is on record. */
export function lengthInPocket({ record, work }: WorkPlan, site: StackSite, fixing: Fixing): number | null {
  return inPocket(record, site.id, stackPlace(record, work, site), fixing)?.stack.screwLength ?? null;
}
