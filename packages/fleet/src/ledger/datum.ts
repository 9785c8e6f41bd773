import { type Diagnostic, fineLength } from '@bedledger/diagnostics';
import {
  applyTransform,
  composeTransforms,
  distance,
  IDENTITY,
  type Point,
  register,
  type Transform,
} from '@bedledger/geometry';
import type { Fact, Ledger } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';
import type { HeightMap, Survey } from '../model/record.ts';
import { type Locator, nowhere, report } from '../report.ts';
import { isMapOf } from './current-map.ts';
import { movedHeights, movedMachine } from './moved-machine.ts';

/** A ledger and a survey brought into the frame of the newest datum measurement. */
export interface InForce {
  readonly ledger: Ledger;
  readonly survey: Survey | null;
  /** The machine with what is fixed to its bed where it is now. */
  readonly machine: Machine;
  /** A height map with its places where they are now. */
  readonly heights: (map: HeightMap) => HeightMap;
  /** Each says by `facts.entry` which entry of the ledger it is of, counting from 1. */
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * Positions as they are today. A machine that was moved or rehomed finds the bed shifted and turned: measuring the two datum
 * marks anew (`datum` facts) gives the rigid map from the frame before to the frame after. Everything recorded earlier, and a
 * survey taken earlier, is mapped along; the layout on the drawing of the bed stays what it is.
 *
 * Without a survey, the two marks are one: the drawing's marks against the measured ones.
 *
 * @param limit - greatest change of the distance between the marks that is still the same pair of marks, mm
 * @param at - locates in the ledger's file
 */
export function inForce(
  ledger: Ledger,
  survey: Survey | null,
  machine: Machine,
  limit: number,
  at: Locator = nowhere,
): InForce {
  const diagnostics: Diagnostic[] = [];
  const { facts } = ledger;
  if (!facts.some((f) => f.fact === 'datum')) {
    return { ledger, survey, machine, heights: (map) => map, diagnostics };
  }

  // Map of each datum fact: from the frame before it to the frame after it.
  const steps = new Map<number, Transform>();
  const drawn = machine.datum.drawn ?? machine.datum;
  let before: readonly [Point, Point] = [drawn.mark, drawn.second];
  for (const [i, f] of facts.entries()) {
    if (f.fact !== 'datum') continue;
    const [was, is] = [distance(before[0], before[1]), distance(f.mark, f.second)];
    if (!(is > 0) || Math.abs(was - is) > limit) {
      const { units } = machine;
      diagnostics.push(
        report({
          code: 'ledger/datum-distance',
          ...at(['facts', i, 'second']),
          message: `the two datum marks are ${fineLength(is, units)} apart, but were ${fineLength(was, units)} apart before`,
          facts: { entry: i + 1 },
        }),
      );
      continue;
    }
    const fit = register(
      [
        { id: 'datum mark', from: before[0], to: f.mark },
        { id: 'second mark', from: before[1], to: f.second },
      ],
      { sigma: limit, model: 'rigid' },
    );
    steps.set(i, fit.transform);
    before = [f.mark, f.second];
  }

  let since: Transform = IDENTITY;
  let sinceSurvey: Transform | null = null;
  const mapped: Fact[] = [];
  const sinceMap = new Map<string, Transform>();
  for (let i = facts.length - 1; i >= 0; i -= 1) {
    const f = facts[i] as Fact;
    // The survey's own readings hold from its day on; a survey that no fact dates is older than every datum fact.
    if (f.fact === 'survey' && sinceSurvey === null) sinceSurvey = since;
    if (f.fact === 'heights' && !sinceMap.has(f.file)) sinceMap.set(f.file, since);
    mapped.push(mapFact(f, since));
    const step = steps.get(i);
    if (step) since = composeTransforms(since, step);
  }
  mapped.reverse();
  return {
    ledger: { facts: mapped },
    survey: mapSurvey(survey, sinceSurvey ?? since, machine, before),
    // One that has gone along already is not moved twice.
    machine: steps.size === 0 || machine.datum.drawn ? machine : movedMachine(machine, since, before),
    heights: (map) => {
      const t = [...sinceMap].find(([file]) => isMapOf(map, file))?.[1];
      return t === undefined ? map : movedHeights(map, t);
    },
    diagnostics,
  };
}

/** A fact with its position in the frame after `t`. A new kind of fact says here whether it has one. */
function mapFact(f: Fact, t: Transform): Fact {
  switch (f.fact) {
    case 'mark':
    case 'bore':
    case 'insert':
      return { ...f, at: applyTransform(t, f.at) };
    case 'fill':
    case 'board':
    case 'pocket':
    case 'screws':
    case 'vouch':
    case 'withdraw':
    case 'skim':
    case 'heights':
    case 'vacuum':
    case 'moisture':
    case 'survey':
    case 'datum':
    case 'time':
    case 'note':
      return f;
    default:
      return f satisfies never;
  }
}

function mapSurvey(
  survey: Survey | null,
  t: Transform,
  machine: Machine,
  marks: readonly [Point, Point],
): Survey | null {
  if (survey?.features.some((f) => f.measured !== null)) {
    return {
      ...survey,
      features: survey.features.map((f) => ({
        ...f,
        measured: f.measured === null ? null : applyTransform(t, f.measured),
      })),
    };
  }
  const { mark, second } = machine.datum.drawn ?? machine.datum;
  return {
    file: survey?.file ?? `machines/${machine.id}/ledger.yaml`,
    features: [
      ...(survey?.features ?? []),
      { id: 'datum mark', nominal: mark, measured: marks[0] },
      { id: 'second mark', nominal: second, measured: marks[1] },
    ],
  };
}
