import type { Stack, StackInput } from '../model.ts';

/**
 * Checks a stack from the raw dimensions, written a second time in the plainest way and sharing no code with the
 * solver: every inequality the design asks for. Returns the names of those that do not hold.
 */
export function naiveCheck(stack: Stack, input: StackInput): string[] {
  const wrong: string[] = [];
  const must = (name: string, holds: boolean): void => {
    if (!holds) wrong.push(name);
  };
  const e = 1e-6;
  const { fixing, rules, bed } = input;
  const { screw, insert, washer } = fixing;
  const u = input.thicknessUncertainty;
  const cup = washer !== undefined && washer.cup === true;
  const cone = screw.countersunk && !cup;
  const js15: readonly (readonly [number, number])[] = [
    [10, 0.29],
    [18, 0.35],
    [30, 0.42],
    [50, 0.5],
    [80, 0.6],
    [1e9, 0.7],
  ];
  const tolerance = js15.find(([upTo]) => stack.screwLength <= upTo)?.[1] ?? 0;

  // across
  const growth = rules.growthPerPercent * rules.moistureSwing * input.reach;
  const off = rules.growth === 'restrain' ? stack.lateral.total : growth + input.positionUncertainty;
  must('lateral is at least the position error', off >= input.positionUncertainty - e);
  must(
    'restrained is what is left',
    Math.abs(growth + input.positionUncertainty - off - stack.lateral.restrained) < e,
  );
  const d = screw.thread.majorDiameter;
  must('hole floats', (stack.clearanceDiameter - d) / 2 >= off - e);
  must('hole is the standard’s', stack.clearanceDiameter >= fixing.clearanceHole.value - e);
  const play =
    washer === undefined ? 0 : Math.max(0, (washer.inside.value + washer.inside.uncertainty - d) / 2);
  const bearing =
    washer === undefined
      ? (screw.bearing ?? screw.headDiameter).value - (screw.bearing ?? screw.headDiameter).uncertainty
      : washer.outside.value - washer.outside.uncertainty;
  must('ring bears', (bearing - stack.clearanceDiameter) / 2 - off - play >= rules.bearingMin - e);
  const head = screw.headDiameter.value + screw.headDiameter.uncertainty;
  const socket = fixing.socket.outside.value + fixing.socket.outside.uncertainty;
  must('pocket takes the head', stack.pocketDiameter >= head + Math.max(rules.pocketClearance, 2 * off) - e);
  must(
    'pocket takes the socket',
    stack.pocketDiameter >= socket + Math.max(rules.pocketClearance, 2 * off) - e,
  );
  if (washer !== undefined) {
    const disc = washer.outside.value + washer.outside.uncertainty;
    must(
      'pocket takes the washer',
      stack.pocketDiameter >= disc + Math.max(rules.pocketClearance, 2 * (off + play)) - e,
    );
  }
  must(
    'refit is conservative',
    stack.refitDiameter <= stack.clearanceDiameter + e && stack.refitDiameter >= d,
  );
  must('refit takes the position error', (stack.refitDiameter - d) / 2 >= input.positionUncertainty - e);

  // heights
  const k = screw.headHeight.value + screw.headHeight.uncertainty;
  const thick = washer === undefined ? 0 : washer.thickness.value + washer.thickness.uncertainty;
  const thin = washer === undefined ? 0 : washer.thickness.value - washer.thickness.uncertainty;
  const half = ((screw.headAngle ?? 90) / 2) * (Math.PI / 180);
  const climb = cone ? off / Math.tan(half) : 0;
  const web = stack.web - (cone ? k : 0) - u;
  const top = stack.web + thick + (screw.countersunk ? 0 : k) + climb;
  must('web of the house', web >= rules.webMin - e);
  const shear = cone
    ? (screw.headDiameter.value - screw.headDiameter.uncertainty + stack.clearanceDiameter) / 2
    : bearing;
  must(
    'web is not punched',
    Math.PI * shear * web * rules.boardShear >= rules.safetyFactor * rules.pull * (1 - 1e-9),
  );
  must('skin', web >= rules.refitSkin - e);
  must('head top', Math.abs(stack.headTop - top) < e);
  must('cover', input.thickness - u - top >= rules.coverMin - e);
  must('cover as told', Math.abs(stack.cover - (input.thickness - top)) < e);
  must('pocket depth', Math.abs(stack.pocketDepth + stack.web - input.thickness) < e);
  must('least board', input.thickness - u >= input.leastThickness - e);

  // below
  const length = insert.length.value - insert.length.uncertainty;
  const deep = stack.screwLength + tolerance - stack.web - thin + u;
  must('end', insert.through ? deep <= length + e : deep <= length - rules.endGap + e);
  must(
    'end over the bore’s bottom',
    deep <= stack.handDrill.depth - rules.endGap + e || rules.boreReserve < rules.endGap,
  );
  const shallow = stack.screwLength - tolerance - stack.web - thick - climb - u;
  const engaged = Math.min(shallow, length) - rules.entryLoss;
  const K = insert.thread.internal.minorMax;
  const E = screw.thread.external.pitchMin;
  const D = screw.thread.external.majorMin;
  const En = insert.thread.internal.pitchMax;
  const n = 1 / screw.thread.pitch;
  const screwStrips = Math.PI * n * engaged * K * (1 / (2 * n) + 0.57735 * (E - K)) * screw.shearStrength;
  const insertStrips = Math.PI * n * engaged * D * (1 / (2 * n) + 0.57735 * (D - En)) * insert.shearStrength;
  const breaks = Math.min(
    screw.thread.stressArea * screw.tensileStrength,
    screw.published?.breakingLoad ?? Number.POSITIVE_INFINITY,
  );
  must(
    'threads hold the pull',
    Math.min(screwStrips, insertStrips) >= rules.safetyFactor * rules.pull - 1e-3,
  );
  if (screw.material === 'pa66')
    must('screw breaks first', Math.min(screwStrips, insertStrips) >= breaks - 1e-3);
  must('screw holds the pull', breaks >= rules.safetyFactor * rules.pull - e);
  must('preload within the parts', stack.preload <= breaks / 2 + 1e-6 && stack.preload > 0);
  must('torque is positive', stack.workingTorque > 0);

  // bed
  must(
    'bore holds the insert',
    stack.handDrill.depth >= insert.length.value + insert.length.uncertainty + rules.boreReserve - e,
  );
  const tip = stack.handDrill.depth + stack.handDrill.diameter / 2 / Math.tan((59 * Math.PI) / 180);
  must('bed floor', bed.thickness - tip >= bed.floor - e);
  const widest = (insert.bore ?? insert.outside).value + (insert.bore ?? insert.outside).uncertainty;
  const mouth = stack.entryRelief?.diameter ?? stack.handDrill.diameter;
  must('insert enters', mouth >= widest + (insert.bore === undefined ? rules.adhesiveGap : 0) - e);
  if (stack.entryRelief !== undefined) {
    must('relief within the cut limit', stack.entryRelief.depth <= bed.cutLimit + e);
    const below =
      widest +
      rules.adhesiveGap -
      2 * stack.entryRelief.depth * Math.tan(((insert.taper / 2) * Math.PI) / 180);
    must('insert passes below the relief', stack.handDrill.diameter >= below - 0.01);
  }

  // life
  const last = input.thickness - stack.life.skims * rules.skim;
  must(
    'last skim is allowed',
    stack.life.skims === 0 || (last - u - top >= rules.coverMin - e && last - u >= input.leastThickness - e),
  );
  const next = last - rules.skim;
  must('one more is not', next - u - top < rules.coverMin - 1e-12 || next - u < input.leastThickness - 1e-12);
  must(
    'every bound holds',
    stack.bounds.every((b) => b.margin >= -1e-6),
  );
  must('one bound governs', stack.bounds.filter((b) => b.governs).length === 1);
  return wrong;
}
