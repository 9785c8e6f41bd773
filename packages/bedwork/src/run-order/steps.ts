import { drillText, fixed, keyValue, lengthText, screwName, torqueText } from '@bedledger/diagnostics';
import { countOf, type Interlocks, listOf } from '../interlocks/interlocks.ts';
import type { WorkContext } from '../operations/context.ts';
import { handMinutes } from '../operations/context.ts';
import type { WorkStep } from '../plan.ts';
import type { NeutralProgram } from '../program.ts';
import { timeCorrection } from '../time/correction.ts';
import { CAUTIONS } from './cautions.ts';

interface Draft {
  readonly title: string;
  readonly lines: readonly string[];
  readonly record?: WorkStep['record'];
  readonly cautions?: readonly string[];
  readonly keyIn?: WorkStep['keyIn'];
  readonly minutes: number;
  readonly done?: boolean;
}

/**
 * The run sheet: programs and hand work in the order of work. The bed is marked while it is bare, drilled by hand, the
 * board is pocketed and bored before inserts are glued, screws are driven with the vacuum on, the skim comes last.
 *
 * @param expected - thickness after the skim, mm; null without one
 * @param worn - the skim is withheld because the board is used up
 */
export function workSteps(
  context: WorkContext,
  locks: Interlocks,
  programs: readonly NeutralProgram[],
  expected: number | null,
  worn: boolean,
): WorkStep[] {
  const { record, machine, layout, stacks, house } = context;
  const { state, fixing } = record;
  const units = machine.units;
  const board = state.board;
  const sites = layout.sites.filter((site) => stacks.has(site.id));
  const n = sites.length;
  const set = new Set(locks.withSet);
  const unset = sites.filter((site) => !set.has(site.id)).map((site) => site.id);
  const undrilled = unset.filter((id) => !locks.bored.has(id));
  const allSet = n > 0 && unset.length === 0;
  const pocketed = board?.pocketed === true;
  const refit = locks.withSet.length > 0;
  const steps: WorkStep[] = [];

  const hand = (draft: Draft): void => {
    steps.push({
      kind: 'hand',
      title: draft.title,
      lines: draft.lines,
      keyIn: draft.keyIn ?? null,
      record: draft.record ?? [],
      cautions: draft.cautions ?? [],
      program: null,
      minutes: Math.ceil(draft.minutes),
      done: draft.done ?? false,
    });
  };
  const program = (
    name: string,
    lines: readonly string[] = [],
    wanted: WorkStep['record'] = [],
    done = false,
  ): void => {
    const found = programs.find((p) => p.name === name);
    if (!found) return;
    const { header } = found;
    const correction = timeCorrection(record.ledger, found.operation);
    steps.push({
      kind: 'program',
      title: header.title,
      lines: [
        ...header.before,
        ...(header.cutter
          ? [
              `cutter ${header.cutter.title}, ${lengthText(header.cutter.diameter, units)}, tool ${header.cutter.number}`,
            ]
          : ['no cutter turns in this program']),
        ...lines,
        ...header.after,
      ],
      keyIn:
        header.keyIn === null
          ? null
          : {
              label: header.zZero === 'bed' ? 'key in on the board: Z' : "key in on the board's top: Z",
              value: keyValue(header.keyIn, units),
              unit: units,
            },
      record: [{ label: 'minutes it took', unit: 'min' }, ...wanted],
      cautions: header.cautions,
      program: name,
      // The machine's minutes, and the operator's before them.
      minutes: Math.ceil(
        header.minutes * correction.factor +
          handMinutes(context, 'touch-off', 3) +
          (header.cutter ? handMinutes(context, 'change-cutter', 4) : 0),
      ),
      done,
    });
  };

  const features = record.survey?.features ?? [];
  const unmeasured = features.filter((f) => f.measured === null).map((f) => f.id);
  program(
    'survey-visit',
    [],
    [{ label: 'X Y of every feature', unit: units }],
    features.length > 0 && unmeasured.length === 0,
  );
  // Once the bed is bored its marks are made and its sites are found.
  const begun = locks.withSet.length > 0 || locks.bored.size > 0;
  if (features.length > 0) {
    hand({
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
  }
  program('datum-mark', [], [], begun);
  program(
    'air-pass',
    [],
    [{ label: 'site and how far it must move', unit: units }],
    begun && undrilled.length === 0,
  );
  program('bed-mark');
  if (n > 0 && (undrilled.length > 0 || !allSet)) {
    const drill = stacks.get(sites[0]!.id)!.handDrill;
    const relief = stacks.get(sites[0]!.id)!.entryRelief;
    hand({
      title: 'Drill the insert bores by hand',
      lines: [
        `${countOf(undrilled.length || unset.length, 'bore')}: drill ${drillText(drill, units)} to a full depth of ${lengthText(drill.depth, units)} below the bed surface, the tip of the drill to ${lengthText(drill.tipDepth, units)}`,
        `the bed keeps a floor of ${lengthText(machine.bed.floor, units)}: use a depth stop and try it on scrap`,
        ...(relief
          ? [
              `relieve the entry to ${lengthText(relief.diameter, units)}, ${lengthText(relief.depth, units)} deep`,
            ]
          : []),
        'try an insert dry in every bore, then clean the bores and the bed with a vacuum cleaner',
        'record each bore with its position',
      ],
      record: [{ label: 'bore depth at three sites', unit: units }],
      cautions: [CAUTIONS.ports, CAUTIONS.chips, CAUTIONS.body],
      minutes: handMinutes(context, 'drill-hole', 3) * (undrilled.length || unset.length),
      done: n > 0 && undrilled.length === 0,
    });
  }
  hand({
    title: board ? 'Lay the board on the bed' : 'Measure the new board and lay it on the bed',
    lines: [
      `stock ${record.stock.title}: lower-left corner at X ${lengthText(machine.board.at[0], units)} Y ${lengthText(machine.board.at[1], units)} from the datum mark`,
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
  program('underside-skim', [], [{ label: 'thickness after the skim', unit: units }]);
  if (programs.some((p) => p.name === 'underside-skim')) {
    hand({
      title: 'Turn the board over',
      lines: [
        'skimmed side down, same end to the front',
        'record the skim with the measured thickness, then regenerate',
      ],
      minutes: handMinutes(context, 'lift-board', 10),
    });
  }
  program('socket-pockets', [], [{ label: 'pocket depth at two sites', unit: units }]);
  program(refit ? 'clearance-holes-refit' : 'clearance-holes-first-fit');
  const sink = sites.map((site) => stacks.get(site.id)!.countersink).find((c) => c !== undefined);
  if (board && !pocketed && sink) {
    hand({
      title: 'Countersink the pocket floors',
      lines: [
        `${countOf(n, 'pocket')}: countersink ${sink.angle}° to ${lengthText(sink.diameter, units)} across, ${lengthText(sink.depth, units)} deep, with a depth stop`,
        'try a screw in each: its head ends flush with the floor of the pocket',
      ],
      cautions: [CAUTIONS.body],
      minutes: handMinutes(context, 'countersink', 0.5) * n,
    });
  }
  if (board && !pocketed) {
    hand({
      title: refit ? 'Break through and ream the holes' : 'Lift the board and clean',
      lines: refit
        ? [
            'lift the board off the bed',
            `break through the skin of ${lengthText(house.stack.refitSkin, units)} by hand from the underside`,
            'ream every hole to its full diameter (see the hole table), chamfer the underside lightly',
            'record the pockets',
          ]
        : ['lift the board off the bed', 'clear the burrs on the underside', 'record the pockets'],
      cautions: [CAUTIONS.chips],
      minutes:
        handMinutes(context, 'lift-board', 10) + (refit ? n * handMinutes(context, 'ream-hole', 1) : 0),
    });
  }
  // Nothing is glued before the board is pocketed on the bare bed: without a board the sheet ends at the board.
  if (board && n > 0 && !allSet) {
    const volume = unset.reduce((sum, id) => sum + (stacks.get(id)?.adhesiveVolume ?? 0), 0) / 1000;
    hand({
      title: 'Glue the inserts',
      lines: [
        `${countOf(unset.length, 'insert')} ${fixing.insert.id}: ${listOf(unset)}`,
        `about ${fixed(volume / Math.max(1, unset.length), 2)} ml of adhesive a bore, ${fixed(volume, 1)} ml in all`,
        'set each insert flush with the bed surface, a greased screw in its thread keeps adhesive out',
        'let it cure as long as its maker says before anything is tightened',
        'record each insert',
      ],
      cautions: [CAUTIONS.resin],
      minutes: handMinutes(context, 'set-insert', 4) * unset.length,
    });
  }
  if (board && n > 0) {
    const torque = stacks.get(sites[0]!.id)!.workingTorque;
    const lengths = [...new Set(sites.map((site) => stacks.get(site.id)!.screwLength))].sort((a, b) => a - b);
    hand({
      title: 'Drive the screws with the vacuum on',
      lines: [
        'clean bed, ports and the underside; lay the board to the datum mark, vacuum on before the first screw',
        `${countOf(n, 'screw')} ${lengths.map((l) => screwName(fixing.screw.thread.designation, l)).join(' or ')}${fixing.washer ? ', each with its washer' : ''}`,
        `from the middle outwards, at most ${torqueText(torque, units)}`,
        'no head may stand above its pocket: run a straight edge over every one',
      ],
      cautions: [CAUTIONS.chips],
      minutes: handMinutes(context, 'drive-screw', 0.7) * n,
      done: pocketed && allSet && skimmedFixed(context),
    });
  }
  program('trim');
  program(
    'surface',
    expected === null ? [] : [`expected thickness afterwards: ${lengthText(expected, units)}`],
    [
      { label: 'thickness in four places', unit: units },
      { label: 'gauge, covered and uncovered', unit: units === 'mm' ? 'kPa' : 'inHg' },
    ],
  );
  if (programs.some((p) => p.name === 'surface')) {
    hand({
      title: 'Record the skim',
      lines: [
        'record commanded and measured thickness',
        'take the vacuum reading covered and uncovered and record both',
      ],
      minutes: handMinutes(context, 'measure-thickness', 5),
    });
  }
  if (worn) {
    hand({
      title: 'Fit a new board',
      lines: [
        'no skim is left on this board: take the screws out, lift it off, clean bed and inserts',
        `measure the new board (${record.stock.title}) in at least four places and record it: pockets and refit holes are issued then`,
      ],
      record: [{ label: 'thickness in four places', unit: units }],
      cautions: [CAUTIONS.chips, CAUTIONS.metal],
      minutes: handMinutes(context, 'lift-board', 10) + handMinutes(context, 'measure-thickness', 5),
    });
  }
  return steps;
}

/** True when the board on the bed was skimmed after it was pocketed: its screws must have been driven for that. */
function skimmedFixed(context: WorkContext): boolean {
  let pocketed = false;
  let skimmed = false;
  for (const fact of context.record.ledger.facts) {
    if (fact.fact === 'board') {
      pocketed = fact.pocketed;
      skimmed = false;
    } else if (fact.fact === 'pocket') pocketed = true;
    else if (fact.fact === 'skim' && pocketed) skimmed = true;
  }
  return skimmed;
}

/** The next thing a person must do, one sentence. */
export function nextHandWork(steps: readonly WorkStep[], board: boolean): string {
  // A program counts as coming first where it stands before the hand work that follows it.
  const open = steps.filter((step) => !step.done);
  const hand = open.find((step) => step.kind === 'hand');
  if (!hand) return board ? 'nothing to do by hand: the board is fitted and flat' : 'nothing to do by hand';
  const before = open
    .slice(0, open.indexOf(hand))
    .filter((step) => step.kind === 'program' && step.program !== null);
  const first = hand.lines[0] ?? '';
  const lead = before.length > 0 ? `run ${before.map((step) => step.program).join(', ')}, then ` : '';
  return `${lead}${lowerFirst(hand.title)}: ${first}`;
}

function lowerFirst(text: string): string {
  return text.slice(0, 1).toLowerCase() + text.slice(1);
}
