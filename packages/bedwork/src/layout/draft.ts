import type { Diagnostic } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';

/** A site as a pattern places it, before nudges of the air pass and the ledger have their say. */
export interface DraftSite {
  readonly id: string;
  readonly row: number;
  readonly column: number;
  /** Nominal frame, the layout's own nudge included. */
  readonly nominal: Point;
  readonly nudge: { readonly by: Point; readonly reason: string } | null;
  readonly placedBy: 'layout' | 'given';
  /** Why here, the most important first. */
  readonly reasons: readonly string[];
}

/** `full`: the best that is found; `quick`: any, to see whether there is one. */
export type Effort = 'full' | 'quick';

export interface Draft {
  readonly sites: readonly DraftSite[];
  readonly rows: readonly number[];
  readonly columns: readonly number[];
  readonly bound: { readonly lower: number; readonly proven: boolean; readonly by: string };
  readonly findings: readonly Diagnostic[];
}

/** No layout at all, and why. */
export function noDraft(findings: readonly Diagnostic[]): Draft {
  return {
    sites: [],
    rows: [],
    columns: [],
    bound: { lower: 0, proven: false, by: 'no layout' },
    findings,
  };
}
