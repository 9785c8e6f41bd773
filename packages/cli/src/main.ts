import { InputError, suggest } from '@bedledger/diagnostics';
import { flag, type ParsedArguments, parseArguments, textOption, UsageError } from './arguments.ts';
import type { Command } from './command.ts';
import { COMMANDS } from './commands/index.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { faultOf, faultText } from './fault.ts';
import { FILE_TROUBLE_HELP, fileTroubleText, isFileTrouble } from './file-trouble.ts';
import { findRoot } from './find-root.ts';
import { commandHelp, programHelp } from './help.ts';
import { Output } from './output.ts';

declare const __BEDLEDGER_VERSION__: string;
const VERSION = typeof __BEDLEDGER_VERSION__ === 'string' ? __BEDLEDGER_VERSION__ : 'source';

/** The build puts the worker beside the command's entry, under this name (tools/build.mjs). */
const WORKER = new URL('./worker.mjs', import.meta.url);

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
      // `record --all` is about sites.
      all: flag(args, 'all') && command.name !== 'record',
    });
    const root = command.needsFleet ? findRoot(textOption(args, 'root'), cwd) : cwd;
    const code = await command.run({ args, output, root, cwd, workerScript: WORKER });
    if (command.name !== 'record') output.hint();
    return code;
  } catch (error) {
    return tell(error, wantsJson, first);
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
      ? `${command.name} needs ${command.usage.slice(command.name.length + 1)}`
      : `${command.name}: too many arguments, \`${args.positional[most]}\` is the first`,
    `usage: bedledger ${command.usage}; for example \`${command.examples[0]}\``,
  );
}

function tell(error: unknown, json: boolean, command: string | undefined): ExitCode {
  const output = new Output({ json, noColor: false, quiet: false, all: false });
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
    const { path, message } = fileTroubleText(error);
    if (json) output.object({ command, error: { message: `${path} ${message}`, help: FILE_TROUBLE_HELP } });
    else process.stderr.write(`bedledger: ${path} ${message}\nhelp: ${FILE_TROUBLE_HELP}\n`);
    return EXIT.wrong;
  }
  const fault = faultOf(error);
  if (json) output.object({ command, fault });
  process.stderr.write(faultText(fault, 'bedledger'));
  return EXIT.fault;
}

process.on('SIGINT', () => process.exit(EXIT.interrupted));
// A reader that goes away (`| head`) is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(process.exitCode ?? EXIT.fine);
  throw error;
});
process.exitCode = await main(process.argv.slice(2), process.cwd());
