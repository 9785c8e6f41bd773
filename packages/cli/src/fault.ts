/** A fault of this program, as data: it travels from a worker and into JSON. */
export interface Fault {
  readonly message: string;
  /** Where it happened, for those who mend it; empty when that is unknown. */
  readonly stack: string;
}

export function faultOf(error: unknown): Fault {
  const fault = error instanceof Error ? error : new Error(String(error));
  return { message: fault.message, stack: fault.stack ?? '' };
}

/** The fault as people read it. `about`: what was being done. */
export function faultText(fault: Fault, about: string): string {
  return (
    `${about}: a fault of this program, not of your files: ${fault.message}\n${fault.stack}\n` +
    'Please report it with the command you gave and the files it read.\n'
  );
}
