import { placeText } from '@bedledger/diagnostics';
import { shortestTour } from '@bedledger/geometry';
import { CAUTIONS } from '../run-order/cautions.ts';
import {
  addFinding,
  assemble,
  handMinutes,
  notAsked,
  type Outcome,
  type WorkContext,
  withheld,
  writerOn,
} from './context.ts';
import { inTravel } from './link-height.ts';

/** Stops above each survey feature's drawn place, spindle off, so that the operator can read how far it is off. */
export function surveyVisit(context: WorkContext): Outcome {
  const { record, machine } = context;
  const features = record.survey?.features ?? [];
  if (features.length === 0) {
    return notAsked(
      'survey-visit',
      'no features to visit: list bed features with their drawn places in survey.csv',
    );
  }
  const inside = features.filter((f) => inTravel(machine, f.nominal[0], f.nominal[1]));
  for (const feature of features) {
    if (inside.includes(feature)) continue;
    addFinding(context, {
      code: 'operations/out-of-reach',
      severity: 'note',
      message: `survey feature ${feature.id} at ${placeText(feature.nominal, machine.units)} is beyond the travel and is not visited`,
    });
  }
  if (inside.length === 0)
    return withheld('survey-visit', 'every survey feature is beyond the travel of the machine');
  const { order } = shortestTour(inside.length, (i, j) => {
    const a = inside[i]!.nominal;
    const b = inside[j]!.nominal;
    return Math.max(
      Math.abs(a[0] - b[0]) / machine.motion.rapid.x,
      Math.abs(a[1] - b[1]) / machine.motion.rapid.y,
    );
  });
  const writer = writerOn(context, 'bed', 0);
  for (const index of order) {
    const feature = inside[index]!;
    writer.section(`feature ${feature.id}`);
    writer.over(feature.nominal[0], feature.nominal[1]);
    writer.stop(`read the offset of ${feature.id} and write it down`);
  }
  return assemble(context, {
    operation: 'survey-visit',
    name: 'survey-visit',
    title: 'Visit the survey features',
    on: 'bed',
    cutter: null,
    before: [
      'put a pointed finder in the spindle, spindle off',
      'the bed is bare, or the features are open to see',
    ],
    after: ['write the measured X Y of every feature into survey.csv'],
    cautions: [CAUTIONS.moves],
    sites: [],
    moves: writer.finish(),
    stopMinutes: handMinutes(context, 'survey-point', 2),
  });
}
