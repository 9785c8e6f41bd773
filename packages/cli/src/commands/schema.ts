import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { jsonSchemas, writeFileAtomic } from '@bedledger/fleet';
import { flag } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';

export const schema: Command = {
  name: 'schema',
  usage: 'schema',
  summary: 'write the JSON Schemas (draft-07, which YAML editors understand)',
  options: [{ name: 'check', value: 'none', help: 'write nothing; exit 1 when a schema is out of date' }],
  examples: ['bedledger schema', 'bedledger schema --check'],
  positional: [0, 0],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const onlyCheck = flag(args, 'check');
    const results = jsonSchemas().map(({ path, text }) => {
      const file = join(root, path);
      const same = existsSync(file) && readFileSync(file, 'utf8') === text;
      if (!same && !onlyCheck) {
        mkdirSync(dirname(file), { recursive: true });
        writeFileAtomic(file, text);
      }
      output.marked(
        same ? 'ok' : onlyCheck ? 'stop' : 'changed',
        same || !onlyCheck ? path : `${path}: out of date; run \`bedledger schema\``,
      );
      return { path, same };
    });
    output.object({ command: 'schema', schemas: results });
    return onlyCheck && results.some((r) => !r.same) ? EXIT.findings : EXIT.fine;
  },
};
