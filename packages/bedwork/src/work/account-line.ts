/** A line of an account shown to people: what, how much, unit, and where the figure is from. */
export interface AccountLine {
  readonly label: string;
  readonly value: string;
  readonly note: string;
}
