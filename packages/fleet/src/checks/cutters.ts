import { writtenLength } from '@bedledger/diagnostics';
import type { SharedData } from '../load/shared.ts';
import { DUTIES, type Duty, type Machine } from '../model/machine.ts';
import { CUTTER_KINDS, type Cutter, type CutterKind } from '../model/shared.ts';
import { type Findings, type Locator, relatedTo, report, type Spot } from '../report.ts';

/** Kinds of cutter that cannot do a duty. */
const UNFIT: Readonly<Record<Duty, readonly CutterKind[]>> = {
  drill: ['surfacing', 'v-point', 'ball'],
  pocket: ['surfacing', 'v-point', 'ball', 'drill'],
  surface: ['v-point', 'ball', 'drill'],
  mark: ['surfacing'],
  trim: ['surfacing', 'v-point', 'ball', 'drill'],
  rim: CUTTER_KINDS.filter((kind) => kind !== 'v-point'),
};

/** What the cutters of a profile must be able to do, each for its duty. */
export function* cutterFindings(machine: Machine, shared: SharedData, at: Locator): Findings {
  if (!shared.cutters) return;
  const material = shared.boards?.get(machine.board.stock)?.material;
  const checked = new Set<string>();
  for (const duty of DUTIES) {
    const id = machine.cutters[duty];
    const cutter = id === null ? undefined : shared.cutters.get(id);
    if (!cutter) continue;
    const spot = at(['cutters', duty]);
    yield* fitForDuty(cutter, duty, spot);
    // What follows is about the cutter itself: once is enough, and only for one that can be meant.
    if (UNFIT[duty].includes(cutter.kind) || checked.has(cutter.id)) continue;
    checked.add(cutter.id);
    yield* fitForMachine(cutter, machine, at, spot);
    if (material === undefined || duty === 'mark' || cutter.chipLoad[material] !== undefined) continue;
    yield report({
      code: 'profile/no-chip-load',
      ...spot,
      message: `${cutter.id} has no chip load for \`${material}\`, the material of the board`,
      help: `add \`${material}\` to its \`chip_load\` in shared/cutters.yaml`,
    });
  }
  const surface = shared.cutters.get(machine.cutters.surface);
  if (surface) yield* surfacingFits(machine, surface, at);
  const rim = machine.cutters.rim === null ? undefined : shared.cutters.get(machine.cutters.rim);
  if (rim) yield* rimFits(machine, rim, at);
}

function* fitForDuty(cutter: Cutter, duty: Duty, spot: Spot): Findings {
  if (UNFIT[duty].includes(cutter.kind)) {
    yield report({
      code: 'profile/wrong-cutter',
      ...spot,
      message: `${cutter.id} is a cutter of kind \`${cutter.kind}\`, which cannot serve for \`${duty}\``,
    });
  } else if ((duty === 'drill' || duty === 'mark') && !cutter.canPlunge) {
    yield report({
      code: 'profile/wrong-cutter',
      ...spot,
      message: `${cutter.id} is not made to plunge, which \`${duty}\` needs`,
      help: 'choose a cutter with `can_plunge: true`',
    });
  }
}

function* fitForMachine(cutter: Cutter, machine: Machine, at: Locator, spot: Spot): Findings {
  const { rpm } = machine.spindle;
  if (cutter.maxRpm !== null && cutter.maxRpm < Math.min(...rpm)) {
    yield report({
      code: 'profile/cutter-too-fast',
      ...spot,
      related: relatedTo(at(['spindle', 'rpm']), 'the speed range'),
      message: `${cutter.id} may turn at ${cutter.maxRpm} rpm, but the spindle's least speed is ${rpm[0]} rpm`,
    });
  }
  if (machine.controller.toolChange === 'automatic' && cutter.number < 1) {
    yield report({
      code: 'profile/no-tool-number',
      ...spot,
      message: `${cutter.id} has tool number ${cutter.number}, but the controller changes tools by number`,
    });
  }
}

function* surfacingFits({ surfacing, units }: Machine, cutter: Cutter, at: Locator): Findings {
  if (surfacing.overrun >= cutter.diameter / 2) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['surfacing', 'overrun']),
      message: `an overrun of ${writtenLength(surfacing.overrun, units)} takes the centre of a ${writtenLength(cutter.diameter, units)} cutter off the board`,
      help: 'write less than its radius',
    });
  }
  if (surfacing.depthPerPass > cutter.cuttingLength) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['surfacing', 'depth_per_pass']),
      message: `a pass of ${writtenLength(surfacing.depthPerPass, units)} is deeper than the cutting edges of ${cutter.id}, ${writtenLength(cutter.cuttingLength, units)}`,
    });
  }
}

/** The flank of a pointed cutter is as wide as its radius: no chamfer that it cuts at one depth is wider. */
function* rimFits({ board: { rimBreak }, units }: Machine, cutter: Cutter, at: Locator): Findings {
  const flank = cutter.diameter / 2;
  if (rimBreak === null || rimBreak < flank) return;
  yield report({
    code: 'profile/not-plausible',
    ...at(['board', 'rim_break']),
    message: `a rim break of ${writtenLength(rimBreak, units)} is as wide as the flank of ${cutter.id}, ${writtenLength(flank, units)}`,
    help: 'write less, or name a wider pointed cutter',
  });
}
