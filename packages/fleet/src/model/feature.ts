import type { Region } from '@bedledger/geometry';

export type FeatureKind = 'groove' | 'port' | 'gasket' | 'keep-out' | 'hole' | 'slot';

/** Something in or on the bed that is not land. */
export interface BedFeature {
  /** Unique on the machine, stable under changes elsewhere: `A/groove/x3`, `A/port/1`, `keep-out/tool-setter`. */
  readonly id: string;
  /** For people: `zone A groove x 3`. */
  readonly name: string;
  readonly kind: FeatureKind;
  readonly zone: string | null;
  /** Nominal bed frame, mm; never smaller than the real thing. */
  readonly region: Region;
  /** Depth below the bed surface, mm; null where unknown (ports, holes) or meaningless (keep-outs). */
  readonly depth: number | null;
  /** Height above the bed surface, mm, of a keep-out with something standing on it; null otherwise. */
  readonly height: number | null;
  readonly metal: boolean;
}
