import { placeText } from '@bedledger/diagnostics';
import { throughMarks } from '@bedledger/fleet';
import { applyTransform, type Point, shortestTour } from '@bedledger/geometry';
import { inTravel } from '../base/safe-heights.ts';
import { addFinding, type WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { keepsLengths, nothingAgainst } from './conditions.ts';
import { type Job, visit } from './descriptor.ts';

interface SurveyVisit extends Job {
  readonly features: readonly Visited[];
}

/** A feature, and where the drawing and the marks lead to it, mm. */
interface Visited {
  readonly id: string;
  readonly place: Point;
}

/** Stops above each survey feature's drawn place, from where the marks are, spindle off, so that the operator can read how far it is off. */
export const SURVEY_VISIT = visit<SurveyVisit>({
  name: 'survey-visit',
  on: () => 'bed',
  notAsked: ({ record }) =>
    (record.survey?.features ?? []).length === 0
      ? 'no features to visit: list bed features with their drawn places in survey.csv'
      : null,
  forbidden: nothingAgainst,
  stop: ['survey-point', 2],
  decide: (context) => {
    const features = featuresInOrder(context);
    if (features.length === 0) return { refused: 'every survey feature is beyond the travel of the machine' };
    return { sites: [], floor: 0, features };
  },
  write: (writer, _, { features }) => {
    for (const feature of features) {
      writer.section(`feature ${feature.id}`);
      writer.over(feature.place[0], feature.place[1]);
      writer.stop(`read the offset of ${feature.id} and write it down`);
    }
  },
  header: ({ machine }) => ({
    title: 'Visit the survey features',
    before: [
      keepsLengths(machine)
        ? 'the cutter for marks is the finder, spindle off'
        : 'put a pointed finder in the spindle, spindle off',
      'the bed is bare, or the features are open to see',
    ],
    after: ['write the measured X Y of every feature into survey.csv'],
    cautions: [CAUTIONS.moves],
  }),
});

/** The features within the travel, on the way that rapids take least time for. */
function featuresInOrder(context: WorkContext): Visited[] {
  const { record, machine } = context;
  const inside: Visited[] = [];
  const marks = throughMarks(machine);
  for (const feature of record.survey?.features ?? []) {
    const place = applyTransform(marks, feature.nominal);
    if (inTravel(machine, place[0], place[1])) {
      inside.push({ id: feature.id, place });
      continue;
    }
    addFinding(context, {
      code: 'operations/out-of-reach',
      severity: 'note',
      message: `survey feature ${feature.id} at ${placeText(place, machine.units)} is beyond the travel and is not visited`,
    });
  }
  const { order } = shortestTour(inside.length, (i, j) => {
    const a = inside[i]!.place;
    const b = inside[j]!.place;
    return Math.max(
      Math.abs(a[0] - b[0]) / machine.motion.rapid.x,
      Math.abs(a[1] - b[1]) / machine.motion.rapid.y,
    );
  });
  return order.map((i) => inside[i]!);
}
