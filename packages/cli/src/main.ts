import { InputError, suggest } from '@bedledger/diagnostics';
import { flag, type ParsedArguments, parseArguments, textOption, UsageError } from './arguments.ts';
import type { Command } from './command.ts';
import { COMMANDS } from './commands/index.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { findRoot } from './find-root.ts';
import { commandHelp, programHelp } from './help.ts';
import { Output } from './output.ts';

declare const __BEDLEDGER_VERSION__: string;
const VERSION = typeof __BEDLEDGER_VERSION__ === 'string' ? __BEDLEDGER_VERSION__ : 'source';

/** Runs one call of the program and returns its exit code. Nothing below this function exits the process. */
export async function main(argv: readonly string[], cwd: string): Promise<ExitCode> {
  const [first, ...rest] = argv;
  if (first === '--version' || first === '-V') {
    process.stdout.write(`${VERSION}\n`);
    return EXIT.fine;
  }
  const wantsJson = argv.includes('--json');
  try {
    if (first === undefined || first === '--help' || first === '-h' || first === 'help') {
      return await help(first === undefined ? undefined : rest[0], first === undefined);
    }
    const entry = COMMANDS.find((c) => c.name === first);
    if (entry === undefined) throw unknownCommand(first);
    const command = await entry.load();
    const args = parseArguments(rest, command.options);
    if (flag(args, 'help')) {
      process.stdout.write(commandHelp(command));
      return EXIT.fine;
    }
    countPositional(command, args);
    const output = new Output({
      json: flag(args, 'json'),
      noColor: flag(args, 'no-color'),
      quiet: flag(args, 'quiet'),
    });
    const root = command.needsFleet ? findRoot(textOption(args, 'root'), cwd) : cwd;
    return await command.run({ args, output, root });
  } catch (error) {
    return report(error, wantsJson, first);
  }
}

async function help(name: string | undefined, asError: boolean): Promise<ExitCode> {
  if (name !== undefined) {
    const entry = COMMANDS.find((c) => c.name === name);
    if (entry === undefined) throw unknownCommand(name);
    process.stdout.write(commandHelp(await entry.load()));
    return EXIT.fine;
  }
  const commands = await Promise.all(COMMANDS.map((c) => c.load()));
  (asError ? process.stderr : process.stdout).write(programHelp(commands, VERSION));
  return asError ? EXIT.wrong : EXIT.fine;
}

function unknownCommand(word: string): UsageError {
  const near = suggest(
    word,
    COMMANDS.map((c) => c.name),
  );
  return new UsageError(
    `unknown command ${word}`,
    near.length > 0 ? `did you mean \`bedledger ${near[0]}\`?` : 'see `bedledger --help` for the commands',
  );
}

function countPositional(command: Command, args: ParsedArguments): void {
  const [least, most] = command.positional;
  const count = args.positional.length;
  if (count >= least && count <= most) return;
  throw new UsageError(
    count < least
      ? `${command.name} needs more than that`
      : `${command.name} does not know what to do with \`${args.positional[most]}\``,
    `usage: bedledger ${command.usage}`,
  );
}

/** A file or folder that the system refuses: trouble of the disk, not of this program. */
function isFileTrouble(error: unknown): error is NodeJS.ErrnoException & { path: string } {
  return (
    error instanceof Error &&
    typeof (error as NodeJS.ErrnoException).code === 'string' &&
    typeof (error as NodeJS.ErrnoException).path === 'string'
  );
}

function report(error: unknown, json: boolean, command: string | undefined): ExitCode {
  const output = new Output({ json, noColor: false, quiet: false });
  if (error instanceof UsageError) {
    if (json) output.object({ command, error: { message: error.message, help: error.help } });
    else process.stderr.write(`bedledger: ${error.message}\nhelp: ${error.help}\n`);
    return EXIT.wrong;
  }
  if (error instanceof InputError) {
    output.diagnostics(error.diagnostics);
    output.object({ command, findings: error.diagnostics });
    return EXIT.wrong;
  }
  if (isFileTrouble(error)) {
    const message = `${error.path} cannot be opened or written: ${error.code}`;
    const advice = 'look at the folder and its permissions, then give the command again';
    if (json) output.object({ command, error: { message, help: advice } });
    else process.stderr.write(`bedledger: ${message}\nhelp: ${advice}\n`);
    return EXIT.wrong;
  }
  const fault = error instanceof Error ? error : new Error(String(error));
  if (json) output.object({ command, fault: { message: fault.message } });
  process.stderr.write(
    `bedledger: a fault of this program, not of your files: ${fault.message}\n${fault.stack ?? ''}\n` +
      'Nothing was written after this point. Please report it with the command you gave and the files it read.\n',
  );
  return EXIT.fault;
}

process.on('SIGINT', () => process.exit(EXIT.interrupted));
// A reader that goes away (`| head`) is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(process.exitCode ?? EXIT.fine);
  throw error;
});
process.exitCode = await main(process.argv.slice(2), process.cwd());
