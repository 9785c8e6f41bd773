import {
  areaText,
  figure,
  fixed,
  lengthText,
  NEWTON_PER_POUND,
  pushText,
  type Units,
  wayText,
} from '@bedledger/diagnostics';
import type { MachineRecord, Shape, Zone } from '@bedledger/fleet';
import {
  circleRing,
  difference,
  intersection,
  type Region,
  rectangleRing,
  regionArea,
  regionFromRing,
} from '@bedledger/geometry';
import type { AccountLine } from '../work/account-line.ts';
import type { WorkContext } from '../work/context.ts';
import { atmosphericPressure, beyondAtmosphere, toInHg } from './atmosphere.ts';
import { cordFit } from './gasket-cord.ts';
import { holdingForce, lateralHold, smallestPart } from './holding.ts';
import { boardLeak, calibratePermeability, holeLeak, MDF_PERMEABILITY } from './leak.ts';

/** A side load to show the smallest part for, N (about what a router cutter pushes; editable by reading the note). */
const SHOWN_SIDE_LOAD = { mm: 50, in: 10 * NEWTON_PER_POUND } as const;
/** Cubic feet a minute in m³/h (NIST SP 811). */
const CUBIC_METRES_PER_CFM = 1.699_011;

function sideLoad(units: Units): number {
  return SHOWN_SIDE_LOAD[units];
}

function forceText(newton: number, units: Units): string {
  return units === 'mm' ? `${fixed(newton / 1000, 2)} kN` : `${fixed(newton / NEWTON_PER_POUND, 0)} lbf`;
}

function flowText(cubicMetres: number, units: Units): string {
  return units === 'mm'
    ? `${fixed(cubicMetres, 1)} m³/h`
    : `${fixed(cubicMetres / CUBIC_METRES_PER_CFM, 1)} ft³/min`;
}

function wideText(area: number, units: Units): string {
  return units === 'mm' ? `${figure(area / 1e6)} m²` : `${figure(area / (304.8 * 304.8))} ft²`;
}

/** What the vacuum does on this machine: force, side hold, leaks, smallest part, cord; zone by zone. */
export function vacuumAccount(context: WorkContext): AccountLine[] {
  const { record, machine, house, layout } = context;
  const { vacuum, bed, units } = machine;
  const lines: AccountLine[] = [];
  if (bed.zones.length === 0) return lines;
  const atmosphere = atmosphericPressure(vacuum.altitude);
  const reading = latestVacuum(record);
  const gauge = reading ? reading.covered : vacuum.gauge;
  const from = reading ? `gauge recorded ${reading.date}` : 'design gauge of the profile';
  lines.push({
    label: 'Atmosphere here',
    value: units === 'mm' ? `${fixed(atmosphere / 1000, 2)} kPa` : `${fixed(toInHg(atmosphere), 2)} inHg`,
    note: `ISO 2533 at ${units === 'mm' ? `${figure(vacuum.altitude)} m` : `${fixed(vacuum.altitude / 0.3048, 0)} ft`}; a gauge reads the difference, altitude is already in it`,
  });
  lines.push({ label: 'Gauge', value: gaugeText(gauge, machine.units), note: from });
  if (beyondAtmosphere(gauge, vacuum.altitude)) {
    lines.push({
      label: 'Gauge, doubtful',
      value: gaugeText(gauge, machine.units),
      note: 'no gauge can read more than the atmosphere: check its unit',
    });
  }
  const thickness = record.state.board?.thickness ?? record.stock.thickness;
  const boardArea = regionFromRing(rectangleRing(machine.board.at, machine.board.size));
  const pair = calibrationReading(record);
  const calibrated = pair ? calibrate(record, pair, atmosphere, thickness) : null;
  const permeability = calibrated ?? record.stock.permeability;
  for (const zone of bed.zones) {
    const region = intersection(zoneShape(zone.shape), boardArea);
    const area = regionArea(region);
    const sealed = sealedArea(zone, region);
    const force = holdingForce(gauge, sealed);
    lines.push({
      label: `Zone ${zone.id}`,
      value: `${forceText(force, units)} down, ${forceText(lateralHold(force, house.friction), units)} sideways`,
      note: `${wideText(sealed, units)} sealed; half of μ ${house.friction} is used`,
    });
    const [low, high] = permeability === null ? MDF_PERMEABILITY : [permeability, permeability];
    const below = Math.max(0, atmosphere - gauge);
    const leak = (k: number): number => boardLeak(area, thickness, k, atmosphere, below);
    lines.push({
      label: `Zone ${zone.id}, air through the board`,
      value:
        permeability === null
          ? `${flowText(leak(low), units)} to ${flowText(leak(high), units)}`
          : flowText(leak(low), units),
      note:
        calibrated !== null
          ? 'permeability from the covered and uncovered readings'
          : permeability !== null
            ? 'permeability of the stock'
            : 'published range of MDF: take a covered and an uncovered reading to know',
    });
    const inside = layout.sites.filter((site) => site.zone === zone.id && site.land === 'zone');
    if (inside.length > 0) {
      const hole = [...context.stacks.values()][0]?.clearanceDiameter ?? record.fixing.clearanceHole.value;
      lines.push({
        label: `Zone ${zone.id}, sites in the zone`,
        value: `${inside.length}, ${flowText(holeLeak(hole, atmosphere, below), units)} each if a screw is missing`,
        note: `${inside.map((site) => site.id).join(', ')}: a hole inside a zone is a hole into the plenum`,
      });
    }
    const gasket = zone.gasket;
    if (gasket?.cord) {
      const fit = cordFit(gasket.cord, { width: gasket.width, depth: gasket.depth }, units);
      lines.push({
        label: `Zone ${zone.id}, gasket cord`,
        value: `${wayText(gasketLength(zone), units)}, stands ${lengthText(fit.standing, units)}, fills ${Math.round(fit.fill * 100)} %`,
        note: fit.advice,
      });
    }
  }
  lines.push({
    label: 'Smallest part that holds',
    value: areaText(smallestPart(sideLoad(units), gauge, house.friction), units),
    note: `at ${pushText(sideLoad(units), units)} of side load, half of μ ${house.friction}`,
  });
  const skimmed = facesGain(thickness);
  lines.push({
    label: 'Skimming both faces',
    value: `+${fixed((skimmed - 1) * 100, 1)} % air for the same gauge from thickness alone`,
    note: `taking ${lengthText(0.4, units)} off each face; the dense skin it removes resists more than its thickness, by how much two readings tell`,
  });
  return lines;
}

/** Flow through a thinner board over flow through the present one: t / (t − 0.8 mm). */
export function facesGain(thickness: number, eachFace = 0.4): number {
  if (!(thickness > 2 * eachFace))
    throw new RangeError(`the board of ${thickness} mm is thinner than both skims`);
  return thickness / (thickness - 2 * eachFace);
}

export interface VacuumReading {
  readonly date: string;
  readonly covered: number;
  readonly uncovered?: number;
}

/** The last reading of the ledger, of any zone. */
export function latestVacuum(record: MachineRecord): VacuumReading | null {
  for (let i = record.ledger.facts.length - 1; i >= 0; i -= 1) {
    const fact = record.ledger.facts[i]!;
    if (fact.fact === 'vacuum') {
      return {
        date: fact.date,
        covered: fact.covered,
        ...(fact.uncovered === undefined ? {} : { uncovered: fact.uncovered }),
      };
    }
  }
  return null;
}

/**
 * The last covered and uncovered reading of the whole bed on the board that lies there now: another board lets another
 * amount of air through, and one zone's gauge says nothing of the others.
 */
export function calibrationReading(record: MachineRecord): VacuumReading | null {
  let last: VacuumReading | null = null;
  for (const fact of record.ledger.facts) {
    if (fact.fact === 'board') last = null;
    else if (fact.fact === 'vacuum' && fact.zone === undefined && fact.uncovered !== undefined)
      last = { date: fact.date, covered: fact.covered, uncovered: fact.uncovered };
  }
  return last;
}

function calibrate(
  record: MachineRecord,
  reading: VacuumReading,
  atmosphere: number,
  thickness: number,
): number | null {
  const { machine } = record;
  if (reading.uncovered === undefined || machine.vacuum.flow === null) return null;
  const board = regionFromRing(rectangleRing(machine.board.at, machine.board.size));
  const area = machine.bed.zones.reduce(
    (sum, zone) => sum + regionArea(intersection(zoneShape(zone.shape), board)),
    0,
  );
  return calibratePermeability({
    covered: reading.covered,
    uncovered: reading.uncovered,
    pumpFlow: machine.vacuum.flow,
    pumpGauge: Math.min(machine.vacuum.gauge, reading.uncovered),
    area,
    thickness,
    atmosphere,
  });
}

export function gaugeText(pascal: number, units: Units): string {
  return units === 'mm' ? `${fixed(pascal / 1000, 1)} kPa` : `${fixed(toInHg(pascal), 1)} inHg`;
}

function zoneShape(shape: Shape): Region {
  if (shape.kind === 'circle') return regionFromRing(circleRing(shape.at, shape.diameter / 2, 'inscribed'));
  if (shape.kind === 'rect') return regionFromRing(rectangleRing(shape.at, shape.size));
  return regionFromRing(shape.points);
}

/** Area under pressure difference: inside the gasket where there is one, else the zone under the board. */
function sealedArea(zone: Zone, underBoard: Region): number {
  const path = zone.gasket?.path;
  if (path && path.length >= 3) {
    const inside = regionFromRing(path);
    return regionArea(difference(underBoard, difference(underBoard, inside)));
  }
  return regionArea(underBoard);
}

function gasketLength(zone: Zone): number {
  const path = zone.gasket?.path;
  if (path && path.length >= 3) {
    let sum = 0;
    for (let i = 0; i < path.length; i += 1) {
      const p = path[i]!;
      const q = path[(i + 1) % path.length]!;
      sum += Math.sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]));
    }
    return sum;
  }
  const inset = zone.gasket?.inset ?? 0;
  const { shape } = zone;
  if (shape.kind === 'rect') return 2 * (shape.size[0] + shape.size[1]) - 8 * inset;
  if (shape.kind === 'circle') return Math.PI * (shape.diameter - 2 * inset);
  let sum = 0;
  for (let i = 0; i < shape.points.length; i += 1) {
    const p = shape.points[i]!;
    const q = shape.points[(i + 1) % shape.points.length]!;
    sum += Math.sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]));
  }
  return Math.max(0, sum - 2 * Math.PI * inset);
}
