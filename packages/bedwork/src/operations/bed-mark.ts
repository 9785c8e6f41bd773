import { drillText, lengthText } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Cutter } from '@bedledger/fleet';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Interlocks } from '../interlocks/interlocks.ts';
import type { Site } from '../layout/model.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import { APPROACH, cutRound, peckFor, pointLength, roundMethod } from './circular-pocket.ts';
import {
  addFinding,
  assemble,
  cutterFor,
  finishCutting,
  hasHelices,
  type Outcome,
  outputsOf,
  reachable,
  reportTroubles,
  siteSection,
  sitesInOrder,
  type WorkContext,
  withheld,
  writerOn,
} from './context.ts';

/** Depth of a spot whose rim is no wider than the bore, and no deeper than the limit; mm. */
export function spotDepth(cutter: Cutter, bore: number, limit: number): number {
  const width = Math.min(cutter.diameter, bore);
  if (cutter.pointAngle >= 180) return limit;
  const tip = pointLength(width, cutter.pointAngle);
  // A drill no wider than the bore may go on below its point; a wider cone stops where it is as wide as the bore.
  return cutter.diameter <= bore ? limit : Math.min(limit, tip);
}

/** Each insert's bore to the cut limit at most; the rest is drilled by hand. */
export function bedMark(context: WorkContext, locks: Interlocks): Outcome {
  if (locks.bedMark !== null) return withheld('bed-mark', locks.bedMark);
  const { machine, house, record } = context;
  const cutter = cutterFor(context, 'mark');
  if (!cutter) return withheld('bed-mark', 'the profile names no cutter for marking');
  const limit = machine.bed.cutLimit;
  if (!(limit > 0)) {
    return withheld(
      'bed-mark',
      'the bed may not be cut at all (cut limit 0): mark the sites by hand on an air pass',
    );
  }
  if (-limit < machine.travel.z[0] - 1e-6) {
    return withheld(
      'bed-mark',
      `the cut limit, ${lengthText(limit, machine.units)} below the bed surface, is below the spindle's travel, which ends at Z ${lengthText(machine.travel.z[0], machine.units)}`,
    );
  }
  const allowed = new Set(locks.markable);
  const sites: { site: Site; stack: Stack }[] = [];
  for (const site of sitesInOrder(context, (s) => allowed.has(s.id))) {
    const stack = context.stacks.get(site.id);
    if (!stack) continue;
    if (!reachable(context, site, Math.max(0, (stack.handDrill.diameter - cutter.diameter) / 2))) {
      addFinding(context, {
        code: 'operations/out-of-reach',
        message: `bed-mark: site ${site.id} is beyond the travel`,
        help: 'bore it by hand from the drawing',
      });
      continue;
    }
    // An insert whose site the layout has lost may be near: no cutter comes near metal.
    const metal = record.state.inserts.find((insert) => {
      const dx = insert.at[0] - site.actual[0];
      const dy = insert.at[1] - site.actual[1];
      return Math.sqrt(dx * dx + dy * dy) < stack.handDrill.diameter + record.fixing.insert.outside.value;
    });
    if (metal) {
      addFinding(context, {
        code: 'operations/near-insert',
        message: `bed-mark: site ${site.id} is within a bore of the insert of ${metal.site}`,
        help: `keep the site where its insert is (\`given\`), or record the hole of ${metal.site} as filled`,
      });
      continue;
    }
    sites.push({ site, stack });
  }
  if (sites.length === 0) {
    return withheld('bed-mark', 'no site that may be marked has a stack and is within the travel');
  }
  const cutting = cuttingFor(
    cutter,
    machine.bed.material,
    { width: cutter.diameter, depth: Math.min(limit, cutter.diameter) },
    machine,
    house,
  );
  reportTroubles(context, 'bed-mark', cutting.troubles);
  const writer = writerOn(context, 'bed', -limit);
  const top = context.overBed.stockTop;
  writer.running(cutting.rpm, outputsOf(context, ['extraction']));
  let spots = 0;
  for (const [index, { site, stack }] of sites.entries()) {
    const bore = stack.handDrill.diameter;
    const cut = { at: site.actual, diameter: bore, top, bottom: -limit, floor: false };
    const method = roundMethod(cut, cutter, house.feed.rampAngle, hasHelices(machine), machine.units);
    siteSection(writer, site.id, index);
    if (typeof method === 'string' || method.kind === 'drill') {
      if (!cutter.canPlunge)
        return withheld('bed-mark', `${String(method)}; name another cutter for the duty mark`);
      spots += 1;
      const depth = spotDepth(cutter, bore, limit);
      writer.drill(
        site.actual[0],
        site.actual[1],
        top + APPROACH,
        -depth,
        peckFor(cutter.diameter, depth),
        cutting.plungeFeed,
      );
    } else {
      cutRound(writer, cut, method, cutter, cutting);
    }
  }
  const first = sites[0]!.stack.handDrill;
  return assemble(context, {
    operation: 'bed-mark',
    name: 'bed-mark',
    title: spots === sites.length ? 'Spot the insert bores in the bed' : 'Start the insert bores in the bed',
    on: 'bed',
    cutter,
    cutting,
    before: [
      ...(record.state.board
        ? ['lift the board off: this program cuts the bare bed']
        : ['the bed is bare and clean']),
      'touch off on the bed: Z 0 is the bed surface',
      'ports plugged',
    ],
    after: [
      `drill on by hand, ${drillText(first, machine.units)}, to a full depth of ${lengthText(first.depth, machine.units)} below the bed surface; dry-fit an insert`,
    ],
    cautions: [CAUTIONS.ports, CAUTIONS.body, CAUTIONS.dust],
    sites: sites.map(({ site }) => site.id),
    moves: finishCutting(context, writer),
  });
}
