import type { InsertFigures, ScrewFigures } from '@bedledger/fasteners';
import type { Point } from '@bedledger/geometry';

/** ISO 8601 calendar date, e.g. `2026-03-14`. */
export type IsoDate = string;

/** Where a figure of a fact is from: what was planned, or what somebody measured. Old entries do not say: planned. */
export type FigureSource = 'planned' | 'measured';

/** Pockets and holes as cut, mm; what was not written down is absent. */
export interface PocketFigures {
  /** Length of the screws they were made for. */
  readonly screwLength?: number;
  /** Height of the pocket's floor above the bed. */
  readonly pocketFloor?: number;
  /** By site, where the floors differ. */
  readonly floors?: Readonly<Record<string, number>>;
  readonly floorFrom?: FigureSource;
  readonly pocketDiameter?: number;
  /** By site, where the pockets differ. */
  readonly pockets?: Readonly<Record<string, number>>;
  readonly holeDiameter?: number;
  /** By site, where the holes differ. */
  readonly holes?: Readonly<Record<string, number>>;
  /** Site that holds the board: its hole is a close one. */
  readonly held?: string;
}

/**
 * One physical fact. The list is append-only; nothing in it is ever regenerated.
 * `site` facts carry the position where the thing was really done (bed frame, surveyed, mm), so that a later change of
 * the layout cannot move what is already in the bed.
 */
export type Fact =
  | {
      readonly fact: 'mark';
      readonly date: IsoDate;
      readonly site: string;
      readonly at: Point;
      readonly atFrom?: FigureSource;
    }
  | {
      readonly fact: 'bore';
      readonly date: IsoDate;
      readonly site: string;
      readonly at: Point;
      readonly atFrom?: FigureSource;
      readonly diameter: number;
      readonly depth: number;
      readonly depthFrom?: FigureSource;
    }
  | {
      readonly fact: 'insert';
      readonly date: IsoDate;
      readonly site: string;
      readonly at: Point;
      readonly atFrom?: FigureSource;
      readonly insert: string;
      /** Absent in entries of old ledgers. */
      readonly figures?: InsertFigures;
    }
  | { readonly fact: 'fill'; readonly date: IsoDate; readonly site: string; readonly reason: string }
  | ({
      readonly fact: 'board';
      readonly date: IsoDate;
      readonly stock: string;
      /** One reading for each place, mm. */
      readonly thickness: readonly number[];
      /** Where each reading was taken (bed frame), null where it was not written down; absent when none was. */
      readonly places?: readonly (Point | null)[];
      readonly skimmed: 'none' | 'underside' | 'top' | 'both';
      readonly pocketed: boolean;
    } & PocketFigures)
  | {
      readonly fact: 'skim';
      readonly date: IsoDate;
      readonly commanded: number;
      /** One reading for each place, mm. */
      readonly thickness: readonly number[];
      readonly places?: readonly (Point | null)[];
      readonly heights?: string;
    }
  | ({
      /** Pockets and holes were made in the board that is on the bed. */
      readonly fact: 'pocket';
      readonly date: IsoDate;
      /** Absent: every site of the board. */
      readonly sites?: readonly string[];
    } & PocketFigures)
  | ({
      /** The board was screwed down, or its screws were swapped for others. */
      readonly fact: 'screws';
      readonly date: IsoDate;
      readonly how: 'driven' | 'swapped';
      /** Absent: every site of the board. */
      readonly sites?: readonly string[];
    } & ScrewFigures)
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
  | {
      /** The owner vouches for the drawing of the bed in place of a survey. */
      readonly fact: 'vouch';
      readonly date: IsoDate;
      /** Farthest that a feature may be from where the drawing has it, mm. */
      readonly deviation: number;
      readonly by: string;
      readonly reason: string;
    }
  | {
      /** An earlier fact turned out to be wrong: it is not folded any more. */
      readonly fact: 'withdraw';
      readonly date: IsoDate;
      /** Number of that fact in the list, from 1; `kind` and `day` must be that fact's own. */
      readonly of: number;
      readonly kind: string;
      readonly day: IsoDate;
      readonly reason: string;
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
  /** It was surfaced after it was pocketed: screws held it, whether somebody recorded them or not. */
  readonly skimmedPocketed: boolean;
  /** Pockets and screws as made: those of named sites first, `everywhere` for all others. */
  readonly built: BuiltBoard;
  /** Site whose close hole holds it; null where nobody recorded one. */
  readonly held: string | null;
  readonly history: readonly { readonly date: IsoDate; readonly thickness: number }[];
  /** 1 for the first board on this bed. */
  readonly ordinal: number;
}

/** What is in a board. A site's own entry counts before `everywhere`; what nobody recorded is absent. */
export interface BuiltBoard {
  readonly everywhere: BuiltSite;
  readonly sites: ReadonlyMap<string, BuiltSite>;
}

export interface BuiltSite {
  readonly pocket?: PocketFigures;
  readonly screw?: ScrewFigures;
}

/** What is known of one site: its state, and where and with what it was brought into it. */
export interface SiteRecord {
  readonly state: SiteState;
  readonly at: Point;
  readonly atFrom: FigureSource;
  readonly insert?: string;
  /** Of the insert as set; absent in old ledgers. */
  readonly figures?: InsertFigures;
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
  readonly inserts: readonly {
    readonly site: string;
    readonly at: Point;
    readonly insert: string;
    readonly figures?: InsertFigures;
  }[];
  readonly board: BoardState | null;
  readonly latestHeights: string | null;
  readonly latestSurvey: IsoDate | null;
  /** Deviation that the owner vouches for, mm; null where nobody does. */
  readonly vouched: number | null;
}
