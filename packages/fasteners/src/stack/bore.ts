import { trimmed } from '@bedledger/diagnostics';
import { catalogue } from '../catalogue/catalogue.ts';
import type { Insert, StackRules } from '../model.ts';
import { largest, roundUp, smallest } from './dimension.ts';
import { drillPointLength } from './drill-point.ts';

/** The hole in the bed that takes the insert: what is drilled by hand, and the wider mouth a taper needs. */
export interface Bore {
  readonly drill: {
    readonly diameter: number;
    readonly depth: number;
    readonly name: string;
    readonly pointLength: number;
    readonly tipDepth: number;
  };
  readonly relief?: { readonly diameter: number; readonly depth: number };
}

let metricDrills: readonly { name: string; diameter: number }[] | undefined;
let inchDrills: readonly { name: string; diameter: number }[] | undefined;

function drillsOf(system: 'metric' | 'unified'): readonly { name: string; diameter: number }[] {
  metricDrills ??= catalogue().drills.filter((d) => d.series === 'metric');
  inchDrills ??= catalogue().drills.filter((d) => d.series !== 'metric');
  return system === 'metric' ? metricDrills : inchDrills;
}

/** Smallest drill of the series that is at least `diameter`; above the largest published one, the diameter itself to 0.1 mm. */
export function drillAtLeast(
  diameter: number,
  system: 'metric' | 'unified',
): { name: string; diameter: number } {
  const drills = drillsOf(system);
  let low = 0;
  let high = drills.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (drills[middle]!.diameter >= diameter - 1e-9) high = middle;
    else low = middle + 1;
  }
  const found = drills[low];
  if (found !== undefined) return found;
  const special = roundUp(diameter, 0.1);
  return { name: special.toFixed(1), diameter: special };
}

/** A drill of exactly this diameter by the name it is sold under: `7.0`, `9/32`; by its diameter where it has none. */
export function drillNamed(
  diameter: number,
  system: 'metric' | 'unified',
): { name: string; diameter: number } {
  // tables print an inch to four decimals
  const listed = drillsOf(system).find((d) => Math.abs(d.diameter - diameter) < 0.0013);
  return { name: listed?.name ?? trimmed(diameter, 3), diameter };
}

/**
 * Bore for an insert. Depth is the insert's greatest length plus the reserve. A parallel insert gets one diameter:
 * its outside plus the glue gap (or what its standard asks for), up to the next drill size. A tapered insert gets
 * the smallest drill that fits it below the machine-cut mouth, and the mouth (`relief`) at its full diameter, no
 * deeper than the cut limit.
 */
export function boreFor(insert: Insert, rules: StackRules, cutLimit: number): Bore {
  const system = insert.thread.designation.startsWith('M') ? 'metric' : 'unified';
  const depth = largest(insert.length) + rules.boreReserve;
  const mouth =
    insert.bore !== undefined ? largest(insert.bore) : largest(insert.outside) + rules.adhesiveGap;
  let drill = drillAtLeast(mouth, system);
  let relief: Bore['relief'];
  if (insert.taper > 0) {
    // the insert narrows by this much per millimetre of depth
    const narrowing = 2 * Math.tan((insert.taper * Math.PI) / 360);
    const deepest = Math.min(cutLimit, smallest(insert.length));
    const slim = drillAtLeast(mouth - narrowing * deepest, system);
    if (slim.diameter < mouth) {
      drill = slim;
      relief = {
        diameter: roundUp(mouth, 0.01),
        depth: Math.min(deepest, roundUp((mouth - slim.diameter) / narrowing, 0.01)),
      };
    }
  }
  const pointLength = drillPointLength(drill.diameter);
  return {
    drill: { diameter: drill.diameter, depth, name: drill.name, pointLength, tipDepth: depth + pointLength },
    ...(relief && { relief }),
  };
}
