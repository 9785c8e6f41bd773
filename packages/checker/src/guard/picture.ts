import type { Case } from '../programs/case.ts';
import { forEachPiece, isRapid, type Motions } from '../simulation/motions.ts';

/** What a picture of a guarded job shows; bed frame, mm. Outlines of bed, board and features are the record's. */
export interface GuardPicture {
  /** Straight pieces of the path below the top of the material, in program order, thinned to what a picture can show. */
  readonly segments: readonly {
    readonly from: readonly [number, number];
    readonly to: readonly [number, number];
    readonly z: number;
    readonly rapid: boolean;
    readonly line: number;
  }[];
  /** The solids and how near the cutter comes to each, nearest first. */
  readonly nearest: readonly {
    readonly name: string;
    readonly x: number;
    readonly y: number;
    readonly distance: number;
    readonly line: number;
  }[];
  readonly cutterRadius: number;
  readonly boardTop: number;
}

const MOST_SEGMENTS = 4000;

type Segment = GuardPicture['segments'][number];

/**
 * Path below the material's top, thinned by dropping points that move less than a growing step.
 *
 * @param cases the stretches of one reading, at least one
 */
export function pictureOf(cases: readonly Case[]): GuardPicture {
  const top = cases[0]!.scene.surface.highest;
  let segments: Segment[] = [];
  for (let step = 0.2; step < 100; step *= 2) {
    segments = [];
    for (const { simulation } of cases) addSegments(segments, simulation.motions, top, step);
    if (segments.length <= MOST_SEGMENTS) break;
  }
  return {
    segments: segments.slice(0, MOST_SEGMENTS),
    nearest: cases
      .flatMap(({ simulation, trace }) =>
        simulation.approaches.map((a) => ({
          name: a.solid.name,
          x: a.x,
          y: a.y,
          distance: a.distance,
          line: trace.line[a.motion]!,
        })),
      )
      .sort((a, b) => a.distance - b.distance)
      .slice(0, 20),
    cutterRadius: Math.max(...cases.map(({ simulation }) => simulation.cutter.shape.radius)),
    boardTop: top,
  };
}

function addSegments(segments: Segment[], m: Motions, top: number, step: number): void {
  let last: { x: number; y: number } | null = null;
  for (let i = 0; i < m.length && segments.length <= MOST_SEGMENTS; i++) {
    if (!(Math.min(m.fromZ(i), m.toZ(i)) < top)) {
      last = null;
      continue;
    }
    const line = m.trace.line[i]!;
    const rapid = isRapid(m, i);
    forEachPiece(m, i, 0.2, (ax, ay, az, bx, by, bz) => {
      const from: { x: number; y: number } = last ?? { x: ax, y: ay };
      const dx = bx - from.x;
      const dy = by - from.y;
      if (dx * dx + dy * dy < step * step) {
        last = from;
        return;
      }
      segments.push({ from: [from.x, from.y], to: [bx, by], z: Math.min(az, bz), rapid, line });
      last = { x: bx, y: by };
    });
  }
}
