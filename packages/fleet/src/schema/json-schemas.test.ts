import { existsSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ROOT } from '../../../../test/support/demo-fleet.ts';
import { anyMutation, kinds, type Node, read, texts, verdicts } from '../testing/schema-mutations.ts';
import { jsonSchemas } from './json-schemas.ts';

describe('published schemas', () => {
  test('the committed files are what the code gives', () => {
    for (const { path, text } of jsonSchemas()) {
      expect(existsSync(ROOT + path), path).toBe(true);
      expect(readFileSync(ROOT + path, 'utf8'), path).toBe(text);
    }
  });

  test('every field has a description that names its unit (or says that it has none) and an example', () => {
    const missing: string[] = [];
    const visit = (node: Node, path: string) => {
      for (const [key, value] of Object.entries((node.properties as Node | undefined) ?? {})) {
        const field = value as Node;
        const description = String(field.description ?? '');
        const unit = /Unit: |No unit\./.test(description);
        if (
          description.length < 12 ||
          !unit ||
          !Array.isArray(field.examples) ||
          field.examples.length === 0
        ) {
          missing.push(`${path}.${key}`);
        }
        visit(field, `${path}.${key}`);
      }
      for (const key of ['items', 'additionalProperties'] as const) {
        const child = node[key];
        if (Array.isArray(child)) for (const [i, c] of child.entries()) visit(c as Node, `${path}[${i}]`);
        else if (typeof child === 'object' && child !== null) visit(child as Node, `${path}[]`);
      }
      for (const key of ['anyOf', 'oneOf', 'allOf'] as const) {
        for (const c of (node[key] as Node[] | undefined) ?? []) visit(c, path);
      }
    };
    let fields = 0;
    for (const [kind, text] of texts) {
      visit(JSON.parse(text) as Node, kind);
      fields += text.match(/"description"/g)?.length ?? 0;
    }
    expect(missing).toEqual([]);
    expect(fields).toBeGreaterThan(300);
  });

  test('draft-07, closed objects, and no limit that only a computer cares about', () => {
    for (const text of texts.values()) {
      expect(text).toContain('"$schema": "http://json-schema.org/draft-07/schema#"');
      expect(text).not.toContain('9007199254740991');
      expect(text).not.toContain('$ref');
    }
  });

  test('every demo file carries the modeline of its schema', () => {
    for (const { files } of Object.values(kinds)) {
      for (const file of files) {
        const first = readFileSync(ROOT + file, 'utf8').split('\n')[0]!;
        const match = /^# yaml-language-server: \$schema=(.*)$/.exec(first);
        expect(match, file).not.toBeNull();
        const folder = file.slice(0, file.lastIndexOf('/') + 1);
        expect(existsSync(`${ROOT}${folder}${match![1]}`), `${file}: ${match![1]}`).toBe(true);
      }
    }
  });
});

describe('an independent validator on the published schema says the same', () => {
  test('of every demo file: accepted', () => {
    for (const [kind, { files }] of Object.entries(kinds)) {
      expect(files.length).toBeGreaterThan(0);
      for (const file of files) expect(verdicts(kind, read(file)), file).toEqual([true, true]);
    }
  });

  const set = (path: string, value: unknown) => (data: Node) => {
    const steps = path.split('.');
    let node: Node = data;
    for (const step of steps.slice(0, -1)) node = node[step] as Node;
    node[steps.at(-1)!] = value;
  };
  const drop = (path: string) => (data: Node) => {
    const steps = path.split('.');
    let node: Node = data;
    for (const step of steps.slice(0, -1)) node = node[step] as Node;
    if (!(steps.at(-1)! in node)) throw new Error(`nothing to drop at ${path}`);
    delete node[steps.at(-1)!];
  };

  const wrong: [string, string, (data: Node) => void][] = [
    ['machine', 'id in capitals', set('id', 'Heron')],
    ['machine', 'id with a slash', set('id', 'a/b')],
    ['machine', 'id too long', set('id', `a${'b'.repeat(40)}`)],
    ['machine', 'title empty', set('title', '   ')],
    ['machine', 'title with a line break', set('title', 'Heron\nM3 S18000')],
    ['machine', 'title with an escape', set('title', 'Heron\u001b[2J')],
    ['machine', 'title with a turned text', set('title', 'a\u202eb')],
    ['machine', 'title too long by one emoji', set('title', '😀'.repeat(121))],
    ['machine', 'units in words', set('units', 'millimetres')],
    ['machine', 'travel missing', drop('travel')],
    ['machine', 'travel of three numbers', set('travel.x', [0, 1, 2])],
    ['machine', 'travel of one number', set('travel.x', [0])],
    ['machine', 'travel not a number', set('travel.x', [0, Number.NaN])],
    ['machine', 'travel infinite', set('travel.x', [0, Number.POSITIVE_INFINITY])],
    ['machine', 'travel as a map', set('travel.x', { from: 0, to: 1 })],
    ['machine', 'unknown key at the top', set('colour', 'blue')],
    ['machine', 'unknown key deep down', set('bed.zones.0.grooves.wdth', 9)],
    ['machine', 'rapid zero', set('motion.rapid', 0)],
    ['machine', 'rapid with a length unit', set('motion.rapid', '18 mm')],
    ['machine', 'power as text', set('spindle.power_kw', '6 kW')],
    ['machine', 'power too large', set('spindle.power_kw', 600)],
    ['machine', 'rpm with three numbers', set('spindle.rpm', [1, 2, 3])],
    ['machine', 'dialect unknown', set('controller.dialect', 'rs274')],
    ['machine', 'no G word in a block', set('controller.words', { g_per_block: 0 })],
    ['machine', 'decimals half', set('controller.numbers', { xyz: { decimals: 2.5 } })],
    ['machine', 'decimals many', set('controller.numbers', { xyz: { decimals: 9 } })],
    ['machine', 'extension with a dot', set('controller.file_name', { extension: '.nc' })],
    [
      'machine',
      'output that is no M word',
      set('controller.auxiliary', { vacuum: { on: 'G1 Z-50', off: 'M9' } }),
    ],
    [
      'machine',
      'output with a second block',
      set('controller.auxiliary', { vacuum: { on: 'M7\nG0Z-9', off: 'M9' } }),
    ],
    ['machine', 'output name in capitals', set('controller.auxiliary', { Vacuum: { on: 'M7', off: 'M9' } })],
    ['machine', 'no zones', set('bed.zones', [])],
    ['machine', 'zone without a name', drop('bed.zones.0.id')],
    [
      'machine',
      'polygon of two corners',
      set('bed.zones.0.polygon', [
        [0, 0],
        [1, 1],
      ]),
    ],
    ['machine', 'circle without diameter', set('bed.keep_outs', [{ id: 'a', circle: { at: [0, 0] } }])],
    ['machine', 'port diameter negative', set('bed.zones.0.ports', [{ at: [1, 1], diameter: -5 }])],
    ['machine', 'cut limit negative', set('bed.cut_limit', -1)],
    ['machine', 'work offset ten', set('datum.work_offset', 10)],
    ['machine', 'work offset half', set('datum.work_offset', 1.5)],
    ['machine', 'marks made by laser', set('datum.made', 'laser')],
    ['machine', 'nudge without a reason', set('fixing.nudges', { B3: { by: [1, 1] } })],
    ['machine', 'nudge of a wrong name', set('fixing.nudges', { 'B 3': { by: [1, 1], reason: 'x' } })],
    ['machine', 'stepover of one and a half', set('surfacing.stepover', 1.5)],
    ['machine', 'gauge without a unit', set('vacuum.gauge', 20)],
    ['machine', 'gauge negative', set('vacuum.gauge', '-0.7 bar')],
    ['machine', 'gauge zero', set('vacuum.gauge', '0 bar')],
    ['machine', 'decimal comma', set('clear_height', '70,5 mm')],
    ['machine', 'length with a speed unit', set('clear_height', '70 mm/min')],
    ['machine', 'fraction of nothing', set('clear_height', '1/0 in')],
    ['machine', 'clear height null', set('clear_height', null)],
    ['machine', 'board a list', set('board', [])],
    ['machine', 'yes instead of true', set('board.trim', 'yes')],
    ['machine', 'rim break of nothing', set('board.rim_break', 0)],
    ['ledger', 'day that does not exist', set('facts.0', { fact: 'note', date: '2026-02-29', text: 'x' })],
    ['ledger', 'day in another order', set('facts.0', { fact: 'note', date: '14-03-2026', text: 'x' })],
    ['ledger', 'unknown fact', set('facts.0', { fact: 'inserted', date: '2026-01-01' })],
    ['ledger', 'fact of another kind', set('facts.0', { fact: 'insert', date: '2026-01-01', text: 'x' })],
    [
      'ledger',
      'no readings',
      set('facts.0', { fact: 'skim', date: '2026-01-01', commanded: 0.4, thickness: [] }),
    ],
    [
      'ledger',
      'reading zero',
      set('facts.0', { fact: 'skim', date: '2026-01-01', commanded: 0.4, thickness: [0] }),
    ],
    [
      'ledger',
      'map outside the folder',
      set('facts.0', { fact: 'heights', date: '2026-01-01', file: '../x.csv' }),
    ],
    [
      'ledger',
      'map at the root',
      set('facts.0', { fact: 'heights', date: '2026-01-01', file: '/etc/x.csv' }),
    ],
    ['ledger', 'facts missing', drop('facts')],
    ['ledger', 'facts a map', set('facts', {})],
    ['cutters', 'no diameter', drop('cutters.upcut-6.diameter')],
    ['cutters', 'half a flute', set('cutters.upcut-6.flutes', 2.5)],
    ['cutters', 'kind unknown', set('cutters.upcut-6.kind', 'endmill')],
    ['cutters', 'chip load of one number', set('cutters.upcut-6.chip_load.mdf', [0.1])],
    ['cutters', 'name with a blank', set('cutters', { 'up cut': {} })],
    ['boards', 'poisson above a half', set('boards.mdf-18.poisson', 0.6)],
    ['boards', 'density negative', set('boards.mdf-18.density', '-700 kg/m3')],
    ['fixings', 'thread without a number', set('fixings.m6-hex-nylon.thread', 'M')],
    ['fixings', 'washer unknown', set('fixings.m6-hex-nylon.washer', 'iso7090')],
    [
      'fixings',
      'measured by nobody',
      set('fixings.m6-hex-nylon.insert.measured', { outside: 9.5, uncertainty: 0.02 }),
    ],
    ['house', 'severity unknown', set('raise', { 'program/travel': 'error' })],
    ['house', 'rule id without an area', set('raise', { travel: 'stop' })],
    ['house', 'spares negative', set('spares', -0.1)],
  ];

  test.each(wrong)('%s: %s is refused by both', (kind, _, change) => {
    const file =
      kind === 'machine'
        ? 'machines/heron/machine.yaml'
        : kind === 'ledger'
          ? 'machines/heron/ledger.yaml'
          : kinds[kind]!.files[0]!;
    const data = read(file);
    change(data);
    expect(verdicts(kind, data)).toEqual([false, false]);
  });

  test('right ways to write the same thing are accepted by both', () => {
    for (const change of [
      set('title', 'Odd ) % ; "quoted" <name> (really) é 😀'),
      set('motion.rapid', '18 m/min'),
      set('clear_height', '2 3/4 in'),
      set('clear_height', '2.75 in'),
      set('bed.cut_limit', 0),
      set('vacuum.altitude', '-4 m'),
      set('controller.auxiliary', {}),
    ]) {
      const data = read('machines/heron/machine.yaml');
      change(data);
      expect(verdicts('machine', data)).toEqual([true, true]);
    }
  });

  test('of any mutation of any demo file', () => {
    let refused = 0;
    fc.assert(
      anyMutation(() => {
        refused += 1;
      }),
      { seed: 7, numRuns: 2500 },
    );
    expect(refused).toBeGreaterThan(1000);
  });
});
