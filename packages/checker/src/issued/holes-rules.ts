import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import { boardRegion, type MachineRecord } from '@bedledger/fleet';
import { applyTransform, coverageRadius, type Point } from '@bedledger/geometry';
import type { ProgramFile } from '../model.ts';
import { inFile, report } from '../report.ts';
import type { Scene } from '../scene/scene.ts';
import type { HoleRow } from './hole-table.ts';
import { checkLand } from './land-rules.ts';
import type { SitesOfRecord } from './operation-view.ts';

/** Heights and places in the table are printed to three decimals. */
const PRINTED = 0.00051;
/** Places may differ by this from the checker's own fit: both fits are least squares of the same points. */
const FIT = 0.005;

/** The hole table against the survey, the ledger, the lands and the stack, all computed here. */
export function checkHoles(
  record: MachineRecord,
  file: ProgramFile,
  { holes, stacks, unknown }: SitesOfRecord,
  scene: Scene,
): Diagnostic[] {
  const rows = holes.flatMap((hole) =>
    [
      ...placeFaults(record, hole, scene),
      ...stateFaults(record, hole),
      ...(unknown.has(hole.site) ? unknownFaults(hole) : stackFaults(record, hole, stacks.get(hole.site))),
    ].map(({ message, facts }) =>
      report({
        code: 'documents/holes',
        ...inFile(file, hole.line),
        message,
        facts: { site: hole.site, ...facts },
      }),
    ),
  );
  return [
    ...rows,
    ...checkMissing(record, file, holes),
    ...checkLand(record, file, holes, scene),
    ...checkCoverage(record, file, holes, scene),
  ];
}

/** What is wrong with one row. */
interface RowFault {
  readonly message: string;
  readonly facts?: Readonly<Record<string, string | number>>;
}

/** A hole or a mark that is in the bed stays where the ledger has it; any other lies at the survey's image of its nominal place. */
function placeFaults({ state, machine }: MachineRecord, hole: HoleRow, scene: Scene): RowFault[] {
  const { units } = machine;
  const known = state.sites.get(hole.site);
  const here = `site ${hole.site} stands at ${exactPlace([hole.x, hole.y], units)}`;
  const off = ([x, y]: Point): number => Math.max(Math.abs(x - hole.x), Math.abs(y - hole.y));
  if (known && known.state !== 'filled' && known.state !== 'none') {
    if (off(known.at) <= PRINTED) return [];
    return [{ message: `${here}; the ledger has it ${known.state} at ${exactPlace(known.at, units)}` }];
  }
  // What was found on an air pass was measured where the machine stood: it is added in the surveyed frame.
  const nudge = machine.fixing.nudges.find((n) => n.site === hole.site);
  const [mappedX, mappedY] = applyTransform(scene.placement.transform, [hole.nominalX, hole.nominalY]);
  const expected: Point = [mappedX + (nudge?.by[0] ?? 0), mappedY + (nudge?.by[1] ?? 0)];
  if (off(expected) <= FIT) return [];
  const nudged = nudge ? ' with its nudge' : '';
  return [
    { message: `${here}; the survey maps its nominal place to ${exactPlace(expected, units)}${nudged}` },
  ];
}

function stateFaults({ state }: MachineRecord, { site, state: claimed }: HoleRow): RowFault[] {
  const known = state.sites.get(site)?.state ?? 'none';
  // A filled hole leaves the site free to be made anew.
  const expected = known === 'filled' ? 'none' : known;
  if (expected === claimed) return [];
  return [{ message: `site ${site} is \`${claimed}\` in the table, the ledger makes it \`${expected}\`` }];
}

/** Where nobody recorded what stands at a site, its row has no figures of it. */
function unknownFaults({ site, screwLength, cover }: HoleRow): RowFault[] {
  if (screwLength === null && cover === null) return [];
  return [
    {
      message: `the table has a screw and its cover at site ${site}, the ledger does not say what stands there`,
    },
  ];
}

function stackFaults({ machine }: MachineRecord, hole: HoleRow, stack: Stack | undefined): RowFault[] {
  const { units } = machine;
  if (!stack) {
    return [{ message: `no stack holds at site ${hole.site}: the fixing does not fit board and bed there` }];
  }
  const columns: readonly (readonly [string, number | null, number])[] = [
    ['pocket_diameter', hole.pocketDiameter, stack.pocketDiameter],
    ['pocket_floor', hole.pocketFloor, stack.web],
    ['hole_diameter', hole.holeDiameter, stack.clearanceDiameter],
    ['refit_diameter', hole.refitDiameter, stack.refitDiameter],
    ['bore_diameter', hole.boreDiameter, stack.handDrill.diameter],
    ['bore_depth', hole.boreDepth, stack.handDrill.depth],
    ['screw_length', hole.screwLength, stack.screwLength],
    ['web', hole.web, stack.web],
    ['cover', hole.cover, stack.cover],
  ];
  return columns.flatMap(([column, claimed, expected]) => {
    if (claimed !== null && Math.abs(claimed - expected) <= PRINTED + 1e-6) return [];
    const said = claimed === null ? 'empty' : exactLength(claimed, units);
    const message = `${column} of site ${hole.site} is ${said}, the stack gives ${exactLength(expected, units)}`;
    return [{ message, facts: { column, expected } }];
  });
}

/** Every hole that the ledger has in the bed is still there, and every site that the profile gives is to be made. */
function checkMissing(
  { state, machine }: MachineRecord,
  file: ProgramFile,
  holes: readonly HoleRow[],
): Diagnostic[] {
  const listed = new Set(holes.map((hole) => hole.site));
  const { layout } = machine.fixing;
  const needed = [
    ...[...state.sites]
      .filter(([, known]) => known.state === 'set' || known.state === 'bored')
      .map(([site, known]) => ({ site, why: `${known.state} in the ledger` })),
    ...(layout.pattern === 'given'
      ? layout.sites.map(({ id }) => ({ site: id, why: 'given in the profile' }))
      : []),
  ];
  return needed
    .filter(({ site }) => !listed.has(site))
    .map(({ site, why }) => {
      const message = `site ${site} is ${why} and missing from the table`;
      return report({ code: 'documents/holes', ...inFile(file, 1), message, facts: { site } });
    });
}

/**
 * Farthest point of the board from every site against the pitch: in a grid of pitch p no point is farther than p/√2,
 * and an outer row may stand in by its greatest edge distance. Nudges add to both.
 */
function checkCoverage(
  record: MachineRecord,
  file: ProgramFile,
  holes: readonly HoleRow[],
  scene: Scene,
): Diagnostic[] {
  const { units } = record.machine;
  const { machine, house, plannedStock: stock } = record;
  if (holes.length === 0) return [];
  const { layout } = machine.fixing;
  const t = machine.board.leastThickness / 1000;
  const rigidity = (stock.modulus * 1e9 * t * t * t) / (12 * (1 - stock.poisson * stock.poisson));
  // centre deflection of a plate on a square grid of points: w = 0.0058004·q·a⁴/D
  const byPlate =
    1000 *
    Math.sqrt(Math.sqrt(((house.lift.deflection / 1000) * rigidity) / (0.0058004 * house.lift.pressure)));
  const pitch = layout.pitchMax ?? byPlate;
  const nudge =
    layout.nudgeMax * Math.SQRT2 +
    machine.fixing.nudges.reduce((m, n) => Math.max(m, Math.sqrt(n.by[0] * n.by[0] + n.by[1] * n.by[1])), 0);
  const half = Math.max(pitch / 2, layout.edge[1]);
  const allowed = half * Math.SQRT2 + nudge;
  const sites: Point[] = holes.map((h) => [h.x, h.y]);
  const { radius, at } = coverageRadius(sites, boardRegion(machine));
  if (radius <= allowed * 1.001) return [];
  return [
    report({
      code: 'documents/coverage',
      ...inFile(file),
      message: `the board at ${exactPlace([at[0], at[1]], units)} is ${exactLength(radius, units)} from the nearest site, ${exactLength(allowed, units)} follow from the layout's pitch`,
      facts: { radius, allowed, x: at[0], y: at[1], surveyed: scene.placement.surveyed },
    }),
  ];
}
