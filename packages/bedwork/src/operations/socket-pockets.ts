import { cuttingFor } from '../feeds/cutting.ts';
import type { Interlocks } from '../interlocks/interlocks.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import { cutRound, roundMethod } from './circular-pocket.ts';
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

/** The socket pockets in the board: helical entry, rings where a post would stay, flat floor, finish lap. */
export function socketPockets(context: WorkContext, locks: Interlocks): Outcome {
  if (locks.pockets !== null) return withheld('socket-pockets', locks.pockets);
  const { machine, house, record } = context;
  const cutter = cutterFor(context, 'pocket');
  if (!cutter) return withheld('socket-pockets', 'the profile names no cutter for pockets');
  const top = context.overBoard.stockTop;
  const cutting = cuttingFor(
    cutter,
    record.stock.material,
    // Slot on the entry helix, half the cutter on the rings: the feed is the one that both bear.
    { width: cutter.diameter, depth: cutter.diameter },
    machine,
    house,
  );
  const lowest = Math.min(...[...context.stacks.values()].map((stack) => stack.web));
  const writer = writerOn(context, 'board', Number.isFinite(lowest) ? lowest : 0);
  writer.running(cutting.rpm, outputsOf(context, ['extraction']));
  const done: string[] = [];
  for (const site of sitesInOrder(context)) {
    const stack = context.stacks.get(site.id);
    if (!stack) continue;
    const cut = { at: site.actual, diameter: stack.pocketDiameter, top, bottom: stack.web, floor: true };
    const method = roundMethod(cut, cutter, house.feed.rampAngle, hasHelices(machine), machine.units);
    if (typeof method === 'string')
      return withheld('socket-pockets', `${method}; name another cutter for the duty pocket`);
    if (!reachable(context, site, method.finish)) {
      addFinding(context, {
        code: 'operations/out-of-reach',
        message: `socket-pockets: site ${site.id} is beyond the travel`,
        help: 'move the site with a nudge, or cut its pocket by hand',
      });
      continue;
    }
    siteSection(writer, site.id, done.length);
    cutRound(writer, cut, method, cutter, cutting);
    done.push(site.id);
  }
  if (done.length === 0) return withheld('socket-pockets', 'no site has a stack and is within the travel');
  reportTroubles(context, 'socket-pockets', cutting.troubles);
  checkCuttingLength(context, 'socket-pockets', cutter, top - lowest);
  return assemble(context, {
    operation: 'socket-pockets',
    name: 'socket-pockets',
    title: 'Socket pockets in the board',
    on: 'board',
    cutter,
    cutting,
    before: ['the board lies at its place on the bed, held, chips out from under it', touchOff(context)],
    after: ['measure the depth of two pockets and write it down'],
    cautions: [
      CAUTIONS.dust,
      CAUTIONS.body,
      CAUTIONS.fire,
      ...(locks.withSet.length > 0 ? [CAUTIONS.metal] : []),
    ],
    sites: done,
    moves: finishCutting(context, writer),
  });
}

/** How Z 0 is set before a program in the board. */
export function touchOff(context: WorkContext): string {
  return context.machine.zZero === 'bed'
    ? 'touch off on the board and key in the measured thickness: Z 0 is the bed surface'
    : "touch off on the board: Z 0 is the board's top";
}
