import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { codeOf, createFolder, listMachines, newMachineFiles } from '@bedledger/fleet';
import { textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';

export const newMachine: Command = {
  name: 'new',
  usage: 'new <id>',
  summary: 'start a profile',
  options: [
    {
      name: 'units',
      value: 'text',
      placeholder: 'mm|in',
      help: 'what the profile is written in (default mm)',
    },
    {
      name: 'title',
      value: 'text',
      placeholder: 'TEXT',
      help: 'what people call the machine (default: the id)',
    },
  ],
  examples: ['bedledger new wren', 'bedledger new wren --units in --title "Wren, north workshop"'],
  positional: [1, 1],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const id = args.positional[0] as string;
    if (!/^[a-z][a-z0-9-]{0,39}$/.test(id)) {
      throw new UsageError(
        `\`${id}\` cannot be a machine's id`,
        'use lower-case letters, digits and `-`, a letter first, 40 at the most',
      );
    }
    const units = textOption(args, 'units') ?? 'mm';
    if (units !== 'mm' && units !== 'in')
      throw new UsageError(`units are mm or in, not \`${units}\``, 'write --units mm or --units in');
    const folder = join(root, 'machines', id);
    if (existsSync(folder)) throw thereAlready(id);
    const alike = listMachines(root).find((name) => name.toLowerCase() === id);
    if (alike !== undefined) {
      throw new UsageError(
        `machines/${alike} differs from \`${id}\` only in capital letters, and is the same folder on some systems`,
        'choose another id; nothing was written',
      );
    }
    const files = newMachineFiles({ id, title: textOption(args, 'title') ?? id, units });
    // Made aside and moved in whole: a half-made machine would break every command.
    const texts = new Map(files.map(({ path, text }) => [path, text] as const));
    try {
      createFolder(join(root, 'machines'), id, texts);
    } catch (error) {
      throw codeOf(error) === 'EEXIST' ? thereAlready(id) : error;
    }
    for (const { path } of files) output.marked('new', `machines/${id}/${path}`);
    output.line(
      `\nFill in machines/${id}/machine.yaml (every field says what it is), then run \`bedledger regenerate ${id}\`.`,
    );
    output.object({ command: 'new', id, files: files.map(({ path }) => `machines/${id}/${path}`) });
    return EXIT.fine;
  },
};

function thereAlready(id: string): UsageError {
  return new UsageError(`machines/${id} is there already`, 'choose another id; nothing was written');
}
