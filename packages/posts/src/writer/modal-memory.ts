/** What the controller has been told in this part and may be left out until it changes. NaN and −1: nothing yet. */
export interface ModalMemory {
  motion: number;
  feed: number;
  absolute: boolean;
  /** The machine is where the text says it is. */
  xyKnown: boolean;
  zKnown: boolean;
  /** Axis words are due even if they do not change. */
  restateXy: boolean;
  restateZ: boolean;
  /** Speed to be stated before the next motion, after a stop. */
  pendingRpm: number | null;
  cycle: { readonly g: number; readonly z: number; readonly r: number } | null;
}

/** Nothing said yet; the words of the start make distances absolute. */
export function blankMemory(): ModalMemory {
  return {
    motion: -1,
    feed: Number.NaN,
    absolute: true,
    xyKnown: false,
    zKnown: false,
    restateXy: true,
    restateZ: true,
    pendingRpm: null,
    cycle: null,
  };
}
