import { drillText, lengthText } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Cutter } from '@bedledger/fleet';
import { distance } from '@bedledger/geometry';
import { deepestInBed, noDepthInBed } from '../base/bed-depth.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Site } from '../layout/model.ts';
import { APPROACH } from '../motion/motion-writer.ts';
import { addFinding, sitesInOrder, type WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { bedUnknown, nothingAgainst, TOUCH_OFF_ON_BED } from './conditions.ts';
import { type CuttingJob, cut } from './descriptor.ts';
import { hasHelices, reachable, siteSection } from './moves.ts';
import { cutRound, peckFor, pointLength, type RoundCut, type RoundMethod, roundMethod } from './round-cut.ts';

/** One bore to start: gone round with the cutter, or only spotted (`method` null). */
interface Bore {
  readonly site: Site;
  readonly stack: Stack;
  readonly round: RoundCut;
  readonly method: RoundMethod | null;
}

interface BedMark extends CuttingJob {
  readonly bores: readonly Bore[];
}

/** Each insert's bore as deep as a program may go in the bed; the rest is drilled by hand. */
export const BED_MARK = cut<BedMark>({
  name: 'bed-mark',
  on: () => 'bed',
  notAsked: nothingAgainst,
  forbidden: (context) => {
    const { layout, progress } = context;
    const { markable, withInsert } = progress;
    if (markable.length > 0) return bedUnknown(context);
    if (layout.sites.length === 0) return 'the layout has no site to mark';
    return withInsert.length > 0
      ? 'every site has its insert or its bore: record a hole as filled before it is marked again'
      : 'every site is recorded as bored';
  },
  outputs: ['extraction'],
  decide: (context, _, cutter) => {
    const { machine, house } = context;
    const limit = deepestInBed(context);
    const refused = limitRefused(context, limit);
    if (refused !== null) return { refused };
    const bores = boresToStart(context, cutter, limit);
    if (typeof bores === 'string') return { refused: bores };
    if (bores.length === 0) {
      return { refused: 'no site that may be marked has a stack and is within the travel' };
    }
    const cutting = cuttingFor(
      cutter,
      machine.bed.material,
      { width: cutter.diameter, depth: Math.min(limit, cutter.diameter) },
      machine,
      house,
    );
    return { sites: bores.map(({ site }) => site.id), floor: -limit, cutting, fluteDepth: null, bores };
  },
  write: (writer, context, { bores, cutting }, cutter) => {
    const limit = deepestInBed(context);
    for (const [index, { site, round, method }] of bores.entries()) {
      siteSection(writer, site.id, index);
      if (method) {
        cutRound(writer, round, method, cutter, cutting);
        continue;
      }
      const depth = spotDepth(cutter, round.diameter, limit);
      writer.drill({
        at: site.actual,
        above: round.top + APPROACH,
        bottom: -depth,
        peck: peckFor(cutter.diameter, depth),
        feed: cutting.plungeFeed,
      });
    }
  },
  header: ({ machine: { units }, record }, { bores }) => {
    const drill = bores[0]!.stack.handDrill;
    return {
      title: bores.every(({ method }) => method === null)
        ? 'Spot the insert bores in the bed'
        : 'Start the insert bores in the bed',
      before: [
        record.state.board
          ? 'lift the board off: this program cuts the bare bed'
          : 'the bed is bare and clean',
        TOUCH_OFF_ON_BED,
        'ports plugged',
      ],
      after: [
        `drill on by hand, ${drillText(drill, units)}, to a full depth of ${lengthText(drill.depth, units)} below the bed surface; dry-fit an insert`,
      ],
      cautions: [CAUTIONS.ports, CAUTIONS.body, CAUTIONS.dust],
    };
  },
});

/** Depth of a spot whose rim is no wider than the bore, and no deeper than the limit; mm. */
export function spotDepth(cutter: Cutter, bore: number, limit: number): number {
  if (cutter.pointAngle >= 180) return limit;
  // A drill no wider than the bore may go on below its point; a wider cone stops where it is as wide as the bore.
  if (cutter.diameter <= bore) return limit;
  return Math.min(limit, pointLength(bore, cutter.pointAngle));
}

function limitRefused(context: WorkContext, limit: number): string | null {
  const none = noDepthInBed(context);
  if (none !== null) return `${none}: mark the sites by hand on an air pass`;
  const { travel, units } = context.machine;
  if (-limit < travel.z[0] - 1e-6) {
    return `the deepest cut in the bed, ${lengthText(limit, units)} below its surface, is below the spindle's travel, which ends at Z ${lengthText(travel.z[0], units)}`;
  }
  return null;
}

/** The bores that may be started; what keeps one from it is a finding. A sentence when the cutter can make none. */
function boresToStart(context: WorkContext, cutter: Cutter, limit: number): Bore[] | string {
  const { machine, house, progress } = context;
  const bores: Bore[] = [];
  for (const site of sitesInOrder(context)) {
    const stack = progress.markable.includes(site.id) ? context.stacks.get(site.id) : undefined;
    if (!stack || !mayBeMarked(context, site, stack, cutter)) continue;
    const round: RoundCut = {
      at: site.actual,
      diameter: stack.handDrill.diameter,
      top: context.overBed.stockTop,
      bottom: -limit,
      floor: false,
    };
    const method = roundMethod(round, cutter, house.feed.rampAngle, hasHelices(machine), machine.units);
    const spotted = typeof method === 'string' || method.kind === 'drill';
    if (spotted && !cutter.canPlunge) return `${String(method)}; name another cutter for the duty mark`;
    bores.push({ site, stack, round, method: spotted ? null : method });
  }
  return bores;
}

function mayBeMarked(context: WorkContext, site: Site, stack: Stack, cutter: Cutter): boolean {
  const { record } = context;
  if (!reachable(context, site, Math.max(0, (stack.handDrill.diameter - cutter.diameter) / 2))) {
    addFinding(context, {
      code: 'operations/out-of-reach',
      message: `bed-mark: site ${site.id} is beyond the travel`,
      help: 'bore it by hand from the drawing',
    });
    return false;
  }
  // An insert whose site the layout has lost may be near: no cutter comes near metal.
  const room = stack.handDrill.diameter + record.planned.insert.outside.value;
  const metal = record.state.inserts.find((insert) => distance(insert.at, site.actual) < room);
  if (metal) {
    addFinding(context, {
      code: 'operations/near-insert',
      message: `bed-mark: site ${site.id} is within a bore of the insert of ${metal.site}`,
      help: `keep the site where its insert is: \`bedledger explain ${record.machine.id} --as-given\` writes the present places out`,
      each: site.id,
    });
    return false;
  }
  return true;
}
