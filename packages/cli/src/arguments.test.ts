import { describe, expect, it } from 'vitest';
import {
  flag,
  listOption,
  numberOption,
  type OptionSpec,
  parseArguments,
  textOption,
  UsageError,
} from './arguments.ts';

const SPECS: readonly OptionSpec[] = [
  { name: 'depth', value: 'number', help: '' },
  { name: 'title', value: 'text', help: '' },
  { name: 'site', value: 'list', help: '' },
  { name: 'brief', value: 'none', help: '' },
];

function usage(argv: readonly string[]): UsageError {
  try {
    parseArguments(argv, SPECS);
  } catch (error) {
    if (error instanceof UsageError) return error;
    throw error;
  }
  throw new Error(`${argv.join(' ')} was accepted`);
}

describe('the words of a call', () => {
  it('takes values after a space or an equals sign, in any order with the positional words', () => {
    const args = parseArguments(['heron', '--depth', '0.4', '--title=a = b', 'job.ngc', '--brief'], SPECS);
    expect(args.positional).toEqual(['heron', 'job.ngc']);
    expect(numberOption(args, 'depth')).toBe(0.4);
    expect(textOption(args, 'title')).toBe('a = b');
    expect(flag(args, 'brief')).toBe(true);
    expect(flag(args, 'json')).toBe(false);
  });

  it('reads a negative number as a value and everything after -- as words', () => {
    const args = parseArguments(['--depth', '-1.5', '--', '--brief', '-x'], SPECS);
    expect(numberOption(args, 'depth')).toBe(-1.5);
    expect(args.positional).toEqual(['--brief', '-x']);
  });

  it('collects an option that may be given more than once', () => {
    expect(listOption(parseArguments(['--site', 'A1', '--site=B2'], SPECS), 'site')).toEqual(['A1', 'B2']);
  });

  it('refuses what it does not know and names the nearest', () => {
    expect(usage(['--dept', '1']).help).toContain('--depth');
    expect(usage(['--colour']).message).toContain('--colour');
    expect(usage(['-d']).message).toContain('-d');
  });

  it('refuses a missing value, a value where none belongs, and a number that is none', () => {
    expect(usage(['--depth']).message).toContain('needs a value');
    expect(usage(['--title', '--brief']).message).toContain('needs a value');
    expect(usage(['--brief=yes']).message).toContain('takes no value');
    for (const bad of ['deep', '', '1e999', 'NaN', '0,4'])
      expect(usage([`--depth=${bad}`]).message).toContain('takes a number');
  });
});
