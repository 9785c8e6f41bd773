import { readFileSync } from 'node:fs';
import { renderDiagnosticsText } from '@bedledger/diagnostics';
import { fileText, readMachineFiles } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { demoMachine, type Edit, edited, ROOT, unmarked } from '../../../../test/support/demo-fleet.ts';
import { parseShared } from './shared.ts';

/** What the sound demo profiles warn of. */
const ALREADY_SO: ReadonlySet<string> = new Set(['profile/unreachable-strip']);

/** One fault each: what is changed in a sound profile, and exactly what must be found, nothing else. */
const STRUCTURE: [string, string, Edit[], string[], string][] = [
  ['misspelt key', 'heron', [['travel: {', '¦travle: {']], ['profile/unknown-key'], 'did you mean `travel`?'],
  [
    'misspelt key deep down',
    'heron',
    [['cut_limit: 2.5', '¦cut_limt: 2.5']],
    ['profile/unknown-key'],
    'did you mean `cut_limit`?',
  ],
  [
    'unknown key',
    'heron',
    [['z: [-12, 190] }', 'z: [-12, 190], ¦a: 1 }']],
    ['profile/unknown-key'],
    '`travel` may have `x`, `y`, `z`',
  ],
  ['missing key', 'heron', [['clear_height: 70\n', '']], ['profile/missing-key'], 'clear_height'],
  [
    'wrong choice',
    'heron',
    [['dialect: rs274ngc', 'dialect: ¦rs274ncg']],
    ['profile/wrong-choice'],
    'did you mean `rs274ngc`?',
  ],
  [
    'text for a number',
    'heron',
    [['power_kw: 6', 'power_kw: ¦six']],
    ['profile/wrong-type'],
    'expected a number',
  ],
  [
    'unit of another dimension',
    'heron',
    [['clear_height: 70', 'clear_height: ¦70 kPa']],
    ['profile/wrong-quantity'],
    'a unit that is no length',
  ],
  [
    'decimal comma',
    'heron',
    [['clear_height: 70', 'clear_height: ¦70,5']],
    ['profile/wrong-quantity'],
    'decimal comma',
  ],
  [
    'zero where none can be',
    'heron',
    [['thickness: 25.4', 'thickness: ¦0']],
    ['profile/wrong-quantity'],
    'greater than 0',
  ],
  [
    'key twice',
    'heron',
    [['clear_height: 70', 'clear_height: 70\n¦clear_height: 71']],
    ['yaml/syntax'],
    'twice',
  ],
  ['tab', 'heron', [['  dialect: rs274ngc', '¦\tdialect: rs274ngc']], ['yaml/syntax'], 'tab'],
  ['alias', 'heron', [['park: [600, 2480]', 'park: ¦*place']], ['yaml/alias'], 'write the value out'],
  [
    'line break in the title',
    'heron',
    [['title: Heron, panel router by the north door', 'title: ¦"Heron\\nM3 S18000"']],
    ['profile/wrong-value'],
    'line break',
  ],
  [
    'neither form of a field',
    'heron',
    [['rapid: { x: 18000, y: 18000, z: 9000 }', 'rapid: ¦fast']],
    ['profile/wrong-quantity'],
    'expected a speed such as',
  ],
  [
    'one form of a field, half',
    'heron',
    [['rapid: { x: 18000, y: 18000, z: 9000 }', '¦rapid: { x: 18000, y: 18000 }']],
    ['profile/missing-key'],
    '`z` is missing in `motion.rapid`',
  ],
  [
    'one form of a field, misspelt',
    'heron',
    [['rapid: { x: 18000, y: 18000, z: 9000 }', 'rapid: { x: 18000, y: 18000, ¦zz: 9000 }']],
    ['profile/unknown-key', 'profile/missing-key'],
    'may have `x`, `y`, `z`',
  ],
  [
    'two faults, both found',
    'heron',
    [
      ['power_kw: 6', 'power_kw: six'],
      ['cut_limit: 2.5', 'cut_limit: -2.5'],
    ],
    ['profile/wrong-type', 'profile/wrong-quantity'],
    'six',
  ],
];

const FACTS: [string, string, Edit[], string[], string][] = [
  ['folder and id', 'heron', [['id: heron', 'id: ¦herron']], ['profile/id-differs'], 'id: heron'],
  [
    'zone outside the bed',
    'heron',
    [['rect: { at: [630, 1650], size: [550, 770] }', 'rect: { at: [630, 1850], size: [550, 770] }']],
    ['profile/zone-outside-bed'],
    '160 mm at the back',
  ],
  [
    'zones overlap',
    'heron',
    [['rect: { at: [630, 50]', 'rect: { at: [590, 50]']],
    ['profile/zones-overlap'],
    '10 mm × 770 mm',
  ],
  [
    'no shape',
    'heron',
    [['      rect: { at: [630, 50], size: [550, 770] }\n', '']],
    ['profile/no-shape'],
    'rect',
  ],
  [
    'port outside its zone',
    'heron',
    [['ports: [{ at: [905, 435]', 'ports: [{ at: ¦[605, 435]']],
    ['profile/port-outside-zone'],
    'not wholly inside',
  ],
  ['zone named twice', 'heron', [['- id: B', '- id: ¦A']], ['profile/repeated-name'], 'twice'],
  [
    'cutter',
    'heron',
    [['surface: flattener-63', 'surface: ¦flatener-63']],
    ['profile/unknown-reference'],
    'did you mean `flattener-63`?',
  ],
  [
    'fixing',
    'heron',
    [['use: m6-hex-nylon', 'use: ¦m6-hex-nilon']],
    ['profile/unknown-reference'],
    'did you mean `m6-hex-nylon`?',
  ],
  ['stock', 'heron', [['stock: mdf-18', 'stock: ¦mdf-17']], ['profile/unknown-reference'], '`mdf-18`'],
  [
    'mark out of reach',
    'heron',
    [['x: [-50, 1345]', 'x: [5, 1345]']],
    ['profile/mark-unreachable'],
    'cannot reach the datum mark',
  ],
  [
    'mark off the bed',
    'heron',
    [['second: [1200, 0]', 'second: ¦[1200, -30]']],
    ['profile/mark-outside-bed'],
    'not on the bed',
  ],
  [
    'marks together',
    'heron',
    [['second: [1200, 0]', 'second: ¦[10, 0]']],
    ['profile/marks-too-close'],
    'cannot give a direction',
  ],
  [
    'range reversed',
    'heron',
    [['y: [-50, 2500]', 'y: ¦[2500, -50]']],
    ['profile/range-reversed'],
    'exchange',
  ],
  [
    'rpm reversed',
    'heron',
    [['rpm: [6000, 18000]', 'rpm: ¦[18000, 6000]']],
    ['profile/range-reversed'],
    'exchange',
  ],
  [
    'edge rule reversed',
    'heron',
    [['edge: [25, 60]', 'edge: ¦[60, 25]']],
    ['profile/range-reversed'],
    'exchange',
  ],
  [
    'inch numbers in a mm profile',
    'egret',
    [['units: in\n\ntravel', 'units: ¦mm\n\ntravel']],
    ['profile/wrong-units'],
    'the numbers are not mm',
  ],
  [
    'nudge in the wrong unit',
    'heron',
    [['nudge_max: 25 }', 'nudge_max: 25 }\n  nudges: { B3: { by: ¦[250, 0], reason: port ring } }']],
    ['profile/nudge-too-long'],
    '60 mm at most',
  ],
  [
    'board larger than its sheet',
    'heron',
    [['size: [1240, 2460], least', 'size: ¦[1260, 2460], least']],
    ['profile/board-larger-than-sheet'],
    'cannot be cut from a sheet',
  ],
  [
    'board off the bed',
    'heron',
    [['at: [-5, -5]', 'at: [900, -5]']],
    ['profile/board-outside-bed', 'profile/keep-out-under-board', 'profile/board-outside-travel'],
    'beyond the bed',
  ],
  [
    'keep-out under the board',
    'heron',
    [['circle: { at: [1340, 2430]', 'circle: { at: [1200, 2430]']],
    ['profile/keep-out-under-board'],
    '42 mm high',
  ],
  [
    'clear height too low',
    'heron',
    [['clear_height: 70', 'clear_height: ¦40']],
    ['profile/clear-height'],
    'stands 42 mm high',
  ],
  [
    'clear height out of reach',
    'heron',
    [['clear_height: 70', 'clear_height: ¦200']],
    ['profile/clear-height'],
    'above the travel of Z',
  ],
  [
    'park out of reach',
    'heron',
    [['park: [600, 2480]', 'park: ¦[600, 2510]']],
    ['profile/park-unreachable'],
    'park',
  ],
  [
    'home below the clear height',
    'heron',
    [['park: [600, 2480]', 'home: { at: [600, 2480], z: ¦40 }\npark: [600, 2480]']],
    ['profile/home'],
    'the clear height, to 190',
  ],
  [
    'home out of reach',
    'heron',
    [['park: [600, 2480]', 'home: { at: ¦[600, 2510], z: 180 }\npark: [600, 2480]']],
    ['profile/home'],
    'outside the travel',
  ],
  [
    'cut limit through the bed',
    'heron',
    [['cut_limit: 2.5', 'cut_limit: ¦26']],
    ['profile/cut-limit', 'profile/bed-unreachable'],
    '25.4 mm thick',
  ],
  [
    'grooves without land',
    'heron',
    [
      [
        '- id: B\n      rect: { at: [630, 50], size: [550, 770] }\n      grooves: { pitch: [50, 50], width: 9',
        '- id: B\n      rect: { at: [630, 50], size: [550, 770] }\n      grooves: { pitch: [50, 50], width: 50',
      ],
    ],
    ['profile/no-land'],
    'no land',
  ],
  [
    'cord that overfills its channel',
    'avocet',
    [
      [
        '- id: A\n      rect: { at: [50, 50], size: [350, 1140] }\n      grooves: { pitch: [50, 50], width: 9, depth: 8 }\n      ports: [{ at: [225, 620], diameter: 40 }]\n      gasket: { inset: 6, width: 6, depth: 4, cord: { form: round, size: 5 }',
        '- id: A\n      rect: { at: [50, 50], size: [350, 1140] }\n      grooves: { pitch: [50, 50], width: 9, depth: 8 }\n      ports: [{ at: [225, 620], diameter: 40 }]\n      gasket: { inset: 6, width: 6, depth: 4, cord: { form: square, size: 5 }',
      ],
    ],
    ['profile/cord-overfills'],
    'lift the board',
  ],
  [
    'surfacing cutter for holes',
    'heron',
    [['drill: upcut-6', 'drill: ¦flattener-63']],
    ['profile/wrong-cutter'],
    'cannot serve for `drill`',
  ],
  [
    'end mill for the rims',
    'heron',
    [['rim: vee-90', 'rim: ¦upcut-6']],
    ['profile/wrong-cutter'],
    'cannot serve for `rim`',
  ],
  [
    // an eighth of 18 mm is 2.25
    'rim break of a fifth of the board',
    'heron',
    [['rim_break: 0.8', 'rim_break: ¦3.6']],
    ['profile/not-plausible'],
    'takes the edge off a rim',
  ],
  [
    'rim break as wide as the flank of its cutter',
    'heron',
    // a cutter of 12 mm: its flank is 6 wide
    [['rim_break: 0.8', 'rim_break: ¦6']],
    ['profile/not-plausible'],
    'as wide as the flank of vee-90',
  ],
  [
    'gauge above the atmosphere',
    'heron',
    [['gauge: 20 inHg', 'gauge: ¦20 psi']],
    ['profile/not-plausible'],
    'whole atmosphere',
  ],
  [
    'more sites than the pattern',
    'heron',
    [['pattern: aligned', 'pattern: given']],
    ['profile/no-sites'],
    'sites',
  ],
  [
    'crossed polygon',
    'plover',
    [
      [
        '[[-10, -10], [1545, -10], [1545, 1200], [1510, 1245], [-10, 1245]]',
        '[[-10, -10], [1545, 1200], [1545, -10], [1510, 1245], [-10, 1245]]',
      ],
    ],
    ['profile/crossed-polygon'],
    'cross',
  ],
];

const CONTROLLER: [string, string, Edit[], string[], string][] = [
  [
    'arcs on a linear control',
    'curlew',
    [['  dialect: linear', '  dialect: linear\n  arcs: { form: ¦centre }']],
    ['profile/controller'],
    'no arcs',
  ],
  [
    'cycles on a linear control',
    'curlew',
    [['  dialect: linear', '  dialect: linear\n  cycles: { use: ¦G81-G83, return: G98/G99 }']],
    ['profile/controller'],
    'no drilling cycles',
  ],
  [
    'cycles without return words',
    'heron',
    [['  rapids: straight', '  rapids: straight\n  cycles: { return: ¦none }']],
    ['profile/controller'],
    'height after a hole',
  ],
  [
    'decimal point in rs274d',
    'avocet',
    [['numbers: { point: never, suppress: leading,', 'numbers: { point: ¦always,']],
    ['profile/controller'],
    'no decimal point',
  ],
  [
    'too few digits',
    'avocet',
    [['integers: 4', 'integers: 3']],
    ['profile/controller'],
    'digits before the point',
  ],
  [
    'zeros suppressed beside a point',
    'heron',
    [['  rapids: straight', '  rapids: straight\n  numbers: { suppress: ¦leading }']],
    ['profile/controller'],
    'without a point',
  ],
  [
    'long extension on short names',
    'egret',
    [['extension: ISO', 'extension: ¦ISOX']],
    ['profile/controller'],
    '3 characters',
  ],
  [
    'digits without a number',
    'heron',
    [['  rapids: straight', '  rapids: straight\n  file_name: { form: ¦digits }']],
    ['profile/controller'],
    'program_number',
  ],
  [
    'output that ends the program',
    'heron',
    [['extraction: { on: M7, off: M9 }', 'extraction: { on: ¦M2, off: M9 }']],
    ['profile/controller'],
    'stops a program',
  ],
  [
    'work offset without a word',
    'avocet',
    [['second: [1230, 0], made: by-hand }', 'second: [1230, 0], made: by-hand, work_offset: ¦2 }']],
    ['profile/controller'],
    'no word',
  ],
  [
    'full turn by radius',
    'heron',
    [['  rapids: straight', '  rapids: straight\n  arcs: { form: radius, full_circle: ¦one }']],
    ['profile/controller'],
    'full turn',
  ],
  [
    'dwell that does not exist',
    'heron',
    [['  rapids: straight', '  rapids: straight\n  dwell: { word: ¦none }']],
    ['profile/controller'],
    'no dwell',
  ],
];

describe.each([
  ['structure', STRUCTURE],
  ['facts', FACTS],
  ['controller', CONTROLLER],
])('%s', (_, table) => {
  test.each(table)('%s', (_name, id, edits, expected, words) => {
    const { record, diagnostics } = demoMachine(id, edits);
    const found = diagnostics.filter(
      (d) => d.place?.file.endsWith('machine.yaml') && d.severity !== 'note' && !ALREADY_SO.has(d.code),
    );
    const text = renderDiagnosticsText(found);
    expect(record, text).toBeNull();
    expect([...new Set(found.map((d) => d.code))].sort(), text).toEqual([...expected].sort());
    const marked = edited(readMachineFiles(ROOT, id).files.profile!.text, edits);
    const { place } = unmarked(marked);
    if (place !== null) {
      const places = found
        .filter((d) => d.code === expected[0])
        .map((d) => `${d.place?.line}:${d.place?.column}`);
      expect(places, text).toContain(place);
    }
    expect(text).toContain(words);
    for (const d of found) {
      expect(d.help, d.message).toBeTruthy();
      expect(d.message).toMatch(/^[^A-Z]/);
      expect(d.message.endsWith('.')).toBe(false);
      expect(d.excerpt?.slice(d.place!.column! - 1, d.place!.endColumn! - 1)).not.toBe('');
    }
  });
});

test('the text of an error, whole', () => {
  const edits: Edit[] = [['cut_limit: 2.5', 'cut_limt: 2.5']];
  const line = unmarked(
    edited(readMachineFiles(ROOT, 'heron').files.profile!.text, [['cut_limit', '¦cut_limit']]),
  ).place!;
  const number = line.split(':')[0]!;
  expect(renderDiagnosticsText(demoMachine('heron', edits).diagnostics)).toBe(
    [
      `machines/heron/machine.yaml:${line}: stop profile/unknown-key: unknown key \`cut_limt\` in \`bed\``,
      `${number.padStart(7)} |   cut_limt: 2.5 # deepest any program may go below the bed surface`,
      '        |   ^^^^^^^^',
      '  help: did you mean `cut_limit`?',
      '',
    ].join('\n'),
  );
});

test('a wrong profile does not make a sound ledger look wrong', () => {
  const { diagnostics } = demoMachine('heron', [
    ['outline: { at: [-10, -10], size: [1380, 2470] }', 'outline: { at: [-10, -10], size: [138, 247] }'],
  ]);
  expect(diagnostics.filter((d) => d.place?.file.endsWith('ledger.yaml'))).toEqual([]);
  expect(diagnostics.length).toBeGreaterThan(0);
});

test('every way to write a shared entry wrong is told in one sentence, at its place', () => {
  const file = 'shared/fixings.yaml';
  const text = readFileSync(ROOT + file, 'utf8');
  const files = (fixings: string) => ({
    cutters: null,
    boards: null,
    house: null,
    fixings: fileText(file, fixings),
  });
  for (const [edit, code, words] of [
    [
      ['washer: { inside: 6.4, outside: 22,', 'washer: { inside: 6.4, ¦outsid: 22,'],
      'shared/unknown-key',
      'did you mean `outside`?',
    ],
    [['thread: 1/4-20', 'thread: ¦1/4'], 'shared/wrong-value', 'expected a thread such as'],
  ] as const) {
    const at = text.indexOf(edit[0]);
    const { text: changed, place } = unmarked(text.slice(0, at) + edit[1] + text.slice(at + edit[0].length));
    const found = parseShared(files(changed)).diagnostics.filter((d) => d.code !== 'shared/missing-file');
    expect(found.map((d) => `${d.code} ${d.place?.line}:${d.place?.column}`)).toEqual([`${code} ${place}`]);
    expect(`${found[0]!.message} ${found[0]!.help}`).toContain(words);
  }
  const washer = parseShared(
    files(
      text.replace(
        'washer: { inside: 6.4, outside: 22, thickness: 1.6, uncertainty: 0.1, by: caliper }',
        'washer: iso7098',
      ),
    ),
  );
  const said = washer.diagnostics.find((d) => d.code === 'shared/wrong-choice');
  expect(said?.help).toBe('did you mean `iso7089`?');
});
