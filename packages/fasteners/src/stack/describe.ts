import type { Bound, Dimension, Stack, StackInput, StackResult } from '../model.ts';
import { largest } from './dimension.ts';
import { lengthName } from './length-name.ts';
import { lengthTolerance } from './length-tolerance.ts';
import { lengthNumber, lengthWords } from './length-words.ts';

/** At most `digits` decimals, without trailing zeros; not for lengths. */
const num = (value: number, digits = 2): string => {
  const text = String(Number(value.toFixed(digits)));
  return text === '-0' ? '0' : text;
};

type Say = (value: number, digits?: number) => string;

/** Lengths in the units that the input speaks. */
const lengths =
  (input: StackInput): Say =>
  (value, digits = 2) =>
    lengthNumber(value, input.units, digits);

const plusMinus = (d: Dimension, len: Say): string =>
  d.uncertainty === 0 ? len(d.value, 3) : `${len(d.value, 3)} ± ${len(d.uncertainty, 3)}`;

const grade = (d: Dimension): string => {
  return d.from.grade === 'measured' ? d.from.standard : `${d.from.standard}, grade ${d.from.grade}`;
};

/**
 * One site's stack in lines for people, with the arithmetic shown: parts and their sources, heights from the bed up,
 * depths below it, the hole, forces, life, then every bound with its margin. Lengths in `input.units` (millimetres when it
 * names none) unless a line says otherwise.
 */
export function describeStack(stack: Stack, input: StackInput): string[] {
  const len = lengths(input);
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
  const len = lengths(input);
  const { fixing } = input;
  const { screw, insert, washer, socket, clearanceHole } = fixing;
  const lines = [
    `fixing ${fixing.id}: ${fixing.title}${input.units === 'in' ? ' (lengths in inches)' : ''}`,
    `screw ${screw.thread.designation}, ${screw.head}, ${screw.material}: head ${plusMinus(screw.headDiameter, len)} across, ${plusMinus(screw.headHeight, len)} high (${grade(screw.headHeight)})`,
    `insert ${insert.material}${insert.taper > 0 ? `, taper ${num(insert.taper)}°` : ''}, ${insert.through ? 'open' : 'closed'} at the bottom: ${plusMinus(insert.outside, len)} outside, ${plusMinus(insert.length, len)} long (${grade(insert.outside)})`,
  ];
  if (washer !== undefined) {
    lines.push(
      `washer: ${plusMinus(washer.inside, len)} inside, ${plusMinus(washer.outside, len)} outside, ${plusMinus(washer.thickness, len)} thick (${grade(washer.outside)})`,
    );
  }
  lines.push(
    `driving tool: ${plusMinus(socket.outside, len)} outside (${grade(socket.outside)}); clearance hole ${plusMinus(clearanceHole, len)} (${grade(clearanceHole)})`,
  );
  return lines;
}

function heights(stack: Stack, input: StackInput): string[] {
  const len = lengths(input);
  const { screw, washer } = input.fixing;
  const u = input.thicknessUncertainty;
  const cone = stack.countersink !== undefined;
  const sum = [len(stack.web)];
  if (washer !== undefined) sum.push(`washer ${len(largest(washer.thickness), 3)}`);
  if (!screw.countersunk) sum.push(`head ${len(largest(screw.headHeight), 3)}`);
  const climb = cone ? stack.headTop - stack.web : 0;
  if (climb > 0) sum.push(`climb on the cone ${len(climb)}`);
  return [
    `pocket floor ${len(stack.web)} above the bed (${stack.governs.floor} governs)${cone ? `, ${len(stack.web - (stack.countersink?.depth ?? 0))} of it under the cone` : ''}; pocket depth ${len(input.thickness)} − ${len(stack.web)} = ${len(stack.pocketDepth)}`,
    `head top at most ${sum.join(' + ')} = ${len(stack.headTop)}; cover ${len(input.thickness)} − ${len(stack.headTop)} = ${len(stack.cover)}, at least ${len(stack.cover - u)}`,
  ];
}

function below(stack: Stack, input: StackInput): string[] {
  const len = lengths(input);
  const { washer, insert, screw } = input.fixing;
  const { rules, bed } = input;
  const m = washer === undefined ? '' : ` − washer ${len(washer.thickness.value, 3)}`;
  const drill = stack.handDrill;
  const lines = [
    `screw ${screw.thread.designation} × ${lengthName(screw.thread.designation, stack.screwLength)} (± ${len(lengthTolerance(stack.screwLength))}): end ${len(stack.screwLength)} − ${len(stack.web)}${m} = ${len(stack.endDepth)} below the bed`,
    `engagement min(${len(stack.endDepth)}, ${len(insert.length.value)}) − ${len(rules.entryLoss)} = ${len(stack.engagement)}; needed for the pull ${len(stack.engagementNeed.pull)}, for full strength ${len(stack.engagementNeed.full)} (the ${stack.engagementNeed.strips}'s thread strips first)`,
    `drill by hand ⌀ ${len(drill.diameter, 3)} (${drill.name}): ${len(largest(insert.length), 3)} + ${len(rules.boreReserve)} = ${len(drill.depth, 3)} full diameter, tip at ${len(drill.depth, 3)} + ${len(drill.pointLength)} = ${len(drill.tipDepth)}; bed left ${len(bed.thickness)} − ${len(drill.tipDepth)} = ${len(bed.thickness - drill.tipDepth)}`,
  ];
  if (stack.entryRelief !== undefined) {
    lines.push(
      `entry relief cut by the machine ⌀ ${len(stack.entryRelief.diameter)} × ${len(stack.entryRelief.depth)} (cut limit ${len(bed.cutLimit)})`,
    );
  }
  lines.push(
    `adhesive ${num(stack.adhesiveVolume / 1000, 3)} ml a site, ${num(rules.adhesiveSpare * 100)} % spare in it`,
  );
  return lines;
}

function across(stack: Stack, input: StackInput): string[] {
  const len = lengths(input);
  const { lateral } = stack;
  const { screw } = input.fixing;
  const d = screw.thread.majorDiameter;
  const restrained = lateral.restrained > 1e-9;
  return [
    `growth ${input.rules.growthPerPercent} × ${num(input.rules.moistureSwing)} × ${len(input.reach)} = ${len(lateral.growth, 3)}, position ± ${len(lateral.position, 3)}`,
    restrained
      ? `the hole takes ${len(lateral.total, 3)} of ${len(lateral.growth + lateral.position, 3)}; the screws hold ${len(lateral.restrained, 3)} back: the board is restrained here`
      : `the hole takes all of it: ${len(lateral.total, 3)}`,
    `clearance hole ⌀ ${len(stack.clearanceDiameter)}: (${len(stack.clearanceDiameter)} − ${len(d, 3)}) / 2 = ${len((stack.clearanceDiameter - d) / 2, 3)} (${stack.governs.clearance} governs); refit ⌀ ${len(stack.refitDiameter)}${stack.refitDiameter < stack.clearanceDiameter ? ', open it by hand when breaking through' : ''}`,
    `pocket ⌀ ${len(stack.pocketDiameter)}, the ${stack.governs.pocket} governs`,
    ...(stack.countersink === undefined
      ? []
      : [
          `countersink ${num(stack.countersink.angle)}°, ⌀ ${len(stack.countersink.diameter)} at the pocket's floor; a cone centres its screw: growth lifts the head instead`,
        ]),
  ];
}

function forces(stack: Stack, input: StackInput): string[] {
  const why = {
    screw: 'half its breaking load',
    thread: 'the thread engaged',
    web: 'the web under the head',
  };
  return [
    `working torque ${num(stack.workingTorque)} N·m, preload ${num(stack.preload, 0)} N (${why[stack.governs.torque]} governs); design pull ${num(input.rules.pull)} N, safety ${num(input.rules.safetyFactor)}`,
  ];
}

/** One line per bound: value, limit, margin, what governs, and the source of the formula. */
export function describeBounds(bounds: readonly Bound[], units: StackInput['units'] = 'mm'): string[] {
  return bounds.map((b) => {
    const say = (v: number): string => (b.unit === 'mm' ? lengthNumber(v, units) : num(v));
    const unit = b.unit === 'mm' ? units : b.unit;
    const mark = b.margin < -1e-9 ? ' FAILS' : b.governs ? ' governs' : '';
    return `${b.id}: ${b.title}: ${say(b.value)} ${b.sense === '>=' ? '≥' : '≤'} ${say(b.limit)} ${unit}, margin ${say(b.margin)}${mark} [${b.source}]`;
  });
}

/** What an infeasible stack has to say: the two bounds that conflict, every failing bound, and what frees it. */
export function describeInfeasible(
  result: Extract<StackResult, { feasible: false }>,
  input: StackInput,
): string[] {
  const [first, second] = result.conflict;
  const of = (id: string): string => {
    const bound = result.bounds.find((b) => b.id === id);
    return bound === undefined
      ? id
      : `${bound.title} (${id}, ${bound.unit === 'mm' ? lengthWords(bound.limit, input.units) : `${num(bound.limit)} ${bound.unit}`})`;
  };
  return [
    `fixing ${input.fixing.id} cannot be had on a board of ${lengthWords(input.thickness, input.units)}: ${of(first)} and ${of(second)} cannot both hold`,
    ...describeBounds(
      result.bounds.filter((b) => b.margin < -1e-9 || result.conflict.includes(b.id)),
      input.units,
    ),
    ...(result.remedies.length === 0
      ? ['no single change, nor two together, of those tried frees it: choose another fixing']
      : result.remedies.map((r) => `to free it: ${r}`)),
  ];
}
