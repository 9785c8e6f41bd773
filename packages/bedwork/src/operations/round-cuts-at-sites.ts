import type { Stack } from '@bedledger/fasteners';
import type { Cutter, Duty, OperationName } from '@bedledger/fleet';
import type { Cutting } from '../feeds/cutting.ts';
import type { Site } from '../layout/model.ts';
import type { MotionWriter } from '../motion/motion-writer.ts';
import { addFinding, sitesInOrder, type WorkContext } from '../work/context.ts';
import type { CuttingJob } from './descriptor.ts';
import { hasHelices, reachable, siteSection } from './moves.ts';
import { cutRound, type RoundCut, type RoundMethod, roundMethod } from './round-cut.ts';

/** A round cut at one site, and how it is made. */
export interface SiteCut {
  readonly site: Site;
  readonly round: RoundCut;
  readonly method: RoundMethod;
}

export interface RoundCutsJob extends CuttingJob {
  readonly cuts: readonly SiteCut[];
}

/**
 * The round cuts of an operation at every site that has a stack, in visiting order. A site that the spindle does not
 * reach is left out with a finding. A sentence instead when the cutter cannot make one of them, or no site is left.
 *
 * @param what.byHand - what to do at a site out of reach, after `move the site with a nudge, or`
 */
export function roundCutsAtSites(
  context: WorkContext,
  cutter: Cutter,
  what: {
    readonly operation: OperationName;
    readonly duty: Duty;
    readonly byHand: string;
    readonly cut: (site: Site, stack: Stack) => RoundCut;
  },
): SiteCut[] | string {
  const { machine, house } = context;
  const cuts: SiteCut[] = [];
  for (const site of sitesInOrder(context)) {
    const stack = context.stacks.get(site.id);
    if (!stack) continue;
    const round = what.cut(site, stack);
    const method = roundMethod(round, cutter, house.feed.rampAngle, hasHelices(machine), machine.units);
    if (typeof method === 'string') return `${method}; name another cutter for the duty ${what.duty}`;
    if (reachable(context, site, method.finish)) {
      cuts.push({ site, round, method });
      continue;
    }
    addFinding(context, {
      code: 'operations/out-of-reach',
      message: `${what.operation}: site ${site.id} is beyond the travel`,
      help: `move the site with a nudge, or ${what.byHand}`,
    });
  }
  return cuts.length === 0 ? 'no site has a stack and is within the travel' : cuts;
}

/** Writes them one after the other, with a restart point at the first and at every eighth. */
export function writeRoundCuts(
  writer: MotionWriter,
  cuts: readonly SiteCut[],
  cutter: Cutter,
  cutting: Cutting,
): void {
  for (const [index, { site, round, method }] of cuts.entries()) {
    siteSection(writer, site.id, index);
    cutRound(writer, round, method, cutter, cutting);
  }
}
