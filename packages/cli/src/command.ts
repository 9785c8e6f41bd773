import type { OptionSpec, ParsedArguments } from './arguments.ts';
import type { ExitCode } from './exit.ts';
import type { Output } from './output.ts';

export interface CommandContext {
  readonly args: ParsedArguments;
  readonly output: Output;
  /** The fleet's folder, absolute. */
  readonly root: string;
  /** The caller's folder, absolute: where files that the call names lie. */
  readonly cwd: string;
  /** The file a worker runs: beside the command's entry, wherever the code of a command was bundled to. */
  readonly workerScript: URL;
}

/** One command of the `bedledger` program. Modules are loaded on demand, so a command is a file of its own. */
export interface Command {
  readonly name: string;
  /** After `bedledger`, e.g. `regenerate [machine…]`. */
  readonly usage: string;
  readonly summary: string;
  readonly options: readonly OptionSpec[];
  readonly examples: readonly string[];
  /** Least and greatest number of positional arguments. */
  readonly positional: readonly [number, number];
  /** Runs without a fleet (`fasteners`, `explain <rule>`). */
  readonly needsFleet: boolean;
  readonly run: (context: CommandContext) => Promise<ExitCode>;
}
