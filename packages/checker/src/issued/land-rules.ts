import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { containsPoint, nearestOnBoundary, type Point } from '@bedledger/geometry';
import type { ProgramFile } from '../model.ts';
import { inFile, report } from '../report.ts';
import type { Scene } from '../scene/scene.ts';
import type { HoleRow } from './hole-table.ts';

/** Rounding of places in the table, mm. */
const SLACK = 0.002;

/**
 * Every site that still needs its bore must lie where the bed carries an insert: axis to groove, port, gasket, hole or
 * slot at least the insert's radius, its wall, the house margin and the uncertainty of the place. Keep-outs and the
 * edge of the bed alike. Sites whose insert is in the bed are facts and are not judged.
 */
export function checkLand(
  record: MachineRecord,
  file: ProgramFile,
  holes: readonly HoleRow[],
  scene: Scene,
): Diagnostic[] {
  const { units } = record.machine;
  const { house, planned: fixing, state } = record;
  const found: Diagnostic[] = [];
  const outside = fixing.insert.outside.value + fixing.insert.outside.uncertainty;
  for (const hole of holes) {
    const known = state.sites.get(hole.site)?.state ?? 'none';
    if (known === 'set' || known === 'bored' || known === 'filled') continue;
    const at: Point = [hole.x, hole.y];
    const needed =
      outside / 2 +
      house.insertWall * fixing.insert.outside.value +
      house.landMargin +
      scene.placement.uncertaintyAt([hole.nominalX, hole.nominalY]);
    const bare = outside / 2 + scene.placement.uncertaintyAt([hole.nominalX, hole.nominalY]);
    let worst: { name: string; distance: number; needed: number } | null = null;
    const weigh = (name: string, distance: number, need: number): void => {
      if (distance < need - SLACK && (!worst || distance - need < worst.distance - worst.needed)) {
        worst = { name, distance, needed: need };
      }
    };
    for (const feature of scene.features) {
      const b = feature.box;
      if (
        at[0] < b.minX - needed ||
        at[0] > b.maxX + needed ||
        at[1] < b.minY - needed ||
        at[1] > b.maxY + needed
      ) {
        continue;
      }
      const distance = containsPoint(feature.region, at)
        ? 0
        : Math.abs(nearestOnBoundary(feature.region, at).distance);
      weigh(feature.name, distance, feature.kind === 'keep-out' ? bare + house.landMargin : needed);
    }
    const edge = containsPoint(scene.bed, at) ? Math.abs(nearestOnBoundary(scene.bed, at).distance) : 0;
    weigh("the bed's edge", edge, needed);
    for (const insert of state.inserts) {
      if (insert.site === hole.site) continue;
      const dx = insert.at[0] - at[0];
      const dy = insert.at[1] - at[1];
      weigh(`the insert of ${insert.site}`, Math.sqrt(dx * dx + dy * dy) - outside / 2, needed);
    }
    if (worst) {
      const w: { name: string; distance: number; needed: number } = worst;
      found.push(
        report({
          code: 'work/land',
          ...inFile(file, hole.line),
          message: `the axis of site ${hole.site} is ${exactLength(w.distance, units)} from ${w.name}, ${exactLength(w.needed, units)} are needed`,
          facts: { site: hole.site, name: w.name, found: w.distance, needed: w.needed },
        }),
      );
    }
  }
  return found;
}
