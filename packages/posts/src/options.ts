import type { Controller } from '@bedledger/fleet';

/**
 * Axes of a controller that a profile may leave out altogether. They are read through this view, so that a complete
 * `Controller` without them means the default stated beside each.
 */
export interface OptionalAxes {
  readonly numbers: {
    /** `0.5` (default) or `.5`. */
    readonly leadingZero?: 'keep' | 'strip';
  };
  readonly lineNumbers: {
    /** Zero-padded digits of a line number; default: as many as it takes. */
    readonly width?: number;
  };
  readonly words: {
    /** `G00 G01 M03` instead of `G0 G1 M3`; default: only in `rs274d`. */
    readonly twoDigits?: boolean;
  };
  /** Path control stated at the start; default: none. */
  readonly pathMode?: 'none' | 'G61' | 'G61.1' | 'G64';
  readonly feed: {
    /** Feed words count per minute (default) or per second. */
    readonly per?: 'minute' | 'second';
  };
  readonly spindle: {
    /** Speeds as code numbers instead of rpm; a speed that is not listed is an error. Default: rpm. */
    readonly codes?: readonly { readonly rpm: number; readonly code: number }[];
  };
}

export type FullController = Controller & OptionalAxes;

/** Is the default of every optional axis; `rs274d` writes two-digit codes. */
export function twoDigitCodes(controller: FullController): boolean {
  return controller.words.twoDigits ?? controller.dialect === 'rs274d';
}
