import {
  exactNumber,
  FORCE_UNIT,
  forceNumber,
  forceText,
  screwName,
  torqueText,
  trimmed,
  type Units,
  writtenLength,
  writtenNumber,
} from '@bedledger/diagnostics';
import type { Bound, Dimension, Stack, StackInput, StackResult } from '../model.ts';
import { largest } from './dimension.ts';
import { lengthTolerance } from './length-tolerance.ts';

type Say = (mm: number) => string;

/** Lengths without their unit, in the units of the reader: of which hundredths matter, and of which every digit does. */
function lengths({ units = 'mm' }: StackInput): { readonly len: Say; readonly exact: Say } {
  return { len: (mm) => writtenNumber(mm, units), exact: (mm) => exactNumber(mm, units) };
}

const plusMinus = (d: Dimension, exact: Say): string =>
  d.uncertainty === 0 ? exact(d.value) : `${exact(d.value)} ± ${exact(d.uncertainty)}`;

const grade = (d: Dimension): string => {
  return d.from.grade === 'measured' ? d.from.standard : `${d.from.standard}, grade ${d.from.grade}`;
};

/**
 * One site's stack in lines for people, with the arithmetic shown: parts and their sources, heights from the bed up,
 * depths below it, the hole, forces, life, then every bound with its margin. Lengths in `input.units` (millimetres when it
 * names none) unless a line says otherwise.
 */
export function describeStack(stack: Stack, input: StackInput): string[] {
  const { len } = lengths(input);
  return [
    ...parts(input),
    ...heights(stack, input),
    ...below(stack, input),
    ...across(stack, input),
    ...forces(stack, input),
    `life: (${len(input.thickness)} − ${len(stack.life.replaceAt)}) / ${len(input.rules.skim)} a skim = ${stack.life.skims} skims; replace the board at ${len(stack.life.replaceAt)} (${stack.life.governs === 'cover' ? 'cover over the head' : 'least thickness'} governs)`,
    ...describeBounds(stack.bounds, input.units),
  ];
}

function parts(input: StackInput): string[] {
  const { exact } = lengths(input);
  const { fixing } = input;
  const { screw, insert, washer, socket, clearanceHole, closeHole } = fixing;
  const lines = [
    `fixing ${fixing.id}: ${fixing.title}${input.units === 'in' ? ' (lengths in inches)' : ''}`,
    `screw ${screw.thread.designation}, ${screw.head}, ${screw.material}: head ${plusMinus(screw.headDiameter, exact)} across, ${plusMinus(screw.headHeight, exact)} high (${grade(screw.headHeight)})`,
    `insert ${insert.material}${insert.taper > 0 ? `, taper ${trimmed(insert.taper, 2)}°` : ''}, ${insert.through ? 'open' : 'closed'} at the bottom: ${plusMinus(insert.outside, exact)} outside, ${plusMinus(insert.length, exact)} long (${grade(insert.outside)})`,
  ];
  if (washer !== undefined) {
    lines.push(
      `washer: ${plusMinus(washer.inside, exact)} inside, ${plusMinus(washer.outside, exact)} outside, ${plusMinus(washer.thickness, exact)} thick (${grade(washer.outside)})`,
    );
  }
  lines.push(
    `driving tool: ${plusMinus(socket.outside, exact)} outside (${grade(socket.outside)}); clearance hole ${plusMinus(clearanceHole, exact)} (${grade(clearanceHole)}), close ${plusMinus(closeHole, exact)}`,
  );
  return lines;
}

function heights(stack: Stack, input: StackInput): string[] {
  const { len, exact } = lengths(input);
  const { screw, washer } = input.fixing;
  const u = input.thicknessUncertainty;
  const cone = stack.countersink !== undefined;
  const sum = [len(stack.web)];
  if (washer !== undefined) sum.push(`washer ${exact(largest(washer.thickness))}`);
  if (!screw.countersunk) sum.push(`head ${exact(largest(screw.headHeight))}`);
  const climb = cone ? stack.headTop - stack.web : 0;
  if (climb > 0) sum.push(`climb on the cone ${len(climb)}`);
  return [
    `pocket floor ${len(stack.web)} above the bed (${stack.governs.floor} governs)${cone ? `, ${len(stack.web - (stack.countersink?.depth ?? 0))} of it under the cone` : ''}; pocket depth ${len(input.thickness)} − ${len(stack.web)} = ${len(stack.pocketDepth)}`,
    `head top at most ${sum.join(' + ')} = ${len(stack.headTop)}; cover ${len(input.thickness)} − ${len(stack.headTop)} = ${len(stack.cover)}, at least ${len(stack.cover - u)}`,
  ];
}

function below(stack: Stack, input: StackInput): string[] {
  const { len, exact } = lengths(input);
  const { washer, insert, screw } = input.fixing;
  const { rules, bed } = input;
  const m = washer === undefined ? '' : ` − washer ${exact(washer.thickness.value)}`;
  const drill = stack.handDrill;
  const lines = [
    `screw ${screwName(screw.thread.designation, stack.screwLength)} (± ${len(lengthTolerance(stack.screwLength))}): end ${len(stack.screwLength)} − ${len(stack.web)}${m} = ${len(stack.endDepth)} below the bed`,
    `engagement min(${len(stack.endDepth)}, ${len(insert.length.value)}) − ${len(rules.entryLoss)} = ${len(stack.engagement)}; needed for the pull ${len(stack.engagementNeed.pull)}, for full strength ${len(stack.engagementNeed.full)} (the ${stack.engagementNeed.strips}'s thread strips first)`,
    `drill by hand ⌀ ${exact(drill.diameter)} (${drill.name}): ${exact(largest(insert.length))} + ${len(rules.boreReserve)} = ${exact(drill.depth)} full diameter, tip at ${exact(drill.depth)} + ${len(drill.pointLength)} = ${len(drill.tipDepth)}; bed left ${len(bed.thickness)} − ${len(drill.tipDepth)} = ${len(bed.thickness - drill.tipDepth)}`,
  ];
  if (stack.entryRelief !== undefined) {
    lines.push(
      `entry relief cut by the machine ⌀ ${len(stack.entryRelief.diameter)} × ${len(stack.entryRelief.depth)} (deepest cut ${len(bed.cutLimit)})`,
    );
  }
  lines.push(
    `adhesive ${trimmed(stack.adhesiveVolume / 1000, 3)} ml a site, ${trimmed(rules.adhesiveSpare * 100, 2)} % spare in it`,
  );
  return lines;
}

function across(stack: Stack, input: StackInput): string[] {
  const { len, exact } = lengths(input);
  const { lateral } = stack;
  const { screw } = input.fixing;
  const d = screw.thread.majorDiameter;
  const restrained = lateral.restrained > 1e-9;
  return [
    ...(input.held === true
      ? ['the board is held here, by a close hole: everything else moves from here']
      : []),
    `growth ${input.rules.growthPerPercent} × ${trimmed(input.rules.moistureSwing, 2)} × ${len(input.reach)} from where the board is held = ${exact(lateral.growth)}, position ± ${exact(lateral.position)}`,
    restrained
      ? `the hole takes ${exact(lateral.total)} of ${exact(lateral.growth + lateral.position)}; the screws hold ${exact(lateral.restrained)} back: the board is restrained here`
      : `the hole takes all of it: ${exact(lateral.total)}`,
    `clearance hole ⌀ ${len(stack.clearanceDiameter)}: (${len(stack.clearanceDiameter)} − ${exact(d)}) / 2 = ${exact((stack.clearanceDiameter - d) / 2)} (${stack.governs.clearance} governs); refit ⌀ ${len(stack.refitDiameter)}${stack.refitDiameter < stack.clearanceDiameter ? ', open it by hand when breaking through' : ''}`,
    `pocket ⌀ ${len(stack.pocketDiameter)}, the ${stack.governs.pocket} governs`,
    ...(stack.countersink === undefined
      ? []
      : [
          `countersink ${trimmed(stack.countersink.angle, 2)}°, ⌀ ${len(stack.countersink.diameter)} at the pocket's floor; a cone centres its screw: growth lifts the head instead`,
        ]),
  ];
}

function forces(stack: Stack, input: StackInput): string[] {
  const { units = 'mm' } = input;
  const why = {
    screw: 'half its breaking load',
    thread: 'the thread engaged',
    web: 'the web under the head',
  };
  return [
    `working torque ${torqueText(stack.workingTorque, units)}, preload ${forceText(stack.preload, units)} (${why[stack.governs.torque]} governs); design pull ${forceText(input.rules.pull, units)}, safety ${trimmed(input.rules.safetyFactor, 2)}`,
  ];
}

/** One line per bound: value, limit, margin, what governs, and the source of the formula. */
export function describeBounds(bounds: readonly Bound[], units: Units = 'mm'): string[] {
  return bounds.map((b) => {
    const say = (v: number): string => (b.unit === 'mm' ? writtenNumber(v, units) : forceNumber(v, units));
    const unit = b.unit === 'mm' ? units : FORCE_UNIT[units];
    const mark = b.margin < -1e-9 ? ' FAILS' : b.governs ? ' governs' : '';
    return `${b.id}: ${b.title}: ${say(b.value)} ${b.sense === '>=' ? '≥' : '≤'} ${say(b.limit)} ${unit}, margin ${say(b.margin)}${mark} [${b.source}]`;
  });
}

/** What an infeasible stack has to say: the two bounds that conflict, every failing bound, and what frees it. */
export function describeInfeasible(
  result: Extract<StackResult, { feasible: false }>,
  input: StackInput,
): string[] {
  const { units = 'mm' } = input;
  const [first, second] = result.conflict;
  const of = (id: string): string => {
    const bound = result.bounds.find((b) => b.id === id);
    return bound === undefined
      ? id
      : `${bound.title} (${id}, ${bound.unit === 'mm' ? writtenLength(bound.limit, units) : forceText(bound.limit, units)})`;
  };
  return [
    `fixing ${input.fixing.id} cannot be had on a board of ${writtenLength(input.thickness, units)}: ${of(first)} and ${of(second)} cannot both hold`,
    ...describeBounds(
      result.bounds.filter((b) => b.margin < -1e-9 || result.conflict.includes(b.id)),
      units,
    ),
    ...(result.remedies.length === 0
      ? ['no single change, nor two together, of those tried frees it: choose another fixing']
      : result.remedies.map((r) => `to free it: ${r}`)),
  ];
}
