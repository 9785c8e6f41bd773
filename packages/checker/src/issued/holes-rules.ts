import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
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
  { holes, stacks }: SitesOfRecord,
  scene: Scene,
): Diagnostic[] {
  const { units } = record.machine;
  const { state, machine } = record;
  const found: Diagnostic[] = [];
  const add = (line: number, message: string, facts: Record<string, string | number> = {}): void => {
    found.push(report({ code: 'documents/holes', ...inFile(file, line), message, facts }));
  };

  for (const hole of holes) {
    const known = state.sites.get(hole.site);
    if (known && (known.state === 'bored' || known.state === 'set')) {
      if (Math.abs(known.at[0] - hole.x) > PRINTED || Math.abs(known.at[1] - hole.y) > PRINTED) {
        add(
          hole.line,
          `site ${hole.site} stands at ${exactPlace([hole.x, hole.y], units)}; the ledger has it ${known.state} at ${exactPlace([known.at[0], known.at[1]], units)}`,
          { site: hole.site },
        );
      }
    } else {
      // What was found on an air pass was measured where the machine stood: it is added in the surveyed frame.
      const nudge = machine.fixing.nudges.find((n) => n.site === hole.site);
      const [mappedX, mappedY] = applyTransform(scene.placement.transform, [hole.nominalX, hole.nominalY]);
      const x = mappedX + (nudge?.by[0] ?? 0);
      const y = mappedY + (nudge?.by[1] ?? 0);
      if (Math.abs(x - hole.x) > FIT || Math.abs(y - hole.y) > FIT) {
        add(
          hole.line,
          `site ${hole.site} stands at ${exactPlace([hole.x, hole.y], units)}; the survey maps its nominal place to ${exactPlace([x, y], units)}${nudge ? ' with its nudge' : ''}`,
          { site: hole.site },
        );
      }
    }
    // A filled hole leaves the site free to be made anew.
    const expected = known === undefined || known.state === 'filled' ? 'none' : known.state;
    if (expected !== hole.state) {
      add(
        hole.line,
        `site ${hole.site} is \`${hole.state}\` in the table, the ledger makes it \`${expected}\``,
        {
          site: hole.site,
        },
      );
    }
    const stack = stacks.get(hole.site);
    if (!stack) {
      add(hole.line, `no stack holds at site ${hole.site}: the fixing does not fit board and bed there`, {
        site: hole.site,
      });
      continue;
    }
    const compare = (name: string, claimed: number | null, own: number): void => {
      if (claimed === null || Math.abs(claimed - own) > PRINTED + 1e-6) {
        add(
          hole.line,
          `${name} of site ${hole.site} is ${claimed === null ? 'empty' : exactLength(claimed, units)}, the stack gives ${exactLength(own, units)}`,
          {
            site: hole.site,
            column: name,
            expected: own,
          },
        );
      }
    };
    compare('pocket_diameter', hole.pocketDiameter, stack.pocketDiameter);
    compare('pocket_floor', hole.pocketFloor, stack.web);
    compare('hole_diameter', hole.holeDiameter, stack.clearanceDiameter);
    compare('refit_diameter', hole.refitDiameter, stack.refitDiameter);
    compare('bore_diameter', hole.boreDiameter, stack.handDrill.diameter);
    compare('bore_depth', hole.boreDepth, stack.handDrill.depth);
    compare('screw_length', hole.screwLength, stack.screwLength);
    compare('web', hole.web, stack.web);
    compare('cover', hole.cover, stack.cover);
  }
  // every hole in the bed that the ledger has must be in the table: it is still there
  for (const [site, known] of state.sites) {
    if ((known.state === 'set' || known.state === 'bored') && !holes.some((h) => h.site === site)) {
      add(1, `site ${site} is ${known.state} in the ledger and missing from the table`, { site });
    }
  }
  for (const given of machine.fixing.layout.pattern === 'given' ? machine.fixing.layout.sites : []) {
    if (!holes.some((h) => h.site === given.id)) {
      add(1, `site ${given.id} is given in the profile and missing from the table`, { site: given.id });
    }
  }
  found.push(...checkLand(record, file, holes, scene));
  found.push(...checkCoverage(record, file, holes, scene));
  return found;
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
  const { machine, house, stock } = record;
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
