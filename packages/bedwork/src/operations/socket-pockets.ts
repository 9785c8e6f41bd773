import { cuttingFor } from '../feeds/cutting.ts';
import { CAUTIONS } from './cautions.ts';
import { isPocketed, noBoard, nothingAgainst, touchOffOnBoard } from './conditions.ts';
import { cut } from './descriptor.ts';
import { type RoundCutsJob, roundCutsAtSites, writeRoundCuts } from './round-cuts-at-sites.ts';

/** The socket pockets in the board: helical entry, rings where a post would stay, flat floor, finish lap. */
export const SOCKET_POCKETS = cut<RoundCutsJob>({
  name: 'socket-pockets',
  on: () => 'board',
  notAsked: nothingAgainst,
  forbidden: (context) => {
    if (isPocketed(context)) {
      return 'the board is recorded as pocketed: screws and heads may stand in its pockets; record a new board to cut them again';
    }
    return noBoard(context);
  },
  outputs: ['extraction'],
  decide: (context, _, cutter) => {
    const { machine, house, record } = context;
    const top = context.overBoard.stockTop;
    const cuts = roundCutsAtSites(context, cutter, {
      operation: 'socket-pockets',
      duty: 'pocket',
      byHand: 'cut its pocket by hand',
      cut: (site, stack) => ({
        at: site.actual,
        diameter: stack.pocketDiameter,
        top,
        bottom: stack.web,
        floor: true,
      }),
    });
    if (typeof cuts === 'string') return { refused: cuts };
    const floor = Math.min(...cuts.map(({ round }) => round.bottom));
    const cutting = cuttingFor(
      cutter,
      record.stock.material,
      // The entry helix cuts a full slot, the rings less than half the cutter's width: the slot's feed is safe for both.
      { width: cutter.diameter, depth: cutter.diameter },
      machine,
      house,
    );
    return { sites: cuts.map(({ site }) => site.id), floor, cutting, fluteDepth: top - floor, cuts };
  },
  write: (writer, _, { cuts, cutting }, cutter) => writeRoundCuts(writer, cuts, cutter, cutting),
  header: (context) => ({
    title: 'Socket pockets in the board',
    before: [
      'the board lies at its place on the bed, held, chips out from under it',
      touchOffOnBoard(context),
    ],
    after: ['measure the depth of two pockets and write it down'],
    cautions: [
      CAUTIONS.dust,
      CAUTIONS.body,
      CAUTIONS.fire,
      ...(context.progress.withInsert.length > 0 ? [CAUTIONS.metal] : []),
    ],
  }),
});
