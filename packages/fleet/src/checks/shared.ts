import { fineLength, stressText, type Units, writtenLength } from '@bedledger/diagnostics';
import type { Range } from '../model/machine.ts';
import type { BoardStock, Cutter, House } from '../model/shared.ts';
import { below, type Findings, type Locator, report } from '../report.ts';

/** Diameters of router cutters and thicknesses of boards, mm, with room. */
const DIAMETERS: Range = [0.2, 300];
const THICKNESSES: Range = [3, 80];
/** No sheet is bought smaller than this, mm. */
const SMALLEST_SHEET = 100;
/** Bending moduli of boards, N/mm², with room: MDF has 1400 to 4000. */
const MODULI: Range = [100, 100_000];

function within([least, greatest]: Range, value: number): boolean {
  return value >= least && value <= greatest;
}

/** `at` locates below `cutters`. */
export function* cutterListFindings(
  cutters: ReadonlyMap<string, Cutter>,
  units: Units,
  at: Locator,
): Findings {
  const numbers = new Map<number, string>();
  for (const cutter of cutters.values()) {
    const other = numbers.get(cutter.number);
    if (other === undefined) {
      numbers.set(cutter.number, cutter.id);
    } else if (cutter.number > 0) {
      yield report({
        code: 'shared/repeated-number',
        ...at([cutter.id, 'number']),
        message: `cutters \`${other}\` and \`${cutter.id}\` have the same tool number ${cutter.number}`,
      });
    }
    yield* oneCutter(cutter, units, below(at, cutter.id));
  }
}

function* oneCutter(cutter: Cutter, units: Units, at: Locator): Findings {
  const { id, diameter, stickOut, cuttingLength } = cutter;
  yield* chipLoads(cutter, units, at);
  if (stickOut !== null && stickOut < cuttingLength) {
    yield report({
      code: 'shared/stick-out',
      ...at(['stick_out']),
      message: `${id} stands out ${writtenLength(stickOut, units)}, less than its cutting length ${writtenLength(cuttingLength, units)}`,
    });
  }
  yield* pointAngle(cutter, at);
  if (!within(DIAMETERS, diameter)) {
    yield report({
      code: 'shared/not-plausible',
      ...at(['diameter']),
      message: `a cutter of ${writtenLength(diameter, units)} is not plausible, expected ${writtenLength(DIAMETERS[0], units)} to ${writtenLength(DIAMETERS[1], units)}`,
    });
  }
}

function* chipLoads({ id, chipLoad, diameter }: Cutter, units: Units, at: Locator): Findings {
  for (const [material, [least, greatest]] of Object.entries(chipLoad)) {
    if (least > greatest) {
      yield report({
        code: 'shared/range-reversed',
        ...at(['chip_load', material]),
        message: `the chip load of ${id} in ${material} runs from ${fineLength(least, units)} to ${fineLength(greatest, units)}, expected the least first`,
      });
    } else if (greatest > diameter / 4) {
      yield report({
        code: 'shared/not-plausible',
        ...at(['chip_load', material]),
        message: `a chip of ${fineLength(greatest, units)} is more than a quarter of the diameter of ${id}`,
      });
    }
  }
}

/** Pointed cutters have an angle below 180°, flat ones have not; a drill may be either. */
function* pointAngle({ id, kind, pointAngle: angle }: Cutter, at: Locator): Findings {
  if (kind === 'v-point' && angle >= 180) {
    yield report({
      code: 'shared/point-angle',
      ...at(['point_angle']),
      message: `the pointed cutter ${id} has no angle of its point`,
      help: 'add `point_angle`, the full angle in degrees',
    });
  } else if (kind !== 'v-point' && kind !== 'drill' && angle < 180) {
    yield report({
      code: 'shared/point-angle',
      ...at(['point_angle']),
      message: `${id} is of kind \`${kind}\` and has a flat end, found a point of ${angle} degrees`,
      help: 'leave `point_angle` out, or correct `kind`',
    });
  }
}

/** `at` locates below `boards`. */
export function* boardListFindings(
  boards: ReadonlyMap<string, BoardStock>,
  units: Units,
  at: Locator,
): Findings {
  for (const { id, thickness, sheet, modulus } of boards.values()) {
    if (!within(THICKNESSES, thickness)) {
      yield report({
        code: 'shared/not-plausible',
        ...at([id, 'thickness']),
        message: `a board ${writtenLength(thickness, units)} thick is not plausible, expected ${writtenLength(THICKNESSES[0], units)} to ${writtenLength(THICKNESSES[1], units)}`,
      });
    }
    if (Math.min(...sheet) < SMALLEST_SHEET) {
      yield report({
        code: 'shared/not-plausible',
        ...at([id, 'sheet']),
        message: `a sheet of ${writtenLength(sheet[0], units)} × ${writtenLength(sheet[1], units)} is not plausible`,
      });
    }
    // The model has gigapascals, as data sheets of boards do.
    if (!within(MODULI, modulus * 1000)) {
      yield report({
        code: 'shared/not-plausible',
        ...at([id, 'modulus']),
        message: `a modulus of ${stressText(modulus * 1000, units)} is not plausible, expected ${stressText(MODULI[0], units)} to ${stressText(MODULI[1], units)}`,
        help: 'check the unit: a number without one is in GPa',
      });
    }
  }
}

/**
 * A residual is a pair of normal deviates: the largest of ten exceeds this many deviations once in 45 good surveys
 * (derived: 10·exp(−3.5²/2)).
 */
const LEAST_LIMIT = 3.5;

/** `at` locates in the file of house rules. */
export function* houseFindings({ survey }: House, units: Units, at: Locator): Findings {
  const times = survey.limit / survey.sigma;
  if (times >= LEAST_LIMIT - 1e-9) return;
  yield report({
    code: 'shared/survey-limit',
    ...at(['survey', 'limit']),
    severity: times < 1 ? 'stop' : 'warn',
    message: `residuals above ${writtenLength(survey.limit, units)} are refused, but readings scatter by ${writtenLength(survey.sigma, units)} in each coordinate: ${times < 1 ? 'good surveys would be' : 'some good surveys are'} refused; expected at least ${writtenLength(LEAST_LIMIT * survey.sigma, units)}`,
  });
}
