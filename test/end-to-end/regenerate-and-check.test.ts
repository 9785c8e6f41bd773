import {
  cpSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { bedledger, bedledgerProcess, copyOfFleet, ROOT } from '../support/command.ts';
import { notAsInManifest } from './small-fleet.ts';

let fleet: string;
beforeEach(() => {
  fleet = copyOfFleet();
});
afterEach(() => rmSync(fleet, { recursive: true, force: true }));

const read = (path: string): string => readFileSync(join(fleet, path), 'utf8');
const write = (path: string, text: string): void => writeFileSync(join(fleet, path), text);
const programsOf = (id: string): string[] =>
  readdirSync(join(fleet, `machines/${id}/issued/programs`)).sort();

/** Every file of the fleet with its bytes and time of change: what "touches nothing" means. */
function snapshot(folder: string): Map<string, string> {
  const found = new Map<string, string>();
  const walk = (at: string): void => {
    for (const entry of readdirSync(join(folder, at), { withFileTypes: true })) {
      const path = `${at}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else
        found.set(
          path,
          `${statSync(join(folder, path)).mtimeMs} ${readFileSync(join(folder, path), 'utf8')}`,
        );
    }
  };
  walk('.');
  return found;
}

describe('the committed demo fleet', () => {
  it('is what the profiles give, and check touches nothing', () => {
    const before = snapshot(fleet);
    const run = bedledgerProcess(fleet, ['check']);
    expect(run.stderr + run.stdout).not.toMatch(/^stop/m);
    expect(run.status).toBe(0);
    expect(snapshot(fleet)).toEqual(before);
  });

  it('regenerates to the same bytes and touches no file', () => {
    const before = snapshot(fleet);
    const run = bedledger(fleet, ['regenerate', '--workers', '1']);
    expect(run.status).toBe(0);
    expect(snapshot(fleet)).toEqual(before);
  });

  it('gives the same bytes in any time zone, locale and folder', () => {
    rmSync(join(fleet, 'machines/heron/issued'), { recursive: true });
    expect(
      bedledgerProcess(join(fleet, 'shared'), ['regenerate', 'heron'], {
        TZ: 'Pacific/Kiritimati',
        LC_ALL: 'tr_TR.UTF-8',
        LANG: 'tr_TR.UTF-8',
      }).status,
    ).toBe(0);
    for (const file of [
      ...programsOf('heron').map((p) => `programs/${p}`),
      'manifest.json',
      'run-sheet.html',
      'bed.svg',
      'stack.svg',
      'holes.csv',
    ]) {
      expect(read(`machines/heron/issued/${file}`), file).toBe(
        readFileSync(join(ROOT, 'machines/heron/issued', file), 'utf8'),
      );
    }
  });
});

describe('a change that was not regenerated', () => {
  it('one digit of one program: named with file, line and both lines', () => {
    const program = `machines/heron/issued/programs/${programsOf('heron').find((p) => p.startsWith('socket-pockets'))}`;
    const lines = read(program).split('\n');
    const at = lines.findIndex((l) => /^G0?1 .*X\d/.test(l) || /^G0?0 .*X\d/.test(l));
    expect(at).toBeGreaterThan(0);
    const original = lines[at] as string;
    lines[at] = original.replace(/X(\d)/, (_, d: string) => `X${(Number(d) + 1) % 10}`);
    write(program, lines.join('\n'));
    const run = bedledger(fleet, ['check', 'heron']);
    expect(run.status).toBe(1);
    expect(run.stdout).toContain(`${program}:${at + 1}:`);
    expect(run.stdout).toContain(lines[at]);
    expect(run.stdout).toContain(original);
    // Putting it right is one command.
    expect(bedledger(fleet, ['regenerate', 'heron']).status).toBe(0);
    expect(read(program)).toBe(readFileSync(join(ROOT, program), 'utf8'));
    expect(notAsInManifest(join(fleet, 'machines/heron'))).toEqual([]);
  });

  it('a missing program and an orphan are both named', () => {
    const [first] = programsOf('egret');
    renameSync(
      join(fleet, `machines/egret/issued/programs/${first}`),
      join(fleet, 'machines/egret/issued/programs/left-over.txt'),
    );
    const run = bedledger(fleet, ['check', 'egret']);
    expect(run.status).toBe(1);
    expect(run.stdout).toContain(`machines/egret/issued/programs/${first}: missing`);
    expect(run.stdout).toContain('left-over.txt: no longer issued, but still there');
  });

  it('one machine’s profile reaches that machine alone', () => {
    write(
      'machines/curlew/machine.yaml',
      read('machines/curlew/machine.yaml').replace(/^title: .*$/m, 'title: Curlew, moved to the back room'),
    );
    const run = bedledger(fleet, ['regenerate', '--workers', '1', '--json']);
    expect(run.status).toBe(0);
    const { machines } = JSON.parse(run.stdout) as { machines: { id: string; changes: unknown[] }[] };
    expect(machines.filter((m) => m.changes.length > 0).map((m) => m.id)).toEqual(['curlew']);
  });
});

describe('bad input never becomes a file', () => {
  it('a wrong profile: exit 2, place named, old files left', () => {
    const before = snapshot(join(fleet, 'machines/heron/issued'));
    write(
      'machines/heron/machine.yaml',
      read('machines/heron/machine.yaml').replace(/^( *)cut_limit:.*$/m, '$1cut_limt: 2.5'),
    );
    const run = bedledger(fleet, ['regenerate', 'heron']);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/machines\/heron\/machine\.yaml:\d+:\d+: stop /);
    expect(run.stderr).toContain('cut_limit');
    expect(snapshot(join(fleet, 'machines/heron/issued'))).toEqual(before);
  });

  it('names of files and folders cannot be reached through a profile’s words', () => {
    write(
      'machines/heron/machine.yaml',
      read('machines/heron/machine.yaml').replace(/^id: .*$/m, 'id: ../../escape'),
    );
    expect(bedledger(fleet, ['regenerate', 'heron']).status).toBe(2);
    expect(readdirSync(fleet).sort()).toEqual(['machines', 'shared']);
  });

  it('a title is data in every sink: comment, markup, page', () => {
    const title = 'Heron ) G0 Z-50 ( % ; </text><script>x</script> "&\'';
    write(
      'machines/heron/machine.yaml',
      read('machines/heron/machine.yaml').replace(/^title: .*$/m, `title: '${title.replace(/'/g, "''")}'`),
    );
    expect(bedledger(fleet, ['regenerate', 'heron']).status).toBe(0);
    for (const program of programsOf('heron')) {
      const text = read(`machines/heron/issued/programs/${program}`);
      for (const line of text.split('\n').filter((l) => l.includes('HERON') || l.includes('Heron'))) {
        // The whole line is one comment: it opens once, closes once, at its ends.
        expect(line).toMatch(/^(?:N\d+ ?)?\([^()]*\)$/);
      }
    }
    for (const file of ['bed.svg', 'stack.svg', 'run-sheet.html'])
      expect(read(`machines/heron/issued/${file}`)).not.toContain('<script');
  });

  it('a line break in a title is refused with its place', () => {
    write(
      'machines/heron/machine.yaml',
      read('machines/heron/machine.yaml').replace(/^title: .*$/m, 'title: "Heron\\nG0 Z-50"'),
    );
    const run = bedledger(fleet, ['regenerate', 'heron']);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/machine\.yaml:\d+:\d+/);
  });
});

describe('a crash while writing', () => {
  it('leaves the old set, and the next run puts it back and goes on', () => {
    const machine = join(fleet, 'machines/heron');
    const before = snapshot(join(machine, 'issued'));
    renameSync(join(machine, 'issued'), join(machine, '.issued-previous'));
    mkdirSync(join(machine, '.issued-staged'));
    cpSync(join(machine, 'machine.yaml'), join(machine, '.issued-staged/manifest.json'));
    const run = bedledger(fleet, ['regenerate', 'heron']);
    expect(run.status).toBe(0);
    expect(run.stdout).toContain('interrupted');
    expect(snapshot(join(machine, 'issued'))).toEqual(before);
    expect(readdirSync(machine).filter((n) => n.startsWith('.issued'))).toEqual([]);
  });
});

describe('the call', () => {
  it.each([
    [['regenerat'], 'regenerate'],
    [['check', 'heorn'], 'heron'],
    [['check', '--jsn'], '--json'],
    [['check', '--root', '/nowhere'], 'not a fleet'],
    [['new', 'Bad Id'], 'lower-case'],
    [['new', 'heron'], 'there already'],
  ])('%j is refused with exit 2 and a way out', (args, hint) => {
    const run = bedledger(fleet, args);
    expect(run.status).toBe(2);
    expect(run.stdout).toBe('');
    expect(run.stderr).toContain(hint);
    const json = bedledger(fleet, [...args, '--json']);
    expect(json.status).toBe(2);
    expect(JSON.parse(json.stdout)).toHaveProperty('error');
  });

  it('starts a machine whose every file loads, and says what to do', () => {
    for (const units of ['mm', 'in']) {
      const id = `dunlin-${units}`;
      const run = bedledger(fleet, ['new', id, '--units', units, '--title', 'Dunlin: 2nd "router" #1']);
      expect(run.status).toBe(0);
      const check = bedledger(fleet, ['regenerate', id, '--json']);
      const { machines } = JSON.parse(check.stdout) as {
        machines: { verdict: string; findings: { message: string }[] }[];
      };
      expect(machines[0]?.findings.filter((f) => /unknown|expected/.test(f.message))).toEqual([]);
      expect(machines[0]?.verdict).not.toBe('wrong');
    }
  });
});
