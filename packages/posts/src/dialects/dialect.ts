import type { Controller } from '@bedledger/fleet';

/** What one standard asks for beyond the options of a controller. */
export interface DialectRules {
  /** Words that state this standard's modal groups at the start, in their order; distance is absolute there. */
  readonly start: (controller: Controller, workOffset: number) => readonly string[];
  /** Between key and value in a comment. */
  readonly separator: ': ' | ' = ';
  /** `G01` for `G1`, where the controller does not say. */
  readonly twoDigits: boolean;
}
