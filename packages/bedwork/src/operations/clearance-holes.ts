import { lengthText, type Units } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Cutter } from '@bedledger/fleet';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Interlocks } from '../interlocks/interlocks.ts';
import { countOf, listOf } from '../interlocks/interlocks.ts';
import type { Site } from '../layout/model.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import { cutRound, pointLength, roundMethod } from './circular-pocket.ts';
import {
  addFinding,
  assemble,
  checkCuttingLength,
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
import { touchOff } from './socket-pockets.ts';

/** A flat cutter that is to come through goes this far past the surface, mm (common practice, no source). */
const BREAK_THROUGH = 0.5;

/**
 * Lowest point of the cutter, tip included, for one hole; mm above the bed.
 *
 * Refit stops the skin above the bed. First fit ends on the bed surface and leaves the burr to the hand, except where
 * the ledger says that the bed is bored at least as wide: there it breaks through, by the point's length and a little,
 * and never deeper than the cut limit.
 */
export function holeBottom(input: {
  readonly form: 'first-fit' | 'refit';
  readonly refitSkin: number;
  readonly cutLimit: number;
  readonly bored: { readonly diameter: number; readonly depth: number } | null;
  readonly holeDiameter: number;
  readonly point: number;
}): number {
  if (input.form === 'refit') return input.refitSkin;
  const { bored } = input;
  if (!bored || bored.diameter < input.holeDiameter - 1e-6) return 0;
  return -Math.min(input.cutLimit, bored.depth, input.point + BREAK_THROUGH);
}

/** The clearance holes in the board, as first fit or as refit. */
export function clearanceHoles(
  context: WorkContext,
  locks: Interlocks,
  form: 'first-fit' | 'refit',
): Outcome {
  const reason = form === 'refit' ? locks.refit : locks.firstFit;
  if (reason !== null) return withheld('clearance-holes', reason, form);
  const { machine, house, record } = context;
  const cutter = cutterFor(context, 'drill');
  if (!cutter) return withheld('clearance-holes', 'the profile names no cutter for drilling', form);
  const cutting = cuttingFor(
    cutter,
    record.stock.material,
    { width: cutter.diameter, depth: cutter.diameter },
    machine,
    house,
  );
  const top = context.overBoard.stockTop;
  const point = pointLength(cutter.diameter, cutter.kind === 'drill' ? cutter.pointAngle : 180);
  const holes: { site: Site; stack: Stack; bottom: number; diameter: number }[] = [];
  for (const site of sitesInOrder(context)) {
    const stack = context.stacks.get(site.id);
    if (!stack) continue;
    const diameter = form === 'refit' ? stack.refitDiameter : stack.clearanceDiameter;
    const entry = record.state.sites.get(site.id);
    const bored =
      locks.bored.has(site.id) && entry ? { diameter: entry.diameter ?? 0, depth: entry.depth ?? 0 } : null;
    const bottom = holeBottom({
      form,
      refitSkin: house.stack.refitSkin,
      cutLimit: machine.bed.cutLimit,
      bored,
      holeDiameter: diameter,
      point,
    });
    holes.push({ site, stack, bottom: Math.max(bottom, machine.travel.z[0]), diameter });
  }
  const lowest = Math.min(...holes.map((hole) => hole.bottom), top);
  const writer = writerOn(context, 'board', lowest);
  writer.running(cutting.rpm, outputsOf(context, ['extraction']));
  const done: string[] = [];
  const onSurface: string[] = [];
  for (const { site, bottom, diameter } of holes) {
    const cut = { at: site.actual, diameter: fitted(cutter, diameter), top, bottom, floor: false };
    const method = roundMethod(cut, cutter, house.feed.rampAngle, hasHelices(machine), machine.units);
    if (typeof method === 'string') {
      return withheld('clearance-holes', `${method}; name another cutter for the duty drill`, form);
    }
    if (!reachable(context, site, method.finish)) {
      addFinding(context, {
        code: 'operations/out-of-reach',
        message: `clearance-holes: site ${site.id} is beyond the travel`,
        help: 'move the site with a nudge, or bore it by hand',
      });
      continue;
    }
    siteSection(writer, site.id, done.length);
    cutRound(writer, cut, method, cutter, cutting);
    done.push(site.id);
    if (form === 'first-fit' && bottom >= 0) onSurface.push(site.id);
  }
  if (done.length === 0) {
    return withheld('clearance-holes', 'no site has a stack and is within the travel', form);
  }
  reportTroubles(context, 'clearance-holes', cutting.troubles);
  checkCuttingLength(context, 'clearance-holes', cutter, top - lowest);
  return assemble(context, {
    operation: 'clearance-holes',
    form,
    name: `clearance-holes-${form}`,
    title:
      form === 'refit' ? 'Clearance holes in the board, refit' : 'Clearance holes in the board, first fit',
    on: 'board',
    cutter,
    cutting,
    before: [
      touchOff(context),
      ...(form === 'first-fit'
        ? ['no insert is in the bed', 'chips taken out of the pockets with a vacuum cleaner']
        : []),
    ],
    after:
      form === 'refit'
        ? [
            `break through the last ${lengthText(house.stack.refitSkin, machine.units)} by hand, then ream every hole to its full diameter (${range(
              holes.map((h) => h.stack.clearanceDiameter),
              machine.units,
            )}) with the board off the bed`,
          ]
        : onSurface.length > 0
          ? [
              `the holes of ${countOf(onSurface.length, 'site')} (${listOf(onSurface)}) end on the bed surface: clear the burr by hand`,
            ]
          : ['lift the board and look at every bore'],
    cautions: [CAUTIONS.dust, CAUTIONS.body, CAUTIONS.fire, ...(form === 'refit' ? [CAUTIONS.metal] : [])],
    sites: done,
    moves: finishCutting(context, writer),
  });
}

/** A drill a little wider than the hole makes it its own size: at most 0.3 mm over. */
function fitted(cutter: Cutter, diameter: number): number {
  const over = cutter.diameter - diameter;
  return cutter.canPlunge && over > 0 && over <= 0.3 ? cutter.diameter : diameter;
}

function range(values: readonly number[], units: Units): string {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const [from, to] = [lengthText(low, units), lengthText(high, units)];
  return from === to ? from : `${from} to ${to}`;
}
