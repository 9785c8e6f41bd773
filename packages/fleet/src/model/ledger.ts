import type { Point } from '@bedledger/geometry';

/** ISO 8601 calendar date, e.g. `2026-03-14`. */
export type IsoDate = string;

/**
 * One physical fact. The list is append-only; nothing in it is ever regenerated.
 * `site` facts carry the position where the thing was really done (bed frame, surveyed, mm), so that a later change of
 * the layout cannot move what is already in the bed.
 */
export type Fact =
  | { readonly fact: 'mark'; readonly date: IsoDate; readonly site: string; readonly at: Point }
  | {
      readonly fact: 'bore';
      readonly date: IsoDate;
      readonly site: string;
      readonly at: Point;
      readonly diameter: number;
      readonly depth: number;
    }
  | {
      readonly fact: 'insert';
      readonly date: IsoDate;
      readonly site: string;
      readonly at: Point;
      readonly insert: string;
    }
  | { readonly fact: 'fill'; readonly date: IsoDate; readonly site: string; readonly reason: string }
  | {
      readonly fact: 'board';
      readonly date: IsoDate;
      readonly stock: string;
      /** One reading for each place, mm. */
      readonly thickness: readonly number[];
      /** Where each reading was taken (bed frame), null where it was not written down; absent when none was. */
      readonly places?: readonly (Point | null)[];
      readonly skimmed: 'none' | 'underside' | 'top' | 'both';
      readonly screwLength?: number;
      readonly pocketFloor?: number;
      readonly pocketed: boolean;
    }
  | {
      readonly fact: 'skim';
      readonly date: IsoDate;
      readonly commanded: number;
      /** One reading for each place, mm. */
      readonly thickness: readonly number[];
      readonly places?: readonly (Point | null)[];
      readonly heights?: string;
    }
  | {
      /** Pockets and holes were made in the board that is on the bed. */
      readonly fact: 'pocket';
      readonly date: IsoDate;
      readonly screwLength?: number;
      readonly pocketFloor?: number;
    }
  | { readonly fact: 'heights'; readonly date: IsoDate; readonly file: string }
  | {
      readonly fact: 'vacuum';
      readonly date: IsoDate;
      readonly zone?: string;
      readonly covered: number;
      readonly uncovered?: number;
    }
  | { readonly fact: 'moisture'; readonly date: IsoDate; readonly percent: number }
  | { readonly fact: 'survey'; readonly date: IsoDate; readonly file: string }
  /** Both datum marks measured anew after the machine was moved or rehomed: earlier positions are mapped along. */
  | { readonly fact: 'datum'; readonly date: IsoDate; readonly mark: Point; readonly second: Point }
  | {
      readonly fact: 'time';
      readonly date: IsoDate;
      readonly operation: string;
      readonly minutes: number;
      readonly predicted: number;
    }
  | { readonly fact: 'note'; readonly date: IsoDate; readonly text: string };

/** The kinds of fact. A `Record<FactKind, …>` does not compile until a new kind is answered for. */
export type FactKind = Fact['fact'];

/** Facts of one kind, or of several. */
export type FactOf<K extends FactKind> = Extract<Fact, { readonly fact: K }>;

export interface Ledger {
  readonly facts: readonly Fact[];
}

/** none → marked → bored → set → filled. Only the ledger changes it. */
export const SITE_STATES = ['none', 'marked', 'bored', 'set', 'filled'] as const;
export type SiteState = (typeof SITE_STATES)[number];

export interface BoardState {
  readonly fitted: IsoDate;
  readonly stock: string;
  /** Mean of the last measurement, mm. */
  readonly thickness: number;
  /** Least of the last measurement, mm. */
  readonly thinnest: number;
  readonly thicknessWhenFitted: number;
  readonly skims: number;
  readonly pocketed: boolean;
  readonly screwLength?: number;
  readonly pocketFloor?: number;
  readonly history: readonly { readonly date: IsoDate; readonly thickness: number }[];
  /** 1 for the first board on this bed. */
  readonly ordinal: number;
}

/** What is known of one site: its state, and where and with what it was brought into it. */
export interface SiteRecord {
  readonly state: SiteState;
  readonly at: Point;
  readonly insert?: string;
  /** Of the bore, mm. */
  readonly depth?: number;
  readonly diameter?: number;
  /** Of the last fact. */
  readonly date: IsoDate;
}

/** What the ledger's facts add up to: the bed as it stands today. */
export interface BedState {
  readonly sites: ReadonlyMap<string, SiteRecord>;
  /** Every insert that is in the bed, including those of sites the layout no longer has. */
  readonly inserts: readonly { readonly site: string; readonly at: Point; readonly insert: string }[];
  readonly board: BoardState | null;
  readonly latestHeights: string | null;
  readonly latestSurvey: IsoDate | null;
}
