import fc from 'fast-check';

/**
 * A claim about the whole that one test run can only sample. A proof tries cases by number: everything random in a case comes
 * from its number, so that the number alone brings a failure back.
 *
 * One file here, `<name>.proof.ts`, exports `proof`; nothing else has to be told of it.
 */
export interface Proof {
  /** What is proven, against what, in one sentence. */
  readonly about: string;
  /** Tries one case, a whole number from 0. Throws where the claim does not hold, with what is needed to see why. */
  readonly try: (number: number) => void | Promise<void>;
  /** Tries every case there is, where they can be counted (`--all`); throws with all that fail. */
  readonly tryAll?: () => void | Promise<void>;
  /** What `npm test` tries of it: so many cases from number 1, or the test that has a sample of its own. */
  readonly sample: { readonly cases: number } | { readonly test: string };
}

/** A property on random input as a proof; a case is `runs` inputs. */
export function propertyProof<Values extends unknown[]>(
  about: string,
  property: fc.IProperty<Values>,
  runs: number,
  sample: Proof['sample'],
): Proof {
  return {
    about,
    sample,
    try: (number) => fc.assert(property, { seed: number, numRuns: runs }),
  };
}
