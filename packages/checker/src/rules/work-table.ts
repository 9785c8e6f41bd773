import type { Rule } from './rule.ts';

/** Rules about what each operation of this trade must and must not do, between documents, and the interlocks. */
export const WORK_RULES: readonly Rule[] = [
  {
    id: 'work/stray-cut',
    group: 'D',
    severity: 'stop',
    title: 'Something is cut away from every site',
    explanation: 'Marks, pockets and holes belong to sites. A cut anywhere else is in the wrong place.',
    remedy: 'compare the line with the hole table and regenerate',
  },
  {
    id: 'work/missing-site',
    group: 'D',
    severity: 'stop',
    title: 'A site of the program is not cut',
    explanation: 'A site that is left out is found when the screws go in, with the board already on the bed.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/site-twice',
    group: 'D',
    severity: 'stop',
    title: 'A site is worked on twice in one program',
    explanation: 'A second visit to a finished site is a slip of the text: nothing in this work needs it.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/site-place',
    group: 'D',
    severity: 'stop',
    title: 'A site is cut beside its place',
    explanation: 'The axis of what is cut must be the site’s axis to within the controller’s resolution.',
    remedy: 'compare the line with the hole table and regenerate',
  },
  {
    id: 'work/diameter',
    group: 'D',
    severity: 'stop',
    title: 'A pocket, hole or mark has the wrong diameter',
    explanation:
      'Diameters are measured on what the simulation leaves standing. Too narrow and the socket or screw does not enter; too wide and the head no longer bears.',
    remedy: 'compare cutter and path with the hole table and regenerate',
  },
  {
    id: 'work/post-left',
    group: 'D',
    severity: 'stop',
    title: 'Material is left standing inside a pocket or hole',
    explanation: 'A post in the middle, or a floor that is not flat, keeps the head from bearing.',
    remedy: 'add a clearing pass',
  },
  {
    id: 'work/floor',
    group: 'D',
    severity: 'stop',
    title: 'A pocket, hole or mark ends at the wrong height',
    explanation:
      'The checker solves the stack for itself. A pocket that is too shallow leaves a screw head in the way of every later surfacing; one too deep lets the head pull through.',
    remedy: 'check the board’s thickness in the ledger and regenerate',
  },
  {
    id: 'work/land',
    group: 'D',
    severity: 'stop',
    title: 'A bore in the bed is too near to a groove, port, edge or keep-out',
    explanation:
      'An insert needs its wall. Too near to a groove it breaks out and leaks; the uncertainty of the place counts in full.',
    remedy: 'move the site with a nudge, or correct the survey',
  },
  {
    id: 'work/bed-uneven',
    group: 'D',
    severity: 'stop',
    title: 'The marks in the bed have different depths',
    explanation:
      'All marks of one program are bored to one depth, so that the operator drills all of them alike.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/pass-depth',
    group: 'D',
    severity: 'stop',
    title: 'A pass takes more than the depth per pass',
    explanation: 'The profile limits the depth of one pass of the surfacing cutter.',
    remedy: 'use more passes',
  },
  {
    id: 'work/uneven-passes',
    group: 'D',
    severity: 'warn',
    title: 'The passes of a surfacing are not equal',
    explanation:
      'What is to be taken off is shared evenly between the passes. A pass that takes more makes up for one that lies too high.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/skim-depth',
    group: 'D',
    severity: 'stop',
    title: 'A skim takes off something else than it should',
    explanation:
      'The finished surface lies the margin below every mapped height, or the stated depth below the thinnest place measured, and leans no more than the house allows.',
    remedy: 'check the height map and the ledger, and regenerate the machine',
  },
  {
    id: 'work/unsurfaced',
    group: 'D',
    severity: 'stop',
    title: 'A part of the board is left unsurfaced',
    explanation:
      'Everything that the cutter can reach within the travel must be cut to the finished height: no strips between rows and no triangles at row ends.',
    remedy: 'narrow the stepover, or let the rows run further over the edge',
  },
  {
    id: 'work/cover',
    group: 'D',
    severity: 'stop',
    title: 'Surfacing would leave too little board over a head',
    explanation: 'The next cutter over a head that has lost its cover meets it.',
    remedy: 'replace the board, or take less off',
  },
  {
    id: 'work/least-thickness',
    group: 'D',
    severity: 'stop',
    title: 'Surfacing would leave the board thinner than its least thickness',
    explanation: 'Below its least thickness the board no longer bridges the pitch of its sites.',
    remedy: 'replace the board',
  },
  {
    id: 'work/trim-outline',
    group: 'D',
    severity: 'stop',
    title: 'The trim does not follow the board’s outline',
    explanation:
      'Trimming cuts the board to its size in the profile; a path inside that outline cuts into the board.',
    remedy: 'compare the path with the board’s place and size in the profile',
  },
  {
    id: 'work/visit',
    group: 'D',
    severity: 'stop',
    title: 'A visit misses a place or stops beside it',
    explanation:
      'Air passes and survey visits stop above each place so that the operator can look; every one counts.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/rows',
    group: 'D',
    severity: 'warn',
    title: 'A row of a surfacing lies or ends otherwise than the rest',
    explanation:
      'The rows of a pass have one even step and the same ends. A row that is shifted, left out or cut twice may still leave a clean board, but the cutter takes more than was planned, and the text is not what was made.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/direction',
    group: 'D',
    severity: 'warn',
    title: 'A round cut turns clockwise',
    explanation:
      'Inside a hole a clockwise spindle climbs when the path turns counter-clockwise. The other way it cuts conventionally, tears the rim and pulls the board.',
    remedy: 'turn the path round',
  },
  {
    id: 'work/peck',
    group: 'D',
    severity: 'warn',
    title: 'A hole is drilled in strokes that are too long',
    explanation:
      'MDF packs the flutes: every one or two diameters the cutter comes out of the hole to clear them.',
    remedy: 'drill in pecks of at most two diameters',
  },
  {
    id: 'work/idle-cut',
    group: 'D',
    severity: 'warn',
    title: 'A feed goes down through a finished hole',
    explanation:
      'A stroke that removes nothing has been made already: the block stands there twice, or belongs to another site.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/engagement',
    group: 'D',
    severity: 'stop',
    title: 'A cut takes more than a slot one diameter deep',
    explanation:
      'Deeper, a cutter of this size packs its flutes with chips, heats up and breaks. Usually a level has been left out.',
    remedy: 'cut in more levels',
  },
  {
    id: 'work/label',
    group: 'F',
    severity: 'stop',
    title: 'A section is named after another place than the one it works at',
    explanation: 'The operator finds a site by its comment, and starts again there.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/odd-section',
    group: 'D',
    severity: 'warn',
    title: 'One section of a program differs from all its like',
    explanation:
      'A program repeats the same steps at every site or row. A single section with a step too few or too many, another height or another feed is nearly always a slip of the text, even where it does no harm.',
    remedy: 'compare the section with the one before it and regenerate',
  },
  {
    id: 'work/link-height',
    group: 'D',
    severity: 'stop',
    title: 'An issued program moves across below the clear height',
    explanation:
      'Between sites and rows every issued program travels at the clear height, so that a wrong thickness or a forgotten clamp is not met on the way.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/cycle-return',
    group: 'C',
    severity: 'stop',
    title: 'A drilling cycle does not return to the clear height',
    explanation:
      'With the return to the R plane the next rapid across runs just above the board. Issued programs return to the height the cycle started from.',
    remedy: 'use the return to the initial height',
  },
  {
    id: 'work/extraction',
    group: 'C',
    severity: 'warn',
    title: 'The extraction is not switched on while the cutter cuts, or not off at the end',
    explanation:
      'Where the controller switches the extraction, every cutting program does so itself: MDF dust is harmful to breathe and combustible.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'work/restart',
    group: 'C',
    severity: 'stop',
    title: 'A place to start again is not complete',
    explanation:
      'Where a program may be taken up again, spindle speed, start and spin-up dwell stand together. A dwell without a start before it belongs to a start that has been lost.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'documents/header',
    group: 'F',
    severity: 'stop',
    title: 'The program’s header does not say what the program does',
    explanation:
      'The operator believes the header: machine, cutter, Z zero, what to key in, extents and depths. Each is computed again from the text.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'documents/footer',
    group: 'F',
    severity: 'stop',
    title: 'The program’s footer does not fit its text',
    explanation: 'Line count and hash in the last comment tell a whole file from a cut-off or edited one.',
    remedy: 'regenerate the machine instead of editing programs by hand',
  },
  {
    id: 'documents/manifest',
    group: 'F',
    severity: 'stop',
    title: 'The manifest does not fit the files',
    explanation:
      'The manifest says which files belong together. A file it does not know, or knows otherwise, is not issued.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'documents/minutes',
    group: 'F',
    severity: 'warn',
    title: 'The expected time is far from what the motions take',
    explanation:
      'The time is computed again from the text with the machine’s accelerations. A large difference means that text and header belong to different programs.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'documents/house',
    group: 'F',
    severity: 'warn',
    title: 'The house raises a rule that does not exist, or would lower one',
    explanation:
      'A misspelt rule stays as it was, and a severity below the rule’s own has no effect: nothing of the kind passes in silence.',
    remedy: 'correct the entry under `raise` in the house rules',
  },
  {
    id: 'documents/holes',
    group: 'F',
    severity: 'stop',
    title: 'The hole table does not fit the bed as it stands',
    explanation:
      'Places must be the survey’s image of their nominal place, or where the ledger has them; heights and diameters must be what the stack gives.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'documents/run-sheet',
    group: 'F',
    severity: 'stop',
    title: 'The run sheet does not fit the programs',
    explanation: 'The run sheet names every program, and the value to key in before each.',
    remedy: 'regenerate the machine',
  },
  {
    id: 'documents/coverage',
    group: 'F',
    severity: 'warn',
    title: 'A place of the board is far from every site',
    explanation:
      'Sites must hold the whole board; a gap in the hole table shows as a place that no site is near to.',
    remedy: 'compare the hole table with the layout rules of the profile',
  },
  {
    id: 'sequence/leak',
    group: 'C',
    severity: 'stop',
    title: 'The program depends on what the one before it left in force',
    explanation:
      'Each program is read a second time after an unfriendly one (other units, incremental, another plane, an offset in force). If a single motion changes, the program does not state what it needs.',
    remedy: 'state every modal word at the start of the program',
  },
  {
    id: 'interlock/first-fit',
    group: 'G',
    severity: 'stop',
    title: 'Clearance holes are bored through although inserts are in the bed',
    explanation:
      'The first-fit form goes through the board. Once the ledger has an insert it meets metal, so only the refit form may be issued.',
    remedy: 'use the refit form',
  },
  {
    id: 'interlock/bored-only',
    group: 'G',
    severity: 'stop',
    title: 'A first fit passes the bed surface at a site that is not bored',
    explanation:
      'Only where the ledger has a bore is there a hole to run into; elsewhere the cutter would cut the bed.',
    remedy: 'record the bore first, or let the hole end above the bed',
  },
  {
    id: 'interlock/bed-mark',
    group: 'G',
    severity: 'stop',
    title: 'The bed is marked at a site that has its insert',
    explanation: 'The cutter would meet the insert.',
    remedy: 'take the site out of the marking program',
  },
  {
    id: 'interlock/withheld',
    group: 'G',
    severity: 'stop',
    title: 'A program is issued although it must be withheld',
    explanation: 'The bed as the ledger has it decides which programs may exist today.',
    remedy: 'remove the program and regenerate',
  },
  {
    id: 'guard/too-deep',
    group: 'D',
    severity: 'stop',
    title: 'The job goes deeper into the board than allowed',
    explanation: 'The depth that the job may take from the board was stated; the job takes more.',
    remedy: 'raise the cut, or allow more after looking at what lies beneath',
  },
  {
    id: 'guard/into-bed',
    group: 'D',
    severity: 'stop',
    title: 'The job cuts into the bed',
    explanation: 'A job ends in the board. Below the board lies the permanent bed.',
    remedy: 'check where the job has its Z 0 and how thick the board is',
  },
  {
    id: 'guard/outside-board',
    group: 'D',
    severity: 'warn',
    title: 'The job works beside the board',
    explanation:
      'Below the board’s top and off the board there is nothing that the job could be meant to cut.',
    remedy: 'check the origin of the job',
  },
  {
    id: 'guard/divider',
    group: 'D',
    severity: 'stop',
    title: 'The job cuts a divider between two vacuum zones',
    explanation: 'A cut across a divider joins its zones for good: neither holds without the other again.',
    remedy: 'raise the cut where it crosses the divider',
  },
  {
    id: 'guard/no-board',
    group: 'D',
    severity: 'warn',
    title: 'The ledger knows no board on this bed',
    explanation:
      'Without a board the job would run over the bare bed; the bed surface is taken as the top of the material.',
    remedy: 'record the fitted board with its measured thickness',
  },
  {
    id: 'guard/no-tool',
    group: 'F',
    severity: 'stop',
    title: 'The job’s cutter is not known',
    explanation:
      'Nothing in the call, in the job’s header or in its tool word names a cutter of the shared list, so its size is unknown.',
    remedy: 'name the cutter or give its diameter',
  },
];
