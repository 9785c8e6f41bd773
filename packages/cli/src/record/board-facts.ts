import type { FactWritten } from '@bedledger/fleet';
import type { BoardFact, RecordCall } from './call.ts';
import { boardFacts, pocketFacts } from './pocket-facts.ts';
import { screwsFacts } from './screw-facts.ts';

/** What each fact of a board, its pockets and its screws takes from the call. */
export const BOARD_FACT: Readonly<Record<BoardFact, (call: RecordCall) => FactWritten[]>> = {
  board: (call) => {
    call.noSites();
    return boardFacts(call);
  },
  pocket: (call) => pocketFacts(call),
  screws: screwsFacts,
};
