import type { RuleTable } from '@bedledger/diagnostics';
import { SURVEY_REFUSED } from './survey.ts';

/** Where one of these is found the layout is not the one that was drilled, for a reason of its own. */
const NO_PLACES = [...SURVEY_REFUSED, 'stack/thread-differs', 'layout/no-land', 'layout/impossible'] as const;

/** Sites stand where their holes are, and the rest of the layout is made for other places. */
export const HOLES_ELSEWHERE = [...NO_PLACES, 'layout/lost-site', 'layout/moved-site'] as const;

/** Where the board may be fixed, and what the bed already holds. */
export const LAYOUT_RULES = {
  'layout/no-land': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the sites around hold the board without it' }],
    title: 'no sound bed where a site must be',
    why: 'An insert needs a wall of sound bed around it. Bored too near a groove, a port or an edge it breaks out when its screw is driven, and the vacuum leaks there for good.',
    remedy: 'let the site move (`fixing.layout.nudge_max`), or use a fixing that needs less room',
    follows: SURVEY_REFUSED,
  },
  'layout/edge-and-pitch': {
    severity: 'warn',
    also: [
      { severity: 'stop', when: 'the least distance from the edge is already more than half the pitch' },
    ],
    title: 'the edge rule and the pitch contradict each other',
    why: 'The pitch says how far any point of the board may be from a site. Outer sites that stand farther from the edge than half of it leave the edge unheld, whatever the others do.',
    remedy: 'lower `fixing.layout.edge` to half of the pitch, or raise `fixing.layout.pitch_max`',
    follows: SURVEY_REFUSED,
  },
  'layout/impossible': {
    severity: 'stop',
    title: 'no layout obeys the rules of the profile',
    why: 'A board that is held too far from its nearest screw lifts and hums there, and the skim comes out uneven. A site where there is no room for it cannot be bored.',
    remedy: 'change `fixing.layout.pitch_max` or `fixing.layout.edge`, or use a smaller fixing',
    follows: SURVEY_REFUSED,
  },
  'layout/edge-out-of-reach': {
    severity: 'warn',
    title: 'the outer sites stand farther from the edge than the profile asks for',
    why: 'An edge that no screw holds close by curls up as the board dries. The cutter then takes more off it than elsewhere, or a sheet rides up on it.',
    remedy: 'hold that edge down by other means, or move the board',
    follows: SURVEY_REFUSED,
  },
  'layout/clearance': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the bore is in the bed already and only the bed is near it' }],
    title: 'a site is too near to something',
    why: 'A bore that runs into a groove, a port or an edge has no wall to hold its insert, and a pocket that runs into another or over the edge leaves no board to press on.',
    remedy: 'move the site away from what it is too near to',
    follows: HOLES_ELSEWHERE,
  },
  'layout/nudge': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the bore is in the bed already and only the bed is near it' }],
    title: 'a nudge brings a site too near to something',
    why: 'The nudge was found by eye on an air pass; the distances say that its bore or pocket would run into something that the eye did not see.',
    remedy: 'make the nudge smaller, or turn it another way',
    follows: HOLES_ELSEWHERE,
  },
  'layout/unknown-nudge': {
    severity: 'stop',
    title: 'a nudge names a site that the layout does not have',
    why: 'The nudge was found for a place on this bed. When its site has another name now, the place that had to move stays where it was and is bored there.',
    remedy: 'remove the nudge, or give it the name that its site has now',
    follows: [...SURVEY_REFUSED, 'layout/no-land', 'layout/impossible'],
  },
  'layout/coverage': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the sites are written out, or nudges and the survey account for it' }],
    title: 'a part of the board is too far from any site',
    why: 'The board lifts and hums where no screw holds it, and the skim comes out uneven there.',
    remedy:
      'add a site there with pattern given, or raise fixing.layout.pitch_max if the board is stiff enough',
    follows: HOLES_ELSEWHERE,
  },
  'layout/no-sites': {
    severity: 'stop',
    title: 'the pattern is given and no site is written out',
    why: 'Without a site nothing holds the board.',
    remedy: 'write the positions into fixing.layout.sites, or use pattern aligned or fewest',
  },
  'layout/duplicate-site': {
    severity: 'stop',
    title: 'two sites have one name',
    why: 'The ledger keeps bores and inserts by the name of their site. With one name for two places nobody can tell which of them holds metal.',
    remedy: 'give every site a name of its own',
  },
  'layout/bad-position': {
    severity: 'stop',
    title: 'a position is not a place',
    why: 'The machine cannot be sent to a position that is not two numbers.',
    remedy: 'write its X and Y as numbers',
  },
  'layout/near-filled': {
    severity: 'warn',
    title: 'a site lies beside a filled bore',
    why: 'A filled bore is weaker than the bed around it. An insert that is set beside it may pull out together with the filling.',
    remedy: 'move the site with a nudge, or make sure that the filling carries',
    follows: HOLES_ELSEWHERE,
  },
  'layout/lost-site': {
    severity: 'stop',
    title: 'the bed has a bore or an insert that the layout no longer knows',
    why: 'A hole in a bed does not move. A board that is cut for another layout has no hole over the insert, and a cutter may meet metal that no program knows of.',
    remedy:
      'write the present places out with pattern given (`bedledger explain <machine> --as-given`), or record a hole as filled when its insert is out and it is plugged',
    follows: NO_PLACES,
  },
  'layout/moved-site': {
    severity: 'stop',
    title: 'the layout would move a site whose bore or insert is in the bed',
    why: 'A hole in a bed does not move. A board that is cut for the new place does not fit the old one, and a second bore beside the first has no wall.',
    remedy:
      'write the present places out with pattern given (`bedledger explain <machine> --as-given`), or record a hole as filled when its insert is out and it is plugged',
    follows: NO_PLACES,
  },
} as const satisfies RuleTable;
