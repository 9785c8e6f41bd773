// `npm start`: from a fresh clone to a regenerated, checked demo fleet.
import { join } from 'node:path';
import { build, install, ROOT, step } from './steps.mjs';

install();
build();
const cli = join(ROOT, 'packages/cli/bin/bedledger.js');
step('regenerate the fleet', process.execPath, [cli, 'regenerate']);
step('check the fleet', process.execPath, [cli, 'check']);
step('where things stand', process.execPath, [cli, 'status', '--brief']);
