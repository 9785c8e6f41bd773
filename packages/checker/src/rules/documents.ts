import type { RuleTable } from '@bedledger/diagnostics';

/** Issued files against each other, against the record and in the order of work. */
export const DOCUMENT_RULES = {
  'documents/header': {
    severity: 'stop',
    title: 'the program’s header does not say what the program does',
    why: 'The operator believes the header: machine, cutter, Z zero, what to key in, extents and depths. Each is computed again from the text.',
    remedy: 'regenerate the machine',
  },
  'documents/manifest': {
    severity: 'stop',
    title: 'the manifest does not fit the files',
    why: 'The manifest says which files belong together. A file it does not know, or knows otherwise, is not issued.',
    remedy: 'regenerate the machine',
  },
  'documents/minutes': {
    severity: 'warn',
    title: 'the expected time is far from what the motions take',
    why: 'The time is computed again from the text with the machine’s accelerations. A large difference means that text and header belong to different programs.',
    remedy: 'regenerate the machine',
  },
  'documents/holes': {
    severity: 'stop',
    title: 'the hole table does not fit the bed as it stands',
    why: 'Places must be the survey’s image of their nominal place, or where the ledger has them; heights and diameters must be what the stack gives.',
    remedy: 'regenerate the machine',
  },
  'documents/run-sheet': {
    severity: 'stop',
    title: 'the run sheet does not fit the programs',
    why: 'The operator works by the run sheet. A program that it does not name is not run, and a wrong value to key in moves every cut up or down.',
    remedy: 'regenerate the machine',
  },
  'documents/touch-off': {
    severity: 'stop',
    title: 'a program or its step names another surface for Z 0 than it needs',
    why: 'The operator touches off where the words say. Bed and board differ by the thickness of the board, and so does every cut.',
    remedy: 'regenerate the machine',
  },
  'documents/spindle-words': {
    severity: 'stop',
    title: 'the words about the spindle do not fit the program',
    why: 'Where a program says spindle off, people stand close and hold what turns. Where it does not, a cutter may be running over hands.',
    remedy: 'regenerate the machine',
  },
  'documents/caution': {
    severity: 'stop',
    title: 'a caution is missing',
    why: 'Cautions stand where the work can hurt someone: a gantry that moves, dust, a turning cutter, metal under the board.',
    remedy: 'regenerate the machine',
  },
  'documents/repeated-field': {
    severity: 'stop',
    title: 'a field stands twice in a program’s header',
    why: 'Of two values the operator believes one. Only the first is compared with the program.',
    remedy: 'regenerate the machine',
  },
  'documents/program-number': {
    severity: 'stop',
    title: 'two programs of a machine have one number',
    why: 'A controller that lists programs by their number keeps one of them and runs it for the other.',
    remedy: 'regenerate the machine',
  },
  'documents/step-order': {
    severity: 'stop',
    title: 'the run sheet has its steps in the wrong order',
    why: 'What is cut first is what the next step is measured from, or what lets it through. In another order a program meets what should be gone, or not yet there.',
    remedy: 'regenerate the machine',
  },
  'documents/hand-drill': {
    severity: 'stop',
    title: 'the run sheet has another depth for hand drilling than the hole table',
    why: 'A bore is drilled by hand to the depth on the sheet: too shallow and the insert stands proud, too deep and the bed is pierced.',
    remedy: 'regenerate the machine',
  },
  'documents/coverage': {
    severity: 'warn',
    title: 'a place of the board is far from every site',
    why: 'Sites must hold the whole board; a gap in the hole table shows as a place that no site is near to.',
    remedy: 'compare the hole table with the layout rules of the profile',
  },
  'sequence/leak': {
    severity: 'stop',
    title: 'the program depends on what the one before it left in force',
    why: 'Each program is read a second time after an unfriendly one (other units, incremental, another plane, an offset in force). If a single motion changes, the program does not state what it needs.',
    remedy: 'state every modal word at the start of the program',
  },
} satisfies RuleTable;
