import { suggest } from '@bedledger/diagnostics';

/** One option of a command: `--name` alone, or `--name value`. */
export interface OptionSpec {
  readonly name: string;
  readonly value: 'none' | 'text' | 'number' | 'list';
  /** Shown in help after the name, e.g. `DIR`. */
  readonly placeholder?: string;
  readonly help: string;
}

export interface ParsedArguments {
  readonly positional: readonly string[];
  readonly options: ReadonlyMap<string, string | number | boolean | readonly string[]>;
}

/** The call is wrong: printed as is with the usage line, exit code 2. */
export class UsageError extends Error {
  readonly help: string;
  constructor(message: string, help: string) {
    super(message);
    this.name = 'UsageError';
    this.help = help;
  }
}

/** Options that every command understands; one of a command's own of the same name takes its place. */
export const COMMON_OPTIONS: readonly OptionSpec[] = [
  {
    name: 'root',
    value: 'text',
    placeholder: 'DIR',
    help: 'the fleet folder (default: found upwards from here)',
  },
  { name: 'json', value: 'none', help: 'one JSON object on standard output and nothing else there' },
  { name: 'no-color', value: 'none', help: 'no colour, whatever the terminal says' },
  { name: 'quiet', value: 'none', help: 'no progress on standard error' },
  { name: 'all', value: 'none', help: 'every finding, those that follow from another too' },
  { name: 'help', value: 'none', help: 'this text' },
];

/**
 * Splits `argv` by the command's options. `--name=value` and `--name value` are the same; `--` ends the options;
 * a negative number is a value, not an option.
 *
 * @throws UsageError naming the option, with the nearest known one when it looks like a slip.
 */
export function parseArguments(argv: readonly string[], specs: readonly OptionSpec[]): ParsedArguments {
  const known = new Map([...COMMON_OPTIONS, ...specs].map((spec) => [spec.name, spec]));
  const positional: string[] = [];
  const options = new Map<string, string | number | boolean | string[]>();
  for (let i = 0; i < argv.length; i++) {
    const word = argv[i] as string;
    if (word === '--') {
      positional.push(...argv.slice(i + 1));
      break;
    }
    if (word === '-h') {
      options.set('help', true);
      continue;
    }
    if (!word.startsWith('--')) {
      if (word.startsWith('-') && word.length > 1 && !/^-[\d.]/.test(word)) {
        throw new UsageError(`unknown option ${word}`, 'options are written out: `--name`');
      }
      positional.push(word);
      continue;
    }
    const equals = word.indexOf('=');
    const name = equals < 0 ? word.slice(2) : word.slice(2, equals);
    const spec = known.get(name);
    if (spec === undefined) {
      const near = suggest(name, [...known.keys()]);
      throw new UsageError(
        `unknown option --${name}`,
        near.length > 0 ? `did you mean --${near[0]}?` : 'see `--help` for the options of this command',
      );
    }
    if (spec.value === 'none') {
      if (equals >= 0) throw new UsageError(`--${name} takes no value`, `write --${name} alone`);
      options.set(name, true);
      continue;
    }
    const raw = equals >= 0 ? word.slice(equals + 1) : argv[++i];
    if (raw === undefined || (equals < 0 && raw.startsWith('--'))) {
      throw new UsageError(`--${name} needs a value`, `write --${name} ${spec.placeholder ?? 'VALUE'}`);
    }
    if (spec.value === 'number') {
      const value = Number(raw);
      if (raw.trim() === '' || !Number.isFinite(value)) {
        throw new UsageError(
          `--${name} takes a number, not \`${raw}\``,
          `write --${name} ${spec.placeholder ?? '12.5'}`,
        );
      }
      options.set(name, value);
    } else if (spec.value === 'list') {
      const list = (options.get(name) as string[] | undefined) ?? [];
      list.push(raw);
      options.set(name, list);
    } else {
      options.set(name, raw);
    }
  }
  return { positional, options };
}

export function textOption(args: ParsedArguments, name: string): string | undefined {
  const value = args.options.get(name);
  return typeof value === 'string' ? value : undefined;
}

export function numberOption(args: ParsedArguments, name: string): number | undefined {
  const value = args.options.get(name);
  return typeof value === 'number' ? value : undefined;
}

export function listOption(args: ParsedArguments, name: string): readonly string[] {
  const value = args.options.get(name);
  return Array.isArray(value) ? value : [];
}

export function flag(args: ParsedArguments, name: string): boolean {
  return args.options.get(name) === true;
}
