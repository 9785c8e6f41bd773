import { lengthText, placeText } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Interlocks } from '../interlocks/interlocks.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import { APPROACH } from './circular-pocket.ts';
import {
  addFinding,
  assemble,
  cutterFor,
  finishCutting,
  handMinutes,
  type Outcome,
  outputsOf,
  reportTroubles,
  type WorkContext,
  withheld,
  writerOn,
} from './context.ts';
import { inTravel } from './link-height.ts';

/** The two marks on the bed that define X0 Y0 and the direction: visited for the hand, or spotted. */
export function datumMark(context: WorkContext, locks: Interlocks): Outcome {
  const { machine } = context;
  const { datum } = machine;
  const marks: readonly (readonly [string, Point])[] = [
    ['datum mark', datum.mark],
    ['second mark', datum.second],
  ];
  const outside = marks.find(([, at]) => !inTravel(machine, at[0], at[1]));
  if (outside) {
    return withheld(
      'datum-mark',
      `the ${outside[0]} at ${placeText(outside[1], machine.units)} is beyond the travel`,
    );
  }
  if (datum.made === 'by-hand') {
    const writer = writerOn(context, 'bed', 0);
    for (const [name, at] of marks) {
      writer.section(name);
      writer.over(at[0], at[1]);
      writer.stop(`${name}: lower the point by hand, turn it by hand, lift it again`);
    }
    return assemble(context, {
      operation: 'datum-mark',
      name: 'datum-mark',
      title: 'Datum marks, made by hand',
      on: 'bed',
      cutter: null,
      before: ['put a pointed cutter in the spindle, spindle off and isolated while it is turned by hand'],
      after: ['X0 Y0 is the first mark, the second one shows the direction'],
      cautions: [CAUTIONS.isolate, CAUTIONS.moves],
      sites: [],
      moves: writer.finish(),
      stopMinutes: handMinutes(context, 'mark-by-hand', 4),
    });
  }
  if (locks.datumCut !== null) return withheld('datum-mark', locks.datumCut);
  const cutter = cutterFor(context, 'mark');
  if (!cutter) return withheld('datum-mark', 'the profile names no cutter for marking');
  if (!cutter.canPlunge) {
    return withheld(
      'datum-mark',
      `cutter ${cutter.id} cannot plunge: name one that can for the duty mark, or make the marks by hand`,
    );
  }
  const depth = Math.min(datum.depth, machine.bed.cutLimit);
  if (depth < datum.depth) {
    addFinding(context, {
      code: 'operations/cut-limit',
      message: `the datum marks are cut ${lengthText(depth, machine.units)} deep: the profile asks for ${lengthText(datum.depth, machine.units)} and the bed's cut limit is ${lengthText(machine.bed.cutLimit, machine.units)}`,
    });
  }
  const cutting = cuttingFor(
    cutter,
    machine.bed.material,
    { width: cutter.diameter, depth },
    machine,
    context.house,
  );
  reportTroubles(context, 'datum-mark', cutting.troubles);
  const writer = writerOn(context, 'bed', -depth);
  writer.running(cutting.rpm, outputsOf(context, ['extraction']));
  for (const [name, at] of marks) {
    writer.restart(name);
    writer.drill(at[0], at[1], context.overBed.stockTop + APPROACH, -depth, null, cutting.plungeFeed);
  }
  return assemble(context, {
    operation: 'datum-mark',
    name: 'datum-mark',
    title: 'Datum marks, cut',
    on: 'bed',
    cutter,
    cutting,
    before: ['the bed is bare and clean', 'touch off on the bed: Z 0 is the bed surface'],
    after: ['X0 Y0 is the first mark, the second one shows the direction'],
    cautions: [CAUTIONS.ports, CAUTIONS.body],
    sites: [],
    moves: finishCutting(context, writer),
  });
}
