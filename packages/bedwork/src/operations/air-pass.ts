import { placeText } from '@bedledger/diagnostics';
import { countOf } from '../interlocks/interlocks.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import {
  addFinding,
  assemble,
  handMinutes,
  type Outcome,
  sitesInOrder,
  type WorkContext,
  withheld,
  writerOn,
} from './context.ts';
import { inTravel } from './link-height.ts';
import { touchOff } from './socket-pockets.ts';

/** Visits every site at clear height, spindle off, with a pause at each. What is found there becomes a nudge. */
export function airPass(context: WorkContext): Outcome {
  const all = sitesInOrder(context);
  const sites = all.filter((site) => inTravel(context.machine, site.actual[0], site.actual[1]));
  for (const site of all) {
    if (sites.includes(site)) continue;
    addFinding(context, {
      code: 'operations/out-of-reach',
      message: `site ${site.id} at ${placeText(site.actual, context.machine.units)} is beyond the travel`,
      help: 'move the site with a nudge, or bore it by hand',
    });
  }
  if (sites.length === 0) return withheld('air-pass', 'the layout has no site within the travel');
  const on = context.record.state.board ? 'board' : 'bed';
  const writer = writerOn(context, on, 0);
  for (const site of sites) {
    writer.section(`site ${site.id}`);
    writer.over(site.actual[0], site.actual[1]);
    writer.stop(`site ${site.id}: is it on the land, clear of grooves and metal`);
  }
  return assemble(context, {
    operation: 'air-pass',
    name: 'air-pass',
    title: 'Air pass over every site',
    on,
    cutter: null,
    before: [
      'spindle off for the whole pass',
      on === 'board' ? touchOff(context) : 'touch off on the bed: Z 0 is the bed surface',
      `${countOf(sites.length, 'stop')}: press start at each`,
    ],
    after: ['write what had to move into the profile as a nudge with its reason'],
    cautions: [CAUTIONS.moves],
    sites: sites.map((site) => site.id),
    moves: writer.finish(),
    stopMinutes: handMinutes(context, 'air-pass-site', 0.3),
  });
}
