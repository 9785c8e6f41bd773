import { execFileSync } from 'node:child_process';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError, renderDiagnosticsText } from '@bedledger/diagnostics';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { brief, demoFiles, demoMachine, ROOT } from '../../../../test/support/demo-fleet.ts';
import { newMachineFiles } from '../starter/new-machine.ts';
import { listMachines, loadFleet, loadShared } from './load-fleet.ts';
import { parseMachine } from './parse-machine.ts';

describe('the demo fleet', () => {
  const { fleet, diagnostics } = loadFleet(ROOT);
  const machine = (id: string) => fleet!.machines.find((m) => m.machine.id === id)!;

  test('loads without a stop; one board reaches beyond the travel, which is warned of', () => {
    expect(
      diagnostics.filter((d) => d.severity !== 'note').map((d) => `${d.severity} ${d.code} ${d.place?.file}`),
    ).toEqual(['warn profile/unreachable-strip machines/egret/machine.yaml']);
    expect(fleet?.machines.map((m) => m.machine.id)).toEqual([
      'avocet',
      'curlew',
      'dunlin',
      'egret',
      'heron',
      'plover',
    ]);
  });

  test('millimetres everywhere, whatever the file is written in', () => {
    const egret = machine('egret').machine;
    expect(egret.units).toBe('in');
    expect(egret.board.size[0]).toBeCloseTo(61 * 25.4, 9);
    expect(egret.motion.rapid.x).toBeCloseTo(1000 * 25.4, 6);
    expect(egret.motion.acceleration.xy).toBeCloseTo(30 * 25.4, 9);
    expect(egret.vacuum.gauge).toBeCloseTo(18 * 3386.389, 6);
    expect(egret.vacuum.altitude).toBeCloseTo(180 * 0.3048, 9);
    expect(egret.datum.depth).toBe(0.4);
    expect(machine('heron').machine.tram!.x).toBeCloseTo(Math.atan(0.03 / 200), 12);
  });

  test('shows every state a machine can be in', () => {
    expect(machine('egret').state).toMatchObject({ board: null, inserts: [] });
    expect(machine('curlew').state.board?.pocketed).toBe(false);
    expect([...machine('curlew').state.sites.values()].every((s) => s.state === 'bored')).toBe(true);
    expect(machine('heron').state.board).toMatchObject({ ordinal: 2, pocketed: false });
    expect(machine('heron').state.inserts).toHaveLength(28);
    expect(machine('plover').state.board).toMatchObject({ ordinal: 2, pocketed: true });
    expect(machine('avocet').state.latestHeights).toBe('heights/2026-11-18.csv');
    expect(machine('avocet').heights[0]!.points).toHaveLength(81);
    expect(new Set(fleet!.machines.map((m) => m.machine.controller.dialect)).size).toBe(4);
  });

  test('a record names as its inputs its own files and, of the shared lists, only what it uses', () => {
    expect(machine('curlew').sources.map((s) => s.path)).toEqual([
      'machines/curlew/ledger.yaml',
      'machines/curlew/machine.yaml',
      'machines/curlew/package.json#version',
      'shared/boards.yaml#mdf-18',
      'shared/cutters.yaml#flattener-25',
      'shared/cutters.yaml#upcut-5',
      'shared/fixings.yaml#m6-cap-nylon',
      'shared/house.yaml',
    ]);
    for (const s of machine('curlew').sources) expect(s.sha256).toMatch(/^[0-9a-f]{64}$/);
  });
});

describe('a fleet on disk', () => {
  let root = '';
  beforeEach(() => {
    root = mkdtempSync(join(tmpdir(), 'fleet-'));
    for (const name of ['shared', 'machines/heron', 'machines/curlew']) {
      cpSync(join(ROOT, name), join(root, name), {
        recursive: true,
        filter: (p) => !/node_modules|issued/.test(p),
      });
    }
  });
  afterEach(() => rmSync(root, { recursive: true, force: true }));
  const change = (path: string, f: (text: string) => string) =>
    writeFileSync(join(root, path), f(readFileSync(join(root, path), 'utf8')));

  test('the errors of one machine do not hide the other, and all of its files are told at once', () => {
    change('machines/heron/machine.yaml', (t) => t.replace('cut_limit:', 'cutlimit:'));
    change('machines/heron/survey.csv', (t) => t.replace('326.18', '326,18'));
    change('machines/heron/package.json', (t) => t.replace('"version"', '"versoin"'));
    change('machines/heron/ledger.yaml', (t) =>
      t.replace('insert: brass bush M6 x 13', 'insrt: brass bush M6 x 13'),
    );
    const { fleet, machines } = loadFleet(root);
    expect(fleet?.machines.map((m) => m.machine.id)).toEqual(['curlew']);
    expect(brief(machines[1]!.diagnostics).map((b) => b.split(' ')[1])).toEqual([
      'ledger/unknown-key',
      'profile/unknown-key',
      'file/version',
      'csv/cells',
    ]);
  });

  test('a change to one fixing touches exactly the machines that use it', () => {
    const inputs = () =>
      new Map(loadFleet(root).fleet!.machines.map((m) => [m.machine.id, JSON.stringify(m.sources)]));
    const before = inputs();
    change('shared/fixings.yaml', (t) =>
      t.replace('outside: 9.52, length: 13.0', 'outside: 9.53, length: 13.0'),
    );
    const after = inputs();
    // The first entry is m6-hex-nylon, which heron uses; curlew has socket caps.
    expect(after.get('heron')).not.toBe(before.get('heron'));
    expect(after.get('curlew')).toBe(before.get('curlew'));
    change('shared/cutters.yaml', (t) => `# a comment more\n${t.replace('number: 20', 'number: 21')}`);
    expect(inputs().get('curlew')).toBe(before.get('curlew'));
  });

  describe('the board on the bed decides, not the one that the profile asks for', () => {
    const fitted = (stock: string): ReturnType<typeof loadFleet> => {
      change('machines/curlew/ledger.yaml', (t) => t.replace('stock: mdf-18', `stock: ${stock}`));
      return loadFleet(root, { only: ['curlew'] });
    };
    const told = ({ diagnostics }: ReturnType<typeof loadFleet>): string[] =>
      diagnostics.filter((d) => d.code.startsWith('ledger/')).map((d) => `${d.severity} ${d.code}`);

    test('another board of the same material: said, and what is cut follows it', () => {
      const loaded = fitted('mdf-19');
      expect(told(loaded)).toEqual(['note ledger/other-stock']);
      const [record] = loaded.fleet!.machines;
      expect([record?.stock.id, record?.plannedStock.id]).toEqual(['mdf-19', 'mdf-18']);
      const boards = record!.sources.map((s) => s.path).filter((p) => p.startsWith('shared/boards'));
      expect(boards).toEqual(['shared/boards.yaml#mdf-18', 'shared/boards.yaml#mdf-19']);
    });

    test('of a material that a cutter of the machine is not made for: stops, with the cutter and the duty', () => {
      change('shared/boards.yaml', (t) =>
        t.replace(
          '  mdf-19:',
          '  ply-18:\n    title: Plywood\n    material: plywood\n    thickness: 18\n    sheet: [1250, 2500]\n    modulus: 6\n    poisson: 0.1\n    density: 650\n  mdf-19:',
        ),
      );
      const loaded = fitted('ply-18');
      expect([...new Set(told(loaded))]).toEqual(['stop ledger/no-chip-load', 'warn ledger/other-stock']);
      expect(renderDiagnosticsText(loaded.diagnostics)).toMatch(
        /upcut-5, the cutter for pocket, has no chip load for `plywood`/,
      );
      // Followed: the chip load is there, and the machine with it.
      change('shared/cutters.yaml', (t) =>
        t.replaceAll(/chip_load: \{ (mdf: \[[^\]]*\])/g, 'chip_load: { plywood: [0.05, 0.1], $1'),
      );
      expect(told(loadFleet(root, { only: ['curlew'] }))).toEqual(['warn ledger/other-stock']);
    });

    test('of a stock that the shared list does not have: stops', () => {
      expect(told(fitted('mdf-17'))).toEqual(['stop ledger/unknown-reference']);
    });
  });

  test('a machine behind a link is a machine', () => {
    renameSync(join(root, 'machines/heron'), join(root, 'heron-elsewhere'));
    symlinkSync('../heron-elsewhere', join(root, 'machines/heron'));
    symlinkSync('nowhere', join(root, 'machines/ghost'));
    expect(listMachines(root)).toEqual(['curlew', 'heron']);
    expect(loadFleet(root, { only: ['heron'] }).fleet?.machines).toHaveLength(1);
  });

  test('one machine only, and a name that is nearly right', () => {
    expect(loadFleet(root, { only: ['curlew'] }).machines.map((m) => m.id)).toEqual(['curlew']);
    const { diagnostics, fleet } = loadFleet(root, { only: ['curlw'] });
    expect(fleet).toBeNull();
    expect(diagnostics[0]).toMatchObject({ code: 'fleet/unknown-machine', help: 'did you mean `curlew`?' });
  });

  test.each<[string, () => void, string]>([
    ['no ledger', () => rmSync(join(root, 'machines/heron/ledger.yaml')), 'file/missing'],
    ['no profile', () => rmSync(join(root, 'machines/heron/machine.yaml')), 'file/missing'],
    [
      'a profile that is a folder',
      () => {
        rmSync(join(root, 'machines/heron/machine.yaml'));
        mkdirSync(join(root, 'machines/heron/machine.yaml'));
      },
      'file/unreadable',
    ],
    [
      // comparing every key with every other would take minutes
      'a profile with sixty thousand keys too many',
      () =>
        change(
          'machines/heron/machine.yaml',
          (t) => `${t}\n${Array.from({ length: 60_000 }, (_, i) => `k${i}: ${i}\n`).join('')}`,
        ),
      'profile/unknown-key',
    ],
    [
      // read as a file it would never end
      'a profile that is a pipe',
      () => {
        rmSync(join(root, 'machines/heron/machine.yaml'));
        execFileSync('mkfifo', [join(root, 'machines/heron/machine.yaml')]);
      },
      'file/unreadable',
    ],
    [
      'a survey that is a device without end',
      () => {
        rmSync(join(root, 'machines/heron/survey.csv'));
        symlinkSync('/dev/zero', join(root, 'machines/heron/survey.csv'));
      },
      'file/unreadable',
    ],
    [
      'a file where the height maps should be',
      () => {
        rmSync(join(root, 'machines/curlew/heights'), { recursive: true, force: true });
        writeFileSync(join(root, 'machines/curlew/heights'), 'x,y,z\n');
      },
      'file/no-folder',
    ],
    [
      'a link to nowhere',
      () => {
        rmSync(join(root, 'machines/heron/survey.csv'));
        symlinkSync('/nowhere/x', join(root, 'machines/heron/survey.csv'));
      },
      'ledger/missing-survey',
    ],
    [
      'a survey that the ledger has in another file',
      () => change('machines/heron/ledger.yaml', (t) => t.replace('file: survey.csv', 'file: survey-2.csv')),
      'ledger/missing-survey',
    ],
    [
      'bytes that are no text',
      () => writeFileSync(join(root, 'machines/heron/machine.yaml'), Buffer.from([0x69, 0x64, 0xff, 0xfe])),
      'file/not-utf8',
    ],
    ['an empty profile', () => writeFileSync(join(root, 'machines/heron/machine.yaml'), ''), 'yaml/empty'],
    [
      'a profile that is a list',
      () => writeFileSync(join(root, 'machines/heron/machine.yaml'), '- 1\n'),
      'profile/wrong-type',
    ],
    [
      'a profile nested without end',
      () => writeFileSync(join(root, 'machines/heron/machine.yaml'), '['.repeat(20_000)),
      'yaml/syntax',
    ],
    [
      'a height map the ledger names is gone',
      () => rmSync(join(root, 'machines/heron/heights/2026-06-02.csv')),
      'ledger/missing-map',
    ],
    ['a shared file is gone', () => rmSync(join(root, 'shared/house.yaml')), 'shared/missing-file'],
    [
      'a shared file is wrong',
      () => change('shared/house.yaml', (t) => t.replace('web_min', 'webmin')),
      'shared/unknown-key',
    ],
    [
      'a fixing does not exist in the catalogue',
      () => change('shared/fixings.yaml', (t) => t.replace('iso4017-hex', 'iso4018-hex')),
      'fixing/',
    ],
    ['a folder with an odd name', () => mkdirSync(join(root, 'machines/Heron (2)')), 'fleet/folder-name'],
  ])('%s', (_, spoil, code) => {
    spoil();
    const { diagnostics, fleet } = loadFleet(root);
    const codes = diagnostics.filter((d) => d.severity === 'stop').map((d) => d.code);
    expect(
      codes.some((c) => c.startsWith(code)),
      renderDiagnosticsText(diagnostics),
    ).toBe(true);
    for (const d of diagnostics)
      expect(d.place?.file.startsWith('machines/') || d.place?.file.startsWith('shared/'), d.message).toBe(
        true,
      );
    if (code.startsWith('shared/')) expect(fleet).toBeNull();
  });

  test('an empty folder is no fleet', () => {
    rmSync(join(root, 'machines'), { recursive: true });
    expect(loadFleet(root)).toMatchObject({ fleet: null, machines: [] });
    expect(listMachines(join(root, 'nowhere'))).toEqual([]);
  });
});

describe('a new machine', () => {
  const shared = loadShared(ROOT);
  test.each(['mm', 'in'] as const)('loads as it is, in %s', (units) => {
    const odd = 'Odd ) % ; "quoted" : # <name>';
    const files = new Map(
      newMachineFiles({ id: 'dunlin', title: odd, units }).map((f) => [
        f.path,
        { ...f, path: `machines/dunlin/${f.path}`, sha256: '' },
      ]),
    );
    const { record, diagnostics } = parseMachine(
      {
        id: 'dunlin',
        profile: files.get('machine.yaml')!,
        ledger: files.get('ledger.yaml')!,
        package: files.get('package.json')!,
        survey: null,
        heights: [],
      },
      shared,
    );
    expect(renderDiagnosticsText(diagnostics)).toBe('');
    expect(record?.machine.title).toBe(odd);
  });

  test('an id or a title that a profile may not have is refused', () => {
    for (const id of ['', '..', 'a/b', 'Heron', 'a'.repeat(50)]) {
      expect(() => newMachineFiles({ id, title: 'x', units: 'mm' })).toThrow(InputError);
    }
    expect(() => newMachineFiles({ id: 'a', title: 'x\nM3', units: 'mm' })).toThrow(InputError);
  });
});

test('the same texts give the same record, whatever is read before', () => {
  const one = JSON.stringify(demoMachine('plover').record);
  demoMachine('heron');
  expect(JSON.stringify(demoMachine('plover').record)).toBe(one);
  expect(demoFiles('plover').profile!.sha256).toHaveLength(64);
});

describe('names that some systems keep for devices', () => {
  // Microsoft, "Naming Files, Paths, and Namespaces".
  test.each(['con', 'prn', 'aux', 'nul', 'com1', 'com9', 'lpt1', 'lpt9'])('%s is no machine', (id) => {
    const root = mkdtempSync(join(tmpdir(), 'bedledger-names-'));
    try {
      cpSync(join(ROOT, 'shared'), join(root, 'shared'), { recursive: true });
      mkdirSync(join(root, 'machines', id), { recursive: true });
      const found = loadFleet(root).diagnostics;
      expect(found.map((d) => d.code)).toEqual(['fleet/reserved-name']);
      expect(() => newMachineFiles({ id, title: id, units: 'mm' })).toThrow(/Windows/);
    } finally {
      rmSync(root, { recursive: true, force: true });
    }
  });

  test.each(['console', 'com', 'com10', 'lptx', 'nul-2', 'aux1'])('%s is one', (id) => {
    expect(newMachineFiles({ id, title: id, units: 'mm' })).not.toHaveLength(0);
  });

  test.each(['heron.', 'heron ', 'Heron', 'nul.txt'])(
    '`%s` is no machine: a dot, a blank, a capital letter',
    (id) => {
      expect(() => newMachineFiles({ id, title: 'x', units: 'mm' })).toThrow(/identifier/);
    },
  );
});
