import { placeText } from '@bedledger/diagnostics';
import { inTravel } from '../base/safe-heights.ts';
import { countOf } from '../base/words.ts';
import type { Site } from '../layout/model.ts';
import { addFinding, sitesInOrder } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { nothingAgainst, TOUCH_OFF_ON_BED, touchOffOnBoard } from './conditions.ts';
import { type Job, visit } from './descriptor.ts';

interface AirPass extends Job {
  readonly visited: readonly Site[];
}

/** Visits every site at clear height, spindle off, with a pause at each. What is found there becomes a nudge. */
export const AIR_PASS = visit<AirPass>({
  name: 'air-pass',
  on: (record) => (record.state.board ? 'board' : 'bed'),
  notAsked: nothingAgainst,
  forbidden: nothingAgainst,
  stop: ['air-pass-site', 0.3],
  decide: (context) => {
    const visited: Site[] = [];
    for (const site of sitesInOrder(context)) {
      if (inTravel(context.machine, site.actual[0], site.actual[1])) {
        visited.push(site);
        continue;
      }
      addFinding(context, {
        code: 'operations/out-of-reach',
        message: `site ${site.id} at ${placeText(site.actual, context.machine.units)} is beyond the travel`,
        help: 'move the site with a nudge, or bore it by hand',
      });
    }
    if (visited.length === 0) return { refused: 'the layout has no site within the travel' };
    return { sites: visited.map((site) => site.id), floor: 0, visited };
  },
  write: (writer, _, { visited }) => {
    for (const site of visited) {
      writer.section(`site ${site.id}`);
      writer.over(site.actual[0], site.actual[1]);
      writer.stop(`site ${site.id}: is it on the land, clear of grooves and metal`);
    }
  },
  header: (context, { sites }) => ({
    title: 'Air pass over every site',
    before: [
      'spindle off for the whole pass',
      context.record.state.board ? touchOffOnBoard(context) : TOUCH_OFF_ON_BED,
      `${countOf(sites.length, 'stop')}: press start at each`,
    ],
    after: ['write what had to move into the profile as a nudge with its reason'],
    cautions: [CAUTIONS.moves],
  }),
});
