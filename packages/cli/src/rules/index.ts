import { BEDWORK_RULES, type BedworkCode } from '@bedledger/bedwork';
import { CHECKER_RULES, type CheckerCode } from '@bedledger/checker';
import { mergeRules, type RuleTable } from '@bedledger/diagnostics';
import { FASTENER_RULES, type FastenerCode } from '@bedledger/fasteners';
import { FLEET_RULES, type FleetCode } from '@bedledger/fleet';
import { POST_RULES, type PostCode } from '@bedledger/posts';
import { CLI_RULES, type CliCode } from './cli-rules.ts';

/** Every code that a finding of any package can carry. */
export type Code = FastenerCode | FleetCode | BedworkCode | PostCode | CheckerCode | CliCode;

/** Every rule of every package: what `explain`, docs/rules.md and the house's `raise` know. */
export const RULES: RuleTable = mergeRules(
  FASTENER_RULES,
  FLEET_RULES,
  BEDWORK_RULES,
  POST_RULES,
  CHECKER_RULES,
  CLI_RULES,
);

/** The first part of a code: `program` of `program/travel`. */
export type Area = Code extends `${infer A}/${string}` ? A : never;

/** What each area is about, in the order of the documentation: from the files that people write to the job that runs. */
export const AREAS: Readonly<Record<Area, { readonly title: string; readonly about: string }>> = {
  fleet: {
    title: 'Fleet',
    about: 'Whether there are machines here, and the one that was asked for.',
  },
  file: {
    title: 'Files',
    about: 'Whether the files of a fleet are there and can be read and written.',
  },
  yaml: {
    title: 'YAML',
    about: 'Whether a profile, a ledger or a shared file is plain YAML, in which each thing is said once.',
  },
  csv: {
    title: 'Tables',
    about: 'Whether a survey or a height map is a plain table with the columns it should have.',
  },
  shared: {
    title: 'Shared files',
    about: 'What the lists of cutters, boards and fixings and the house rules say, against what can be.',
  },
  call: {
    title: 'New machines',
    about: 'What a new machine is called.',
  },
  profile: {
    title: 'Machine profile',
    about:
      'What a profile says of the machine, its bed, its controller and its board, against itself and against what can be.',
  },
  ledger: {
    title: 'Ledger',
    about:
      'What is recorded of the bed and its boards. Programs are computed from what stands there, so an entry that cannot be is looked at first.',
  },
  heights: {
    title: 'Height maps',
    about: 'Whether the map that the next skim starts from is a map of the board that lies there.',
  },
  house: {
    title: 'House rules',
    about: 'What `shared/house.yaml` asks of the rules themselves.',
  },
  fixing: {
    title: 'Fixings',
    about:
      'Whether screw, insert, washer and driving tool of `shared/fixings.yaml` exist, fit each other, and were measured.',
  },
  survey: {
    title: 'Survey',
    about:
      'Where the features of the bed really are. Every position on the bed goes through what was fitted to the survey, so a wrong reading moves every hole.',
  },
  layout: {
    title: 'Layout of the sites',
    about:
      'Where the board is fixed: whether there is sound bed under every site, and whether the sites hold the whole board.',
  },
  stack: {
    title: 'Stack',
    about:
      'What is along the axis of a site: bed, insert, web, head and cover. It decides which screws are bought, how deep the pockets are, and how many skims the board lasts.',
  },
  operations: {
    title: 'Operations',
    about: 'Whether a program can be planned at all: its cutter, its reach, what must have been done before.',
  },
  surfacing: {
    title: 'Surfacing',
    about:
      'Whether the board can be made flat: the heights it is planned from, the plane, and the edges of the reach.',
  },
  feeds: {
    title: 'Feeds and speeds',
    about: 'What the cutter, the spindle and the machine can bear while they cut.',
  },
  post: {
    title: 'Writing of a program',
    about:
      'Whether the controller of this machine has words for what is planned: digits, feeds, codes, room for comments, memory.',
  },
  text: {
    title: 'Bytes and text of a program',
    about:
      'The checker reads a program as bytes first: what a controller cannot read, or reads differently from the next one, is found here.',
  },
  grammar: {
    title: 'Grammar of a program',
    about: 'Words and blocks: what the controller of this machine takes, and in which form.',
  },
  state: {
    title: 'State of the controller',
    about:
      'What the controller holds from block to block: units, plane, offsets, feed, spindle, cycles. A program may rely on nothing that it has not set.',
  },
  program: {
    title: 'Motion of a program, simulated',
    about:
      'The path of the cutter as the text gives it, against the machine, the bed, the board and all metal in them.',
  },
  tool: {
    title: 'Cutter and its length',
    about:
      'Which cutter each motion is made with, whether the length in force is its own, and when it may be changed.',
  },
  output: {
    title: 'Outputs',
    about:
      'What a program switches besides the spindle: vacuum, extraction, coolant, the overrides of the panel.',
  },
  work: {
    title: 'Work that a program leaves',
    about:
      'Whether pockets, holes, marks and skims come out where and as they should, measured in the simulation.',
  },
  documents: {
    title: 'Documents',
    about: 'Whether programs, run sheet, hole table and manifest tell the same story.',
  },
  sequence: {
    title: 'Sequence',
    about: 'Whether a program does the same whatever ran before it.',
  },
  interlock: {
    title: 'Interlocks',
    about:
      'What may not be issued, whatever the profile asks, because of what the ledger says has been done to the bed.',
  },
  guard: {
    title: 'Guard',
    about:
      'Programs from elsewhere: whether a job may run on this bed today, and what cannot be known about it.',
  },
};

/** The area of a code. */
export function areaOf(code: string): Area {
  return code.slice(0, code.indexOf('/')) as Area;
}

/** Codes by area, the areas in their order, the codes in the order of their tables. */
export function codesByArea(): ReadonlyMap<Area, readonly string[]> {
  const byArea = new Map<Area, string[]>((Object.keys(AREAS) as Area[]).map((area) => [area, []]));
  for (const code of Object.keys(RULES)) byArea.get(areaOf(code))!.push(code);
  return byArea;
}
