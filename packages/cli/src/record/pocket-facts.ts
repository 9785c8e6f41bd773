import { issuedAt, planMachine, type WorkPlan } from '@bedledger/bedwork';
import { lengthText, type Units } from '@bedledger/diagnostics';
import { type FactWritten, floorAt, holeAt, pocketAt, pocketWidthAt } from '@bedledger/fleet';
import { flag, UsageError } from '../arguments.ts';
import type { Measured, RecordCall } from './call.ts';
import { alike, nominalLength } from './written-figures.ts';

type BoardWritten = Extract<FactWritten, { fact: 'board' }>;
type PocketWritten = Extract<FactWritten, { fact: 'pocket' }>;
type Figures = Omit<PocketWritten, 'fact' | 'date' | 'sites'>;

/** What is known of the pocket and the hole of a site, mm. */
interface SitePocket {
  readonly screwLength: number | null;
  readonly floor: number | null;
  readonly pocket: number | null;
  readonly hole: number | null;
}

/** Figures that somebody measured: of every site, or of some. */
interface MeasuredPockets {
  readonly floor: Measured;
  readonly pocket: Measured;
  readonly hole: Measured;
}

export function boardFacts(call: RecordCall): FactWritten[] {
  const bare = call.fact({
    stock: call.text('stock') ?? call.record.machine.board.stock,
    thickness: call.thickness(),
    skimmed: call.text('skimmed') ?? 'none',
    pocketed: false,
  }) as BoardWritten;
  if (!flag(call.args, 'pocketed')) {
    const idle = POCKET_OPTIONS.find((option) => call.args.options.has(option));
    if (idle === undefined) return [bare];
    throw new UsageError(`--${idle} is of pockets, and the board has none yet`, 'add --pocketed');
  }
  // Its pockets are those that this board would be cut with, as measured.
  const tried = call.tryFacts([bare]).record;
  const ofAll = pocketFacts(call, tried ? planMachine(tried) : call.plan(), []);
  if (ofAll.length > 1) return [bare, ...ofAll];
  const { fact: _, date: __, ...figures } = ofAll[0] as PocketWritten;
  return [{ ...bare, pocketed: true, ...figures }];
}

/** Options that say how pockets and holes are. */
export const POCKET_OPTIONS = [
  'screw-length',
  'pocket-floor',
  'pocket-depth',
  'pocket-diameter',
  'hole-diameter',
] as const;

/**
 * Pockets and holes as cut: what was issued, but for what was measured. Sites with a measured figure of their own become a
 * fact of their own, so that no planned figure passes for a measured one.
 *
 * @throws UsageError when neither the plan nor the call says how high the floors are
 */
export function pocketFacts(
  call: RecordCall,
  plan = call.plan(),
  sites: readonly string[] = call.sites,
): PocketWritten[] {
  const known = plan.layout.sites.map((s) => s.id);
  for (const site of sites) call.site(site);
  const about = sites.length > 0 ? sites : known;
  const measured = measuredPockets(call, plan);
  const screwLength = call.length('screw-length');
  const at = (site: string): SitePocket => {
    const planned = pocketOf(plan, site);
    return { ...planned, screwLength: screwLength ?? planned.screwLength };
  };
  const apart = measuredSites(measured, about);
  const groups = [
    about.filter((site) => !apart.includes(site)),
    apart.filter((site) => measured.floor.sites.has(site)),
    apart.filter((site) => !measured.floor.sites.has(site)),
  ].filter((group) => group.length > 0);
  const named = sites.length > 0 || groups.length > 1;
  const facts = groups.map(
    (group): PocketWritten => ({
      fact: 'pocket',
      date: call.date,
      ...(named && { sites: group }),
      ...figuresOf(new Map(group.map((site) => [site, at(site)])), measured, call.units, plan),
    }),
  );
  if (facts.some((f) => f.pocket_floor === undefined && f.floors === undefined)) {
    throw new UsageError(
      'how high the floors of the pockets are is not on record, and no plan of them is left',
      'measure them: --pocket-depth from the surface of the board, or --pocket-floor from the bed',
    );
  }
  return facts;
}

/** As on record where the board is cut; as planned before. */
function pocketOf(plan: WorkPlan, site: string): SitePocket {
  const { state } = plan.record;
  if (!state.board?.pocketed) {
    const issued = issuedAt(plan, site);
    return {
      screwLength: issued?.screwLength ?? null,
      floor: issued?.pocketFloor ?? null,
      pocket: issued?.pocketDiameter ?? null,
      hole: issued?.holeDiameter ?? null,
    };
  }
  const pocket = pocketAt(state, site);
  return {
    screwLength: pocket?.screwLength ?? null,
    floor: pocket && floorAt(pocket, site),
    pocket: pocket && pocketWidthAt(pocket, site),
    hole: pocket && holeAt(pocket, site),
  };
}

function measuredPockets(call: RecordCall, plan: WorkPlan): MeasuredPockets {
  const of = (option: string): Measured => call.measured(option);
  const depth = of('pocket-depth');
  const floor = of('pocket-floor');
  const both = depth.everywhere !== undefined && floor.everywhere !== undefined;
  if (both || [...depth.sites.keys()].some((site) => floor.sites.has(site)))
    throw new UsageError(
      'a pocket has its depth or its floor measured, not both',
      '--pocket-depth is from the surface of the board, --pocket-floor from the bed',
    );
  const floorBelow = (mm: number): number => floorOf(mm, plan, call.units);
  return {
    floor: {
      everywhere: depth.everywhere === undefined ? floor.everywhere : floorBelow(depth.everywhere),
      sites: new Map([
        ...floor.sites,
        ...[...depth.sites].map(([site, mm]) => [site, floorBelow(mm)] as const),
      ]),
    },
    pocket: of('pocket-diameter'),
    hole: of('hole-diameter'),
  };
}

/** Height above the bed of a floor that is `depth` below the surface of the board as it was last measured, mm. */
function floorOf(depth: number, plan: WorkPlan, units: Units): number {
  const { board } = plan.record.state;
  if (!board)
    throw new UsageError(
      'a depth is measured from the surface of a board, and no board is on record',
      'record the board with its thickness first',
    );
  if (depth < board.thickness) return board.thickness - depth;
  throw new UsageError(
    `a pocket ${lengthText(depth, units)} deep goes through the board: it is ${lengthText(board.thickness, units)} thick`,
    '--pocket-depth is from the surface of the board, --pocket-floor from the bed',
  );
}

/** Of the sites that the fact is about: those with a measured figure of their own. */
function measuredSites(measured: MeasuredPockets, about: readonly string[]): string[] {
  const named = new Set(Object.values(measured).flatMap((m: Measured) => [...m.sites.keys()]));
  for (const site of named) {
    if (!about.includes(site))
      throw new UsageError(
        `${site} was measured, and the pockets of other sites are recorded`,
        'name it too',
      );
  }
  return about.filter((site) => named.has(site));
}

function figuresOf(
  sites: ReadonlyMap<string, SitePocket>,
  measured: MeasuredPockets,
  units: Units,
  plan: WorkPlan,
): Figures {
  const column = (found: Measured, planned: (pocket: SitePocket) => number | null) => {
    const bySite = new Map<string, number>();
    for (const [site, pocket] of sites) {
      const value = found.sites.get(site) ?? found.everywhere ?? planned(pocket);
      if (value !== null) bySite.set(site, value);
    }
    return alike(bySite, units);
  };
  const floor = column(measured.floor, (p) => p.floor);
  const pocket = column(measured.pocket, (p) => p.pocket);
  const hole = column(measured.hole, (p) => p.hole);
  const lengths = new Set([...sites.values()].map((p) => p.screwLength).filter((l) => l !== null));
  const [length] = lengths;
  const floorMeasured =
    measured.floor.everywhere !== undefined || [...sites.keys()].some((s) => measured.floor.sites.has(s));
  return {
    // Sites with screws of different lengths: the screws that are driven say which.
    ...(length !== undefined && lengths.size === 1 && { screw_length: nominalLength(length, units) }),
    ...(floor && ('all' in floor ? { pocket_floor: floor.all } : { floors: floor.sites })),
    ...(floor && { floor_from: floorMeasured ? 'measured' : sourceOnRecord(plan, [...sites.keys()]) }),
    ...(pocket && ('all' in pocket ? { pocket_diameter: pocket.all } : { pockets: pocket.sites })),
    ...(hole && ('all' in hole ? { hole_diameter: hole.all } : { holes: hole.sites })),
    ...heldOnRecord(plan, [...sites.keys()]),
  };
}

/** The site that holds the board, where its hole is among those that are recorded. */
function heldOnRecord({ record, work }: WorkPlan, sites: readonly string[]): Pick<Figures, 'held'> {
  const held = record.state.board?.pocketed ? record.state.board.held : work.hold.site;
  return held !== null && sites.includes(held) ? { held } : {};
}

/** A floor that was measured before stays measured when something else is corrected. */
function sourceOnRecord(plan: WorkPlan, sites: readonly string[]): 'planned' | 'measured' {
  const { state } = plan.record;
  const pockets = sites.map((site) => pocketAt(state, site));
  return pockets.length > 0 && pockets.every((p) => p?.floorFrom === 'measured') ? 'measured' : 'planned';
}
