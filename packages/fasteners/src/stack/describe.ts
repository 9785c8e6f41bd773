import type { Bound, Dimension, Stack, StackInput, StackResult } from '../model.ts';
import { largest } from './dimension.ts';
import { lengthName } from './length-name.ts';
import { lengthTolerance } from './length-tolerance.ts';

/** At most `digits` decimals, without trailing zeros. */
const num = (value: number, digits = 2): string => {
  const text = String(Number(value.toFixed(digits)));
  return text === '-0' ? '0' : text;
};

const plusMinus = (d: Dimension): string =>
  d.uncertainty === 0 ? num(d.value, 3) : `${num(d.value, 3)} ± ${num(d.uncertainty, 3)}`;

const grade = (d: Dimension): string => {
  return d.from.grade === 'measured' ? d.from.standard : `${d.from.standard}, grade ${d.from.grade}`;
};

/**
 * One site's stack in lines for people, with the arithmetic shown: parts and their sources, heights from the bed up,
 * depths below it, the hole, forces, life, then every bound with its margin. Millimetres unless a line says otherwise.
 */
export function describeStack(stack: Stack, input: StackInput): string[] {
  return [
    ...parts(input),
    ...heights(stack, input),
    ...below(stack, input),
    ...across(stack, input),
    ...forces(stack, input),
    `life: (${num(input.thickness)} − ${num(stack.life.replaceAt)}) / ${num(input.rules.skim)} a skim = ${stack.life.skims} skims; replace the board at ${num(stack.life.replaceAt)} (${stack.life.governs === 'cover' ? 'cover over the head' : 'least thickness'} governs)`,
    ...describeBounds(stack.bounds),
  ];
}

function parts(input: StackInput): string[] {
  const { fixing } = input;
  const { screw, insert, washer, socket, clearanceHole } = fixing;
  const lines = [
    `fixing ${fixing.id}: ${fixing.title}`,
    `screw ${screw.thread.designation}, ${screw.head}, ${screw.material}: head ${plusMinus(screw.headDiameter)} across, ${plusMinus(screw.headHeight)} high (${grade(screw.headHeight)})`,
    `insert ${insert.material}${insert.taper > 0 ? `, taper ${num(insert.taper)}°` : ''}, ${insert.through ? 'open' : 'closed'} at the bottom: ${plusMinus(insert.outside)} outside, ${plusMinus(insert.length)} long (${grade(insert.outside)})`,
  ];
  if (washer !== undefined) {
    lines.push(
      `washer: ${plusMinus(washer.inside)} inside, ${plusMinus(washer.outside)} outside, ${plusMinus(washer.thickness)} thick (${grade(washer.outside)})`,
    );
  }
  lines.push(
    `driving tool: ${plusMinus(socket.outside)} outside (${grade(socket.outside)}); clearance hole ${plusMinus(clearanceHole)} (${grade(clearanceHole)})`,
  );
  return lines;
}

function heights(stack: Stack, input: StackInput): string[] {
  const { screw, washer } = input.fixing;
  const u = input.thicknessUncertainty;
  const cone = stack.countersink !== undefined;
  const sum = [num(stack.web)];
  if (washer !== undefined) sum.push(`washer ${num(largest(washer.thickness), 3)}`);
  if (!screw.countersunk) sum.push(`head ${num(largest(screw.headHeight), 3)}`);
  const climb = cone ? stack.headTop - stack.web : 0;
  if (climb > 0) sum.push(`climb on the cone ${num(climb)}`);
  return [
    `pocket floor ${num(stack.web)} above the bed (${stack.governs.floor} governs)${cone ? `, ${num(stack.web - (stack.countersink?.depth ?? 0))} of it under the cone` : ''}; pocket depth ${num(input.thickness)} − ${num(stack.web)} = ${num(stack.pocketDepth)}`,
    `head top at most ${sum.join(' + ')} = ${num(stack.headTop)}; cover ${num(input.thickness)} − ${num(stack.headTop)} = ${num(stack.cover)}, at least ${num(stack.cover - u)}`,
  ];
}

function below(stack: Stack, input: StackInput): string[] {
  const { washer, insert, screw } = input.fixing;
  const { rules, bed } = input;
  const m = washer === undefined ? '' : ` − washer ${num(washer.thickness.value, 3)}`;
  const drill = stack.handDrill;
  const lines = [
    `screw ${screw.thread.designation} × ${lengthName(screw.thread.designation, stack.screwLength)} (± ${num(lengthTolerance(stack.screwLength))}): end ${num(stack.screwLength)} − ${num(stack.web)}${m} = ${num(stack.endDepth)} below the bed`,
    `engagement min(${num(stack.endDepth)}, ${num(insert.length.value)}) − ${num(rules.entryLoss)} = ${num(stack.engagement)}; needed for the pull ${num(stack.engagementNeed.pull)}, for full strength ${num(stack.engagementNeed.full)} (the ${stack.engagementNeed.strips}'s thread strips first)`,
    `drill by hand ⌀ ${num(drill.diameter, 3)} (${drill.name}): ${num(largest(insert.length), 3)} + ${num(rules.boreReserve)} = ${num(drill.depth, 3)} full diameter, tip at ${num(drill.depth, 3)} + ${num(drill.pointLength)} = ${num(drill.tipDepth)}; bed left ${num(bed.thickness)} − ${num(drill.tipDepth)} = ${num(bed.thickness - drill.tipDepth)}`,
  ];
  if (stack.entryRelief !== undefined) {
    lines.push(
      `entry relief cut by the machine ⌀ ${num(stack.entryRelief.diameter)} × ${num(stack.entryRelief.depth)} (cut limit ${num(bed.cutLimit)})`,
    );
  }
  lines.push(
    `adhesive ${num(stack.adhesiveVolume / 1000, 3)} ml a site, ${num(rules.adhesiveSpare * 100)} % spare in it`,
  );
  return lines;
}

function across(stack: Stack, input: StackInput): string[] {
  const { lateral } = stack;
  const { screw } = input.fixing;
  const d = screw.thread.majorDiameter;
  const restrained = lateral.restrained > 1e-9;
  return [
    `growth ${input.rules.growthPerPercent} × ${num(input.rules.moistureSwing)} × ${num(input.reach)} = ${num(lateral.growth, 3)}, position ± ${num(lateral.position, 3)}`,
    restrained
      ? `the hole takes ${num(lateral.total, 3)} of ${num(lateral.growth + lateral.position, 3)}; the screws hold ${num(lateral.restrained, 3)} back: the board is restrained here`
      : `the hole takes all of it: ${num(lateral.total, 3)}`,
    `clearance hole ⌀ ${num(stack.clearanceDiameter)}: (${num(stack.clearanceDiameter)} − ${num(d, 3)}) / 2 = ${num((stack.clearanceDiameter - d) / 2, 3)} (${stack.governs.clearance} governs); refit ⌀ ${num(stack.refitDiameter)}${stack.refitDiameter < stack.clearanceDiameter ? ', open it by hand when breaking through' : ''}`,
    `pocket ⌀ ${num(stack.pocketDiameter)}, the ${stack.governs.pocket} governs`,
    ...(stack.countersink === undefined
      ? []
      : [
          `countersink ${num(stack.countersink.angle)}°, ⌀ ${num(stack.countersink.diameter)} at the pocket's floor; a cone centres its screw: growth lifts the head instead`,
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
export function describeBounds(bounds: readonly Bound[]): string[] {
  return bounds.map((b) => {
    const mark = b.margin < -1e-9 ? ' FAILS' : b.governs ? ' governs' : '';
    return `${b.id}: ${b.title}: ${num(b.value)} ${b.sense === '>=' ? '≥' : '≤'} ${num(b.limit)} ${b.unit}, margin ${num(b.margin)}${mark} [${b.source}]`;
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
    return bound === undefined ? id : `${bound.title} (${id}, ${num(bound.limit)} ${bound.unit})`;
  };
  return [
    `fixing ${input.fixing.id} cannot be had on a board of ${num(input.thickness)} mm: ${of(first)} and ${of(second)} cannot both hold`,
    ...describeBounds(result.bounds.filter((b) => b.margin < -1e-9 || result.conflict.includes(b.id))),
    ...(result.remedies.length === 0
      ? ['no single change, nor two together, of those tried frees it: choose another fixing']
      : result.remedies.map((r) => `to free it: ${r}`)),
  ];
}
