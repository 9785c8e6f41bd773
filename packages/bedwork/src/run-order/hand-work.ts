import { drillText, fixed, lengthText, torqueText } from '@bedledger/diagnostics';
import { drillNamed, type Stack } from '@bedledger/fasteners';
import { countOf, listOf } from '../base/words.ts';
import { CAUTIONS } from '../operations/cautions.ts';
import { screwsText, swapLines } from '../work/change-words.ts';
import { handMinutes, type WorkContext } from '../work/context.ts';
import { type HandStep, handStep, type Sheet } from './step.ts';

/** Stacks of the layout's sites, in its order; a site without a stack has a finding that stops everything. */
export function placedStacks({ layout, stacks }: WorkContext): Stack[] {
  return layout.sites.flatMap((site) => stacks.get(site.id) ?? []);
}

/** Sites that have a stack and no insert yet. */
function openSites({ progress, stacks }: WorkContext): string[] {
  return progress.withoutInsert.filter((id) => stacks.has(id));
}

/** Sites that have a stack and neither bore nor insert. */
export function undrilledSites(context: WorkContext): string[] {
  return openSites(context).filter((id) => !context.progress.bored.has(id));
}

function issued({ programs }: Sheet, name: string): boolean {
  return programs.some((program) => program.name === name);
}

/** True when the holes of the next board must stop above inserts. */
function overMetal({ progress }: WorkContext): boolean {
  return progress.withInsert.length > 0;
}

export const writeSurveyDown: HandStep = ({ context }) => {
  const features = context.record.survey?.features ?? [];
  if (features.length === 0) return null;
  const unmeasured = features.filter((f) => f.measured === null).map((f) => f.id);
  return handStep({
    title: 'Write the survey down',
    lines:
      unmeasured.length > 0
        ? [
            `measure ${listOf(unmeasured)} and enter them in survey.csv`,
            'regenerate: the sites move with the bed',
          ]
        : ['every feature is measured'],
    minutes: handMinutes(context, 'survey-point', 2) * Math.max(1, unmeasured.length),
    done: unmeasured.length === 0,
  });
};

export const drillBores: HandStep = ({ context }) => {
  const [stack] = placedStacks(context);
  const open = openSites(context);
  if (!stack || open.length === 0) return null;
  const { machine } = context;
  const { units } = machine;
  const { handDrill, entryRelief } = stack;
  const undrilled = undrilledSites(context);
  const bores = undrilled.length || open.length;
  return handStep({
    title: 'Drill the insert bores by hand',
    lines: [
      `${countOf(bores, 'bore')}: drill ${drillText(handDrill, units)} to a full depth of ${lengthText(handDrill.depth, units)} below the bed surface, the tip of the drill to ${lengthText(handDrill.tipDepth, units)}`,
      `the bed keeps a floor of ${lengthText(machine.bed.floor, units)}: use a depth stop and try it on scrap`,
      ...(entryRelief
        ? [
            `relieve the entry to ${lengthText(entryRelief.diameter, units)}, ${lengthText(entryRelief.depth, units)} deep`,
          ]
        : []),
      'try an insert dry in every bore, then clean the bores and the bed with a vacuum cleaner',
      'record each bore with its position',
    ],
    record: [{ label: 'bore depth at three sites', unit: units }],
    cautions: [CAUTIONS.ports, CAUTIONS.chips, CAUTIONS.body],
    minutes: handMinutes(context, 'drill-hole', 3) * bores,
    done: undrilled.length === 0,
  });
};

export const layBoard: HandStep = ({ context }) => {
  const { record, machine, layout } = context;
  const { units } = machine;
  const board = record.state.board;
  return handStep({
    title: board ? 'Lay the board on the bed' : 'Measure the new board and lay it on the bed',
    lines: [
      `stock ${record.stock.title}: lower-left corner at X ${lengthText(machine.board.at[0], units)} Y ${lengthText(machine.board.at[1], units)} from the datum mark`,
      layout.boardLie.text,
      'measure the thickness in at least four places, away from the edges, and record it',
      'bed and underside clean: a chip under the board ends up in the surface',
      ...(board
        ? []
        : [
            'regenerate once it is recorded: pockets and holes are issued for the board as measured, and are cut before any insert is glued',
          ]),
    ],
    record: [{ label: 'thickness in four places', unit: units }],
    cautions: [CAUTIONS.chips],
    minutes: handMinutes(context, 'measure-thickness', 5) + handMinutes(context, 'clean', 15),
    done: board !== null,
  });
};

export const turnBoardOver: HandStep = (sheet) =>
  issued(sheet, 'underside-skim')
    ? handStep({
        title: 'Turn the board over',
        lines: [
          'skimmed side down, same end to the front',
          'record the skim with the measured thickness, then regenerate',
        ],
        minutes: handMinutes(sheet.context, 'lift-board', 10),
      })
    : null;

export const countersinkPockets: HandStep = ({ context }) => {
  const { board } = context.record.state;
  const { units } = context.machine;
  const stacks = placedStacks(context);
  const sink = stacks.find((stack) => stack.countersink !== undefined)?.countersink;
  if (!board || board.pocketed || !sink) return null;
  return handStep({
    title: 'Countersink the pocket floors',
    lines: [
      `${countOf(stacks.length, 'pocket')}: countersink ${sink.angle}° to ${lengthText(sink.diameter, units)} across, ${lengthText(sink.depth, units)} deep, with a depth stop`,
      'try a screw in each: its head ends flush with the floor of the pocket',
    ],
    cautions: [CAUTIONS.body],
    minutes: handMinutes(context, 'countersink', 0.5) * stacks.length,
  });
};

/** The drills that the holes of the board are opened with, each with its sites; what stays as the machine left it last. */
export function openHoles({ layout, stacks, machine, work }: WorkContext): string[] {
  const { units } = machine;
  const bySize = new Map<number, string[]>();
  const left: string[] = [];
  for (const { id } of layout.sites) {
    const stack = stacks.get(id);
    if (!stack) continue;
    if (!stack.holeNeed.opened) left.push(id);
    else bySize.set(stack.clearanceDiameter, [...(bySize.get(stack.clearanceDiameter) ?? []), id]);
  }
  const { site } = work.hold;
  const holds = site !== null && left.includes(site) ? ` (the close hole of ${site} holds the board)` : '';
  return [
    ...[...bySize]
      .sort(([a], [b]) => a - b)
      .map(
        ([size, sites]) =>
          `open to ${drillText(drillNamed(size, units === 'mm' ? 'metric' : 'unified'), units)}: ${sites.join(', ')}`,
      ),
    ...(left.length > 0 ? [`leave as the machine cut it: ${left.join(', ')}${holds}`] : []),
  ];
}

/** Also while a board that is recorded as pocketed still lies there for its rims. */
export const finishHoles: HandStep = (sheet) => {
  const { context } = sheet;
  const { house, machine, record } = context;
  const { board } = record.state;
  if (!board || (board.pocketed && !issued(sheet, 'rim-break-top'))) return null;
  const lift = handMinutes(context, 'lift-board', 10);
  const { rimBreak } = machine.board;
  const wide = rimBreak === null ? null : lengthText(rimBreak, machine.units);
  const recordThem = board.pocketed ? [] : ['record the pockets'];
  if (!overMetal(context)) {
    return handStep({
      title: 'Lift the board and clean',
      lines: [
        'lift the board off the bed',
        'clear the burrs on the underside',
        ...(wide === null ? [] : [`break the rims of the holes underneath with a countersink, ${wide} wide`]),
        ...recordThem,
      ],
      cautions: [CAUTIONS.chips],
      minutes: lift,
    });
  }
  return handStep({
    title: 'Break through and open the holes',
    lines: [
      'lift the board off the bed',
      `break through the skin of ${lengthText(house.stack.refitSkin, machine.units)} by hand from the underside`,
      ...openHoles(context),
      wide === null
        ? 'chamfer the underside lightly'
        : `chamfer the underside with a countersink, ${wide} wide`,
      ...recordThem,
    ],
    cautions: [CAUTIONS.chips],
    minutes: lift + placedStacks(context).length * handMinutes(context, 'ream-hole', 1),
  });
};

/** Nothing is glued before the board is pocketed on the bare bed: without a board the sheet ends at the board. */
export const glueInserts: HandStep = ({ context }) => {
  const { record, stacks } = context;
  const open = openSites(context);
  if (!record.state.board || open.length === 0) return null;
  const millilitres = open.reduce((sum, id) => sum + stacks.get(id)!.adhesiveVolume, 0) / 1000;
  return handStep({
    title: 'Glue the inserts',
    lines: [
      `${countOf(open.length, 'insert')} ${record.planned.insert.id}: ${listOf(open)}`,
      `about ${fixed(millilitres / open.length, 2)} ml of adhesive a bore, ${fixed(millilitres, 1)} ml in all`,
      'set each insert flush with the bed surface, a greased screw in its thread keeps adhesive out',
      'let it cure as long as its maker says before anything is tightened',
      'record each insert',
    ],
    cautions: [CAUTIONS.resin],
    minutes: handMinutes(context, 'set-insert', 4) * open.length,
  });
};

export const driveScrews: HandStep = ({ context }) => {
  const { record, machine, change } = context;
  const { planned } = record;
  // Driven already: the screws that stand, whatever is wished for now.
  const thread = change ? change.stands.thread : planned.screw.thread.designation;
  const washer = change ? change.stands.washer : planned.washer;
  const { board } = record.state;
  const stacks = placedStacks(context);
  const [first] = stacks;
  if (!board || !first) return null;
  const screws = screwsText(thread, context.stacks);
  return handStep({
    title: 'Drive the screws with the vacuum on',
    lines: [
      'clean bed, ports and the underside; lay the board to the datum mark, vacuum on before the first screw',
      `${countOf(stacks.length, 'screw')} ${screws}${washer ? ', each with its washer' : ''}`,
      `${firstHeld(context)}, at most ${torqueText(first.workingTorque, machine.units)}`,
      'no head may stand above its pocket: run a straight edge over every one',
      `record them: \`bedledger record ${machine.id} screws\``,
    ],
    cautions: [CAUTIONS.chips],
    minutes: handMinutes(context, 'drive-screw', 0.7) * stacks.length,
    done:
      board.pocketed &&
      placedStacks(context).length > 0 &&
      context.layout.sites.every(({ id }) => context.standing.get(id)?.kind === 'built'),
  });
};

/** In which order screws are driven: what holds the board goes first, so that all other holes end up about their screws. */
function firstHeld({ work: { hold } }: WorkContext): string {
  return hold.site === null
    ? 'from the middle outwards'
    : `${hold.site} first, which holds the board, then from there outwards`;
}

/** The profile asks for other screws, and the pockets of this board take them. */
export const swapScrews: HandStep = ({ context }) => {
  const { change, machine, work } = context;
  if (change?.kind !== 'swap') return null;
  return handStep({
    title: 'Swap the screws',
    lines: swapLines(machine.id, machine.units, change, work.hold.site),
    cautions: [CAUTIONS.chips],
    minutes: handMinutes(context, 'drive-screw', 0.7) * 2 * change.sites.length,
  });
};

export const recordSkim: HandStep = (sheet) =>
  issued(sheet, 'surface')
    ? handStep({
        title: 'Record the skim',
        lines: [
          'record commanded and measured thickness',
          'take the vacuum reading covered and uncovered and record both',
        ],
        minutes: handMinutes(sheet.context, 'measure-thickness', 5),
      })
    : null;

/** The skim is withheld because it would pass the limit: the board is used up. */
export const fitNewBoard: HandStep = (sheet) => {
  const { context, skim } = sheet;
  if (skim === null || skim.limit.room >= 0 || skim.limit.wished || issued(sheet, 'surface')) return null;
  return handStep({
    title: 'Fit a new board',
    lines: [
      'no skim is left on this board: take the screws out, lift it off, clean bed and inserts',
      `measure the new board (${context.record.plannedStock.title}) in at least four places and record it: pockets and refit holes are issued then`,
      ...(context.change?.kind === 'next-board' && context.nextBoard
        ? [
            `it is cut for ${context.change.wanted.title}: ${screwsText(context.nextBoard.fixing.screw.thread.designation, context.nextBoard.stacks)}`,
          ]
        : []),
    ],
    record: [{ label: 'thickness in four places', unit: context.machine.units }],
    cautions: [CAUTIONS.chips, CAUTIONS.metal],
    minutes: handMinutes(context, 'lift-board', 10) + handMinutes(context, 'measure-thickness', 5),
  });
};
