import type { Duty, Form, Machine, OperationName } from '@bedledger/fleet';

/** Radii of the round cuts at one site, mm. */
export interface SiteCuts {
  /** The insert's bore in the bed. */
  readonly bore: number;
  /** The socket pocket in the board. */
  readonly pocket: number;
  /** The clearance hole in the board. */
  readonly hole: number;
}

/**
 * What every layer may know of an operation. How it is planned stands in `operations/`; lands and layout ask only how
 * far its cutter goes about a site.
 */
export interface OperationFacts {
  /** Its forms, each with a program of its own; `[null]`: it has one form only. */
  readonly forms: readonly (Form | null)[];
  /** Whose cutter it takes; null: nothing turns. */
  readonly duty: (machine: Machine) => Duty | null;
  /** The cut about the axis of each site that a layout keeps within reach; null: none. */
  readonly cutsAtSite: keyof SiteCuts | null;
}

const ONE_FORM = [null] as const;

export const OPERATION_FACTS: Readonly<Record<OperationName, OperationFacts>> = {
  'survey-visit': { forms: ONE_FORM, duty: () => null, cutsAtSite: null },
  'datum-mark': {
    forms: ONE_FORM,
    duty: ({ datum }) => (datum.made === 'cut' ? 'mark' : null),
    cutsAtSite: null,
  },
  'air-pass': { forms: ONE_FORM, duty: () => null, cutsAtSite: null },
  'bed-mark': { forms: ONE_FORM, duty: () => 'mark', cutsAtSite: 'bore' },
  'underside-skim': { forms: ONE_FORM, duty: () => 'surface', cutsAtSite: null },
  'socket-pockets': { forms: ONE_FORM, duty: () => 'pocket', cutsAtSite: 'pocket' },
  'clearance-holes': { forms: ['first-fit', 'refit'], duty: () => 'drill', cutsAtSite: 'hole' },
  // No site is placed elsewhere for the sake of its rim: one out of reach is broken by hand.
  'rim-break': { forms: ['top', 'underside'], duty: () => 'rim', cutsAtSite: null },
  trim: { forms: ONE_FORM, duty: () => 'trim', cutsAtSite: null },
  patch: { forms: ONE_FORM, duty: () => 'pocket', cutsAtSite: null },
  surface: { forms: ONE_FORM, duty: () => 'surface', cutsAtSite: null },
};

/** All operations in the order of work: the bed while it is bare, then the board, the skim last. */
export const OPERATIONS_IN_ORDER = Object.keys(OPERATION_FACTS) as readonly OperationName[];
