import { type Fixing, resolveFixing } from '@bedledger/fasteners';
import {
  type BoardStock,
  bedState,
  type Cutter,
  type Fact,
  type HeightMap,
  type House,
  type Machine,
  type MachineRecord,
  resolveController,
  type Survey,
} from '@bedledger/fleet';

/** Machines made by hand for tests and benches; no file is read. */

const cutter = (over: Partial<Cutter> & Pick<Cutter, 'id' | 'kind' | 'diameter'>): Cutter => ({
  title: over.id,
  cuttingLength: 25,
  stickOut: 34,
  shankDiameter: Math.min(over.diameter, 12),
  flutes: 2,
  canPlunge: true,
  maxRpm: null,
  pointAngle: 180,
  chipLoad: { mdf: [0.1, 0.2], phenolic: [0.04, 0.08] },
  number: 1,
  ...over,
});

export const CUTTERS: ReadonlyMap<string, Cutter> = new Map(
  [
    cutter({ id: 'upcut-6', kind: 'end-mill-up', diameter: 6, maxRpm: 24_000 }),
    cutter({ id: 'drill-8', kind: 'drill', diameter: 8, pointAngle: 118, maxRpm: 6000, number: 5 }),
    cutter({ id: 'straight-8', kind: 'end-mill-straight', diameter: 8, canPlunge: false, number: 4 }),
    cutter({
      id: 'flattener-63',
      kind: 'surfacing',
      diameter: 63,
      canPlunge: false,
      cuttingLength: 10,
      flutes: 3,
      maxRpm: 14_000,
      chipLoad: { mdf: [0.1, 0.3] },
      number: 10,
    }),
    cutter({ id: 'vee-90', kind: 'v-point', diameter: 12, pointAngle: 90, cuttingLength: 6, number: 20 }),
  ].map((c) => [c.id, c]),
);

export const HOUSE: House = {
  stack: {
    webMin: 5,
    coverMin: 1.5,
    safetyFactor: 2,
    boardShear: 2.5,
    pull: 300,
    pocketClearance: 1.5,
    boreReserve: 2.5,
    adhesiveGap: 0.4,
    adhesiveSpare: 0.2,
    entryLoss: 1,
    endGap: 0.5,
    moistureSwing: 1,
    growthPerPercent: 0.0005,
    bearingMin: 0.4,
    skim: 0.4,
    refitSkin: 1,
  },
  insertWall: 1,
  landMargin: 1,
  lift: { pressure: 5000, deflection: 0.1 },
  survey: { sigma: 0.1, limit: 0.6, stretch: 0.002, skew: 0.002 },
  thicknessUncertainty: 0.05,
  zZeroError: 0.1,
  bedUnevenness: 0.2,
  // by a tenth, so that no figure of a test depends on the drills of a shop
  drills: { mm: Array.from({ length: 120 }, (_, k) => (k + 30) / 10), in: [] },
  feed: { plungeShare: 0.5, rampAngle: (3 * Math.PI) / 180, powerShare: 0.8, specificForce: 35 },
  surfacing: { maxTilt: 0.0005 },
  handTime: {},
  spares: 0.1,
  friction: 0.3,
  raise: {},
};

export const STOCK: BoardStock = {
  id: 'mdf-18',
  title: 'MDF 18 mm',
  material: 'mdf',
  thickness: 18,
  sheet: [1250, 2500],
  modulus: 2.4,
  poisson: 0.25,
  density: 680,
  permeability: 1e-13,
};

/** A machine with two zones and a divider, 4 × 8 ft unless said; its travel reaches well past the board. */
export function machineOf(
  over: Partial<Machine> = {},
  size: readonly [number, number] = [1219.2, 2438.4],
): Machine {
  const [w, h] = size;
  const half = h / 2;
  return {
    id: 'sanderling',
    title: 'Sanderling, test router',
    units: 'mm',
    home: null,
    travel: { x: [-80, w + 80], y: [-80, h + 80], z: [-12, 190] },
    motion: {
      rapid: { x: 18_000, y: 18_000, z: 9000 },
      maxFeed: { xy: 12_000, z: 4000 },
      acceleration: { xy: 900, z: 450 },
      corner: { mode: 'tolerance', tolerance: 0.05 },
    },
    spindle: { powerKw: 6, rpm: [6000, 18_000], spinUp: 6, nose: null, collet: null },
    controller: resolveController({ dialect: 'rs274ngc' }).controller,
    bed: {
      outline: { kind: 'rect', at: [-10, -10], size: [w + 20, h + 20] },
      material: 'phenolic-laminate',
      thickness: 25.4,
      cutLimit: 2.5,
      floor: 5,
      zones: [
        {
          id: 'A',
          shape: { kind: 'rect', at: [60, 60], size: [w - 120, half - 100] },
          grooves: { kind: 'grid', pitch: [50, 50], width: 9, depth: 8 },
          ports: [{ at: [w / 2, half / 2], diameter: 40 }],
        },
        {
          id: 'B',
          shape: { kind: 'rect', at: [60, half + 40], size: [w - 120, half - 100] },
          grooves: { kind: 'grid', pitch: [50, 50], width: 9, depth: 8 },
          ports: [{ at: [w / 2, half + half / 2], diameter: 40 }],
        },
      ],
      keepOuts: [],
      holes: [],
      slots: [],
    },
    datum: { mark: [0, 0], second: [w - 20, 0], made: 'by-hand', depth: 0.4, workOffset: 1 },
    zZero: 'bed',
    board: {
      stock: 'mdf-18',
      at: [0, 0],
      size: [w, h],
      leastThickness: 9,
      undersideSkim: 0.3,
      trim: false,
      rimBreak: null,
      patch: null,
    },
    fixing: {
      use: 'm6',
      held: null,
      layout: { pattern: 'aligned', pitchMax: 420, edge: [20, 90], nudgeMax: 15, sites: [] },
      nudges: [],
    },
    cutters: {
      drill: 'upcut-6',
      pocket: 'upcut-6',
      surface: 'flattener-63',
      mark: 'upcut-6',
      trim: 'upcut-6',
      rim: null,
    },
    clearHeight: 30,
    park: [0, h],
    surfacing: {
      rows: 'y',
      style: 'serpentine',
      stepover: 0.6,
      depthPerPass: 0.5,
      overrun: 6,
      margin: 0.1,
      perimeterPass: false,
      skim: { from: 'heights', depth: null, plane: 'level' },
    },
    vacuum: { altitude: 20, gauge: 60_000, flow: 300 },
    tram: null,
    clamps: [],
    ...over,
  };
}

/** The owner's word for the drawing, to what the house's readings are worth: no more and no less than its survey sigma. */
export const VOUCHED: Fact = {
  fact: 'vouch',
  date: '2020-01-01',
  deviation: 0.2,
  by: 'the owner',
  reason: 'bed milled here from this drawing',
};

/** @param over `bed: 'drawn'`: nobody has measured the bed and nobody vouches for it */
export function recordOf(
  machine: Machine,
  facts: readonly Fact[] = [],
  over: {
    readonly heights?: readonly HeightMap[];
    readonly house?: House;
    readonly survey?: Survey;
    readonly bed?: 'drawn';
  } = {},
): MachineRecord {
  const ledger = { facts: over.bed === 'drawn' ? facts : [VOUCHED, ...facts] };
  return {
    machine,
    ledger,
    state: bedState(ledger, machine),
    survey: over.survey ?? null,
    heights: over.heights ?? [],
    house: over.house ?? HOUSE,
    planned: m6Fixing(),
    stock: STOCK,
    plannedStock: STOCK,
    cutters: CUTTERS,
    revision: '1.0.0',
    sources: [],
  };
}

/** The fixing of every machine made here. */
export function m6Fixing(): Fixing {
  const { fixing, diagnostics } = resolveFixing('m6', {
    title: 'M6 nylon hexagon screw, large washer, brass bush',
    thread: 'M6',
    screw: { head: 'iso4017-hex', material: 'pa66' },
    insert: {
      kind: 'bush',
      material: 'brass',
      measured: { by: 'caliper', uncertainty: 0.02, outside: 9.52, length: 13 },
    },
    washer: { inside: 6.4, outside: 25, thickness: 1.5 },
    socket: { size: 10, kind: 'socket', measured: { by: 'caliper', uncertainty: 0.05, outside: 14.6 } },
  });
  if (!fixing) throw new Error(diagnostics.map((d) => d.message).join('; '));
  return fixing;
}
