import type { RuleTable } from '@bedledger/diagnostics';
import { schemaRules } from './schema.ts';

/** What the ledger can say that cannot have happened, and what can go wrong with its file. */
export const LEDGER_RULES = {
  ...schemaRules('ledger'),

  // The order of the facts.
  'ledger/date-order': {
    severity: 'warn',
    title: 'an entry is older than the one before it',
    why: 'Facts count in the order of the file: the last one about a site or a board is the one that holds.',
    remedy:
      'correct the date, move the entry to its place when a merge put it last, or leave it when it was written down late',
  },
  'ledger/impossible-order': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'for an entry that changes nothing about where a cutter may go' }],
    title: 'something is recorded that could not be done at that moment',
    why: 'Programs are computed from what the ledger says stands on the bed; with an entry missing or wrong a cutter can meet metal.',
    remedy: 'correct the entry, or record what happened before it',
  },
  'ledger/repeated': {
    severity: 'warn',
    also: [{ severity: 'note', when: 'for a site that was marked once more' }],
    title: 'the same step is recorded twice for one site',
    why: 'One of the two is probably of another site, which then has no entry.',
    remedy: 'look which site the entry is of; the later entry counts',
  },
  'ledger/skipped-step': {
    severity: 'warn',
    title: 'a step of a site is recorded without the one before it',
    why: 'No insert is set without a bore: an entry is missing, or it is of another site.',
    remedy: 'record the missing step, with its date',
  },

  'ledger/other-units': {
    severity: 'stop',
    title: 'facts to be recorded are in another unit than the ledger',
    why: 'A bare number would change its meaning on the way: 0.7 inches would become 0.7 millimetres.',
    remedy: 'write the facts in the unit of the ledger, or each length with its own unit',
  },
  'ledger/future': {
    severity: 'warn',
    title: 'a fact is dated in the future',
    why: 'What is recorded has happened. A date to come is nearly always a typing error, and later facts would stand before it.',
    remedy: 'withdraw the fact and record it again with its day, unless the clock of the computer is wrong',
  },
  'ledger/facts-gone': {
    severity: 'stop',
    title: 'facts that the ledger had are gone from it',
    why: 'What is in the bed stays there, whether the file says so or not. Without its facts the programs that cut through inserts are issued again.',
    remedy:
      'put the lines back from the version that had them; a fact that was wrong is withdrawn with `bedledger record <machine> withdraw`, never erased',
  },
  'ledger/withdraws-nothing': {
    severity: 'stop',
    title: 'a withdrawal names no fact that can be withdrawn',
    why: 'Which fact is wrong must not be guessed: reckoned with the wrong one taken out, the bed looks other than it is.',
    remedy: 'name the fact by its number from the top of the list, with its kind and its day',
  },

  // Facts against each other and against the bed.
  'ledger/moved': {
    severity: 'stop',
    title: 'one site is recorded at two places',
    why: 'A hole in the bed does not move: cutters would be kept away from the wrong one of the two places.',
    remedy: 'correct one of the two positions',
  },
  'ledger/outside-bed': {
    severity: 'stop',
    title: 'a site is recorded beside the bed',
    why: 'Its insert is somewhere else, and cutters are not kept away from it there.',
    remedy: 'correct the position or its unit',
  },
  'ledger/bore-depth': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'for a bore that leaves less of the bed than its floor' }],
    title: 'a bore is recorded deeper than the bed allows',
    why: 'A bore through the bed leaks, and an insert in it can be pushed out.',
    remedy: 'measure the bore, and correct the depth or its unit',
  },
  'ledger/not-plausible': {
    severity: 'stop',
    title: 'a figure that no board, screw or drawing can have',
    why: 'The limit of the next skim is computed from it.',
    remedy: 'correct the reading or its unit',
  },
  'ledger/other-thread': {
    severity: 'stop',
    title: 'screws are recorded in inserts of another thread',
    why: 'No such screw goes into them: either the screws or the inserts are others than recorded, and cover and hold are reckoned from both.',
    remedy: 'look which screws stand there, and name their fixing',
  },
  'ledger/spread': {
    severity: 'warn',
    title: 'readings of one board differ much',
    why: 'One of them may be a typing error, and the lowest one decides how deep the next skim may go.',
    remedy: 'measure again',
  },
  'ledger/grows': {
    severity: 'stop',
    title: 'the board is thicker after a skim than before it',
    why: 'A reading is wrong, or another board was fitted: cover over the screw heads is computed from it.',
    remedy: 'measure again, or record the new board that was fitted in between',
  },
  'ledger/skim-differs': {
    severity: 'warn',
    title: 'a skim took off much more or less than was commanded',
    why: 'Z 0 was not where the program took it to be, or a reading is wrong.',
    remedy: 'measure the thickness again in several places',
  },
  'ledger/other-stock': {
    severity: 'note',
    also: [{ severity: 'warn', when: 'the two are of different material' }],
    title: 'the board on the bed is not of the stock that the profile asks for',
    why: 'What is cut, how fast, and how much air goes through it is reckoned for the board that lies there. Somebody may have taken the wrong sheet, or written the wrong stock down.',
    remedy: 'withdraw the fact and record the right stock when it was a slip; else leave it',
  },
  'ledger/no-chip-load': {
    severity: 'stop',
    title: 'a cutter is not made for the board on the bed',
    why: 'Without a chip load for that material nobody knows a feed that neither burns it nor breaks the cutter.',
    remedy: 'add the material to the chip loads of the cutter, from its maker’s sheet',
  },
  'ledger/unknown-reference': {
    severity: 'warn',
    also: [{ severity: 'stop', when: 'it is the board on the bed' }],
    title: 'a board is of a stock that the shared list no longer has',
    why: 'Its thickness when new is not known, so that readings cannot be checked against it.',
    remedy: 'keep the stocks of old boards in shared/boards.yaml',
  },
  'ledger/unknown-zone': {
    severity: 'warn',
    title: 'a vacuum reading is of a zone that the bed does not have',
    why: 'The reading is compared with none of the zones.',
    remedy: 'correct the name of the zone',
  },
  'ledger/vacuum-order': {
    severity: 'warn',
    title: 'the bare board reads a higher vacuum than the sealed one',
    why: 'A foil can only raise the reading: leakage computed from the two would be wrong.',
    remedy: 'look whether the two readings are exchanged',
  },
  'ledger/vacuum-range': {
    severity: 'stop',
    title: 'a vacuum reading is more than the whole atmosphere',
    why: 'No pump can do that: the reading is in another unit, and the holding force would be computed from it.',
    remedy: 'correct the reading or its unit',
  },
  'ledger/datum-distance': {
    severity: 'stop',
    title: 'the datum marks are not as far apart as they were',
    why: 'The marks are cut into the bed and keep their distance: a mark was mistaken, and everything would be shifted with it.',
    remedy: 'measure both marks again, in the order mark, second; check the units',
  },
  'ledger/missing-map': {
    severity: 'stop',
    title: 'a height map that the ledger names is not there',
    why: 'The next skim may start from it.',
    remedy: 'bring the file back to `heights/`, or correct its name',
  },
  'ledger/missing-survey': {
    severity: 'stop',
    title: 'the bed was surveyed, but the readings are not there',
    why: 'Without them the features would be taken where the drawing has them, and holes go into the wrong places.',
    remedy: 'bring `survey.csv` back',
  },

  // The file.
  'ledger/damaged': {
    severity: 'stop',
    title: 'the ledger ends in the middle of an entry',
    why: 'What is in the bed stays there, whether the file says so or not: nothing of it may be lost.',
    remedy: 'complete the entry from the last committed version or from the run sheet; do not delete it',
  },
  'ledger/cannot-append': {
    severity: 'stop',
    title: 'an entry cannot be added without touching what is there',
    why: 'The ledger is only ever added to: a file that would have to be rewritten is left to a person.',
    remedy: 'add the entry by hand as the last one of `facts`',
  },
  'ledger/repeated-entry': {
    severity: 'warn',
    title: 'the ledger has the same thing twice on one day',
    why: 'A bed or board is changed once by what is done once. Where two branches correct the same entry, a merge can leave both versions of it, and a board or a skim would count twice.',
    remedy: 'remove the entry that is wrong; when both are so, leave them',
  },
  'ledger/entry-lines': {
    severity: 'warn',
    title: 'an entry of the ledger stands on several lines',
    why: 'Where two branches add to the ledger, git merges line by line: lines of one entry can end up in another, and still read as a ledger. An entry on one line stays whole.',
    remedy: 'write the entry on one line',
  },
} satisfies RuleTable;
