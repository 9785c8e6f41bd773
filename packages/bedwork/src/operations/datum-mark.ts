import { lengthText, placeText } from '@bedledger/diagnostics';
import type { Machine } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { deepestInBed, noDepthInBed } from '../base/bed-depth.ts';
import { inTravel } from '../base/safe-heights.ts';
import { byName } from '../base/words.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import { APPROACH } from '../motion/motion-writer.ts';
import { addFinding, type WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { bedUnknown, keepsLengths, nothingAgainst, TOUCH_OFF_ON_BED } from './conditions.ts';
import { cut, type OperationDescriptor, visit } from './descriptor.ts';

const AFTER = ['X0 Y0 is the first mark, the second one shows the direction'];

const BY_HAND = visit({
  name: 'datum-mark',
  on: () => 'bed',
  notAsked: nothingAgainst,
  forbidden: ({ machine }) => beyondTravel(machine),
  stop: ['mark-by-hand', 4],
  decide: () => ({ sites: [], floor: 0 }),
  write: (writer, { machine }) => {
    for (const [name, at] of marksOf(machine)) {
      writer.section(name);
      writer.over(at[0], at[1]);
      writer.stop(`${name}: lower the point by hand, turn it by hand, lift it again`);
    }
  },
  header: ({ machine }) => ({
    title: 'Datum marks, made by hand',
    before: [
      keepsLengths(machine)
        ? 'spindle off, and isolated while the cutter for marks is turned by hand'
        : 'put a pointed cutter in the spindle, spindle off and isolated while it is turned by hand',
    ],
    after: AFTER,
    cautions: [CAUTIONS.isolate, CAUTIONS.moves],
  }),
});

const CUT = cut({
  name: 'datum-mark',
  on: () => 'bed',
  notAsked: nothingAgainst,
  forbidden: (context) => {
    const { machine, progress } = context;
    const { withInsert, bored } = progress;
    const outside = beyondTravel(machine);
    if (outside !== null) return outside;
    const first = [...withInsert, ...bored].sort(byName)[0];
    return first === undefined
      ? bedUnknown(context)
      : `the bed is already bored from the datum mark (${first}): a mark cut anew would not be in the same place`;
  },
  outputs: ['extraction'],
  decide: (context, _, cutter) => {
    if (!cutter.canPlunge) {
      return {
        refused: `cutter ${cutter.id} cannot plunge: name one that can for the duty mark, or make the marks by hand`,
      };
    }
    const none = noDepthInBed(context);
    if (none !== null) return { refused: `${none}: make the datum marks by hand (\`datum.made: by-hand\`)` };
    const { machine, house } = context;
    const depth = markDepth(context);
    const cutting = cuttingFor(
      cutter,
      machine.bed.material,
      { width: cutter.diameter, depth },
      machine,
      house,
    );
    return { sites: [], floor: -depth, cutting, fluteDepth: null };
  },
  write: (writer, { machine, overBed }, { floor, cutting }) => {
    for (const [name, at] of marksOf(machine)) {
      writer.restart(name);
      writer.drill({
        at,
        above: overBed.stockTop + APPROACH,
        bottom: floor,
        peck: null,
        feed: cutting.plungeFeed,
      });
    }
  },
  header: () => ({
    title: 'Datum marks, cut',
    before: ['the bed is bare and clean', TOUCH_OFF_ON_BED],
    after: AFTER,
    cautions: [CAUTIONS.ports, CAUTIONS.body],
  }),
});

/** The two marks on the bed that define X0 Y0 and the direction: visited for the hand, or spotted. */
export const DATUM_MARK: OperationDescriptor = {
  ...CUT,
  forbidden: (context, form) => way(context).forbidden(context, form),
  make: (context, form) => way(context).make(context, form),
};

function way({ machine }: WorkContext): OperationDescriptor {
  return machine.datum.made === 'cut' ? CUT : BY_HAND;
}

function marksOf({ datum }: Machine): readonly (readonly [name: string, at: Point])[] {
  return [
    ['datum mark', datum.mark],
    ['second mark', datum.second],
  ];
}

function beyondTravel(machine: Machine): string | null {
  const outside = marksOf(machine).find(([, at]) => !inTravel(machine, at[0], at[1]));
  return outside ? `the ${outside[0]} at ${placeText(outside[1], machine.units)} is beyond the travel` : null;
}

/** The profile's depth of a mark, or the deepest cut in the bed where that is less; mm. */
function markDepth(context: WorkContext): number {
  const { datum, bed, units } = context.machine;
  const depth = Math.min(datum.depth, deepestInBed(context));
  if (depth < datum.depth) {
    addFinding(context, {
      code: 'operations/cut-limit',
      message: `the datum marks are cut ${lengthText(depth, units)} deep: the profile asks for ${lengthText(datum.depth, units)} and the bed's cut limit of ${lengthText(bed.cutLimit, units)}, less the error of the Z zero and the bed's unevenness, allows no more`,
    });
  }
  return depth;
}
