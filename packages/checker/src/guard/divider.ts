import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { boxOfRings, containsPoint, type Region } from '@bedledger/geometry';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { forEachPiece } from '../simulation/motions.ts';

/**
 * A cut below the bed surface whose kerf connects the grooves of two zones. Followed along the path: the zones that the
 * kerf has touched since it last left the bed.
 */
export function checkDividers(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const zones = new Map<string, Region>();
  for (const feature of c.scene.features) {
    if (feature.zone === null || feature.kind === 'keep-out') continue;
    zones.set(feature.zone, [...(zones.get(feature.zone) ?? []), ...feature.region]);
  }
  if (zones.size < 2) return [];
  const boxes = [...zones].map(([id, region]) => ({
    id,
    region,
    box: boxOfRings(region.map((polygon) => polygon.outer)),
  }));
  const { motions: m, cutter } = c.simulation;
  const r = cutter.shape.radius;
  const rounding = roundingOf(c.record.machine.controller);
  const found: Diagnostic[] = [];
  const reported = new Set<string>();
  let touched = new Set<string>();
  for (let i = 0; i < m.length; i++) {
    const low = Math.min(m.fromZ(i), m.toZ(i));
    if (!(low < -rounding)) {
      touched = new Set();
      continue;
    }
    forEachPiece(m, i, 0.05, (ax, ay, _az, bx, by) => {
      const dx = bx - ax;
      const dy = by - ay;
      const length = Math.sqrt(dx * dx + dy * dy);
      const steps = Math.max(1, Math.ceil(length / Math.max(0.5, r / 2)));
      for (let k = 0; k <= steps; k++) {
        const x = ax + (dx * k) / steps;
        const y = ay + (dy * k) / steps;
        for (const zone of boxes) {
          if (touched.has(zone.id)) continue;
          const b = zone.box;
          if (x < b.minX - r || x > b.maxX + r || y < b.minY - r || y > b.maxY + r) continue;
          if (rimTouches(zone.region, x, y, r)) touched.add(zone.id);
        }
      }
    });
    if (touched.size > 1) {
      const pair = [...touched].sort().join(' and ');
      if (reported.has(pair)) continue;
      reported.add(pair);
      found.push(
        report({
          code: 'guard/divider',
          ...inFile(c.file, c.trace.line[i]!),
          message: `the cut at ${exactLength(low, units)} runs from one zone into another: ${pair} are joined`,
          facts: { zones: pair },
        }),
      );
    }
  }
  return found;
}

function rimTouches(region: Region, x: number, y: number, r: number): boolean {
  if (containsPoint(region, [x, y])) return true;
  for (let k = 0; k < 16; k++) {
    const a = (k * Math.PI) / 8;
    if (containsPoint(region, [x + r * Math.cos(a), y + r * Math.sin(a)])) return true;
  }
  return false;
}
