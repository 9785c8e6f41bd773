import {
  altitudeText,
  areaText,
  atmosphereText,
  fixed,
  flowText,
  holdText,
  lengthText,
  NEWTON_PER_POUND,
  pressureText,
  pushText,
  type Units,
  wayText,
  wideAreaText,
} from '@bedledger/diagnostics';
import { boardRegion, type Machine, type MachineRecord, type Shape, type Zone } from '@bedledger/fleet';
import {
  circleRing,
  difference,
  distance,
  intersection,
  type Point,
  type Region,
  rectangleRing,
  regionArea,
  regionFromRing,
} from '@bedledger/geometry';
import type { AccountLine } from '../work/account-line.ts';
import type { WorkContext } from '../work/context.ts';
import { atmosphericPressure, beyondAtmosphere } from './atmosphere.ts';
import { cordFit } from './gasket-cord.ts';
import { holdingForce, lateralHold, smallestPart } from './holding.ts';
import { boardLeak, calibratePermeability, holeLeak, MDF_PERMEABILITY } from './leak.ts';

/** A side load to show the smallest part for, N: about what a router cutter pushes, a round figure in either system (ours). */
const SHOWN_SIDE_LOAD: Readonly<Record<Units, number>> = { mm: 50, in: 10 * NEWTON_PER_POUND };
/** Taken off each face when both are skimmed, for the line that says what that does; mm (ours). */
const SHOWN_SKIM = 0.4;

/** What the vacuum stands at, Pa, and the board that it pulls through. */
interface Vacuum {
  readonly atmosphere: number;
  /** Below the board, absolute. */
  readonly below: number;
  readonly gauge: number;
  /** mm. */
  readonly thickness: number;
  /** m²; null: nobody knows, the published range of MDF is shown. */
  readonly permeability: number | null;
  readonly permeabilityFrom: string;
}

/** What the vacuum does on this machine: force, side hold, leaks, smallest part, cord; zone by zone. */
export function vacuumAccount(context: WorkContext): AccountLine[] {
  const { record, machine, house } = context;
  const { bed, units } = machine;
  if (bed.zones.length === 0) return [];
  const reading = latestVacuum(record);
  const vacuum = vacuumOf(record, reading);
  const { gauge, thickness } = vacuum;
  const sideLoad = SHOWN_SIDE_LOAD[units];
  return [
    ...gaugeLines(machine, vacuum, reading),
    ...bed.zones.flatMap((zone) => zoneLines(context, zone, vacuum)),
    {
      label: 'Smallest part that holds',
      value: areaText(smallestPart(sideLoad, gauge, house.friction), units),
      note: `at ${pushText(sideLoad, units)} of side load, half of μ ${house.friction}`,
    },
    ...facesLines(thickness, units),
  ];
}

/** What a skim of both faces does to the air; nothing to say of a board that is thinner than both. */
function facesLines(thickness: number, units: Units): AccountLine[] {
  if (!(thickness > 2 * SHOWN_SKIM)) return [];
  return [
    {
      label: 'Skimming both faces',
      value: `+${fixed((facesGain(thickness, SHOWN_SKIM) - 1) * 100, 1)} % air for the same gauge from thickness alone`,
      note: `taking ${lengthText(SHOWN_SKIM, units)} off each face; the dense skin it removes resists more than its thickness, by how much two readings tell`,
    },
  ];
}

function vacuumOf(record: MachineRecord, reading: VacuumReading | null): Vacuum {
  const { machine, stock, state } = record;
  const atmosphere = atmosphericPressure(machine.vacuum.altitude);
  const gauge = reading ? reading.covered : machine.vacuum.gauge;
  const thickness = state.board?.thickness ?? stock.thickness;
  const pair = calibrationReading(record);
  const calibrated = pair ? calibrate(record, pair, atmosphere, thickness) : null;
  const permeability = calibrated ?? stock.permeability;
  return {
    atmosphere,
    below: Math.max(0, atmosphere - gauge),
    gauge,
    thickness,
    permeability,
    permeabilityFrom:
      calibrated !== null
        ? 'permeability from the covered and uncovered readings'
        : permeability !== null
          ? 'permeability of the stock'
          : 'published range of MDF: take a covered and an uncovered reading to know',
  };
}

function gaugeLines(
  machine: Machine,
  { atmosphere, gauge }: Vacuum,
  reading: VacuumReading | null,
): AccountLine[] {
  const { vacuum, units } = machine;
  const value = pressureText(gauge, units);
  return [
    {
      label: 'Atmosphere here',
      value: atmosphereText(atmosphere, units),
      note: `ISO 2533 at ${altitudeText(vacuum.altitude, units)}; a gauge reads the difference, altitude is already in it`,
    },
    {
      label: 'Gauge',
      value,
      note: reading ? `gauge recorded ${reading.date}` : 'design gauge of the profile',
    },
    ...(beyondAtmosphere(gauge, vacuum.altitude)
      ? [
          {
            label: 'Gauge, doubtful',
            value,
            note: 'no gauge can read more than the atmosphere: check its unit',
          },
        ]
      : []),
  ];
}

function zoneLines(context: WorkContext, zone: Zone, vacuum: Vacuum): AccountLine[] {
  const { machine, house, record, layout } = context;
  const { units } = machine;
  const { atmosphere, below, gauge, thickness, permeability } = vacuum;
  const region = intersection(zoneShape(zone.shape), boardRegion(machine));
  const area = regionArea(region);
  const sealed = sealedArea(zone, region);
  const force = holdingForce(gauge, sealed);
  const flow = (k: number): string => flowText(boardLeak(area, thickness, k, atmosphere, below), units);
  const lines: AccountLine[] = [
    {
      label: `Zone ${zone.id}`,
      value: `${holdText(force, units)} down, ${holdText(lateralHold(force, house.friction), units)} sideways`,
      note: `${wideAreaText(sealed, units)} sealed; half of μ ${house.friction} is used`,
    },
    {
      label: `Zone ${zone.id}, air through the board`,
      value:
        permeability === null
          ? `${flow(MDF_PERMEABILITY[0])} to ${flow(MDF_PERMEABILITY[1])}`
          : flow(permeability),
      note: vacuum.permeabilityFrom,
    },
  ];
  const inside = layout.sites.filter((site) => site.zone === zone.id && site.land === 'zone');
  if (inside.length > 0) {
    const hole = inside.reduce(
      (widest, { id }) => Math.max(widest, context.stacks.get(id)?.clearanceDiameter ?? 0),
      record.planned.clearanceHole.value,
    );
    lines.push({
      label: `Zone ${zone.id}, sites in the zone`,
      value: `${inside.length}, at most ${flowText(holeLeak(hole, atmosphere, below), units)} each if a screw is missing`,
      note: `${inside.map((site) => site.id).join(', ')}: a hole inside a zone is a hole into the plenum`,
    });
  }
  const { gasket } = zone;
  if (gasket?.cord) {
    const fit = cordFit(gasket.cord, { width: gasket.width, depth: gasket.depth }, units);
    lines.push({
      label: `Zone ${zone.id}, gasket cord`,
      value: `${wayText(gasketLength(zone), units)}, stands ${lengthText(fit.standing, units)}, fills ${Math.round(fit.fill * 100)} %`,
      note: fit.advice,
    });
  }
  return lines;
}

/** Flow through a board with both faces skimmed over flow through the present one: t / (t − 2·face). mm. */
export function facesGain(thickness: number, eachFace: number): number {
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
  const board = boardRegion(machine);
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

/** Length of the cord: along its path, or round the zone at the inset of its channel; mm. */
function gasketLength({ gasket, shape }: Zone): number {
  const path = gasket?.path;
  if (path && path.length >= 3) return perimeter(path);
  const inset = gasket?.inset ?? 0;
  if (shape.kind === 'rect') return 2 * (shape.size[0] + shape.size[1]) - 8 * inset;
  if (shape.kind === 'circle') return Math.PI * (shape.diameter - 2 * inset);
  return Math.max(0, perimeter(shape.points) - 2 * Math.PI * inset);
}

function perimeter(ring: readonly Point[]): number {
  return ring.reduce((sum, p, i) => sum + distance(p, ring[(i + 1) % ring.length]!), 0);
}
