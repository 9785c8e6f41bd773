import { boxOfRings, type Ring } from '@bedledger/geometry';

/** Something that stands on or in the bed and must not be met, as an upright prism in the bed frame, mm. */
export interface Solid {
  readonly name: string;
  readonly kind: 'insert' | 'screw' | 'keep-out' | 'clamp';
  readonly metal: boolean;
  readonly outline:
    | { readonly form: 'disc'; readonly x: number; readonly y: number; readonly radius: number }
    | { readonly form: 'rings'; readonly rings: readonly Ring[] };
  readonly box: {
    readonly minX: number;
    readonly minY: number;
    readonly maxX: number;
    readonly maxY: number;
  };
  readonly bottom: number;
  readonly top: number;
  /** How far its position may be off, mm; taken from every distance. */
  readonly uncertainty: number;
  readonly site: string | null;
}

export function discSolid(
  solid: Omit<Solid, 'outline' | 'box'> & { x: number; y: number; radius: number },
): Solid {
  const { x, y, radius, ...rest } = solid;
  return {
    ...rest,
    outline: { form: 'disc', x, y, radius },
    box: { minX: x - radius, minY: y - radius, maxX: x + radius, maxY: y + radius },
  };
}

export function ringSolid(solid: Omit<Solid, 'outline' | 'box'> & { rings: readonly Ring[] }): Solid {
  const { rings, ...rest } = solid;
  return { ...rest, outline: { form: 'rings', rings }, box: boxOfRings(rings) };
}

function pointToSegment(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const dx = bx - ax;
  const dy = by - ay;
  const l2 = dx * dx + dy * dy;
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * dx + (py - ay) * dy) / l2));
  const ex = ax + t * dx - px;
  const ey = ay + t * dy - py;
  return Math.sqrt(ex * ex + ey * ey);
}

function side(ax: number, ay: number, bx: number, by: number, px: number, py: number): number {
  return (bx - ax) * (py - ay) - (by - ay) * (px - ax);
}

function insideRings(rings: readonly Ring[], x: number, y: number): boolean {
  let inside = false;
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) {
      const [x1, y1] = ring[k]!;
      const [x2, y2] = ring[(k + 1) % ring.length]!;
      if (y1 <= y !== y2 <= y && x < x1 + ((y - y1) * (x2 - x1)) / (y2 - y1)) inside = !inside;
    }
  }
  return inside;
}

/** Horizontal distance from the segment a–b to the solid's outline; 0 when they overlap. */
export function planDistance(solid: Solid, ax: number, ay: number, bx: number, by: number): number {
  const o = solid.outline;
  if (o.form === 'disc') return Math.max(0, pointToSegment(o.x, o.y, ax, ay, bx, by) - o.radius);
  if (insideRings(o.rings, ax, ay) || insideRings(o.rings, bx, by)) return 0;
  let least = Infinity;
  for (const ring of o.rings) {
    for (let k = 0; k < ring.length; k++) {
      const [cx, cy] = ring[k]!;
      const [dx, dy] = ring[(k + 1) % ring.length]!;
      const crosses =
        side(ax, ay, bx, by, cx, cy) > 0 !== side(ax, ay, bx, by, dx, dy) > 0 &&
        side(cx, cy, dx, dy, ax, ay) > 0 !== side(cx, cy, dx, dy, bx, by) > 0;
      if (crosses) return 0;
      least = Math.min(
        least,
        pointToSegment(ax, ay, cx, cy, dx, dy),
        pointToSegment(bx, by, cx, cy, dx, dy),
        pointToSegment(cx, cy, ax, ay, bx, by),
        pointToSegment(dx, dy, ax, ay, bx, by),
      );
    }
  }
  return least;
}

/** Horizontal distance from an upright rectangle to the solid's outline; 0 when they overlap. */
export function regionDistance(
  solid: Solid,
  { minX, maxX, minY, maxY }: { minX: number; maxX: number; minY: number; maxY: number },
): number {
  const o = solid.outline;
  const [x, y] = o.form === 'disc' ? [o.x, o.y] : o.rings[0]![0]!;
  // wholly inside: no edge of the rectangle comes near it
  if (x >= minX && x <= maxX && y >= minY && y <= maxY) return 0;
  return Math.min(
    planDistance(solid, minX, minY, maxX, minY),
    planDistance(solid, maxX, minY, maxX, maxY),
    planDistance(solid, maxX, maxY, minX, maxY),
    planDistance(solid, minX, maxY, minX, minY),
  );
}
