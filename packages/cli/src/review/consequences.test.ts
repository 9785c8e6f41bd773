import { describe, expect, test } from 'vitest';
import { changeMarkdown, changeText } from './change-text.ts';
import type { MachineChange } from './compare-machine.ts';
import { fleetChange } from './consequences.ts';

const machine = (id: string, parts: Partial<MachineChange> = {}): MachineChange => ({
  id,
  title: `The ${id}`,
  units: 'mm',
  change: 'changed',
  sites: [],
  values: [],
  programs: [],
  byHand: [],
  withheld: [],
  findings: { appear: [], vanish: [] },
  impact: 'same',
  stops: [],
  ...parts,
});

const swap = (id: string): string => `28 screws m6-hex out, then \`bedledger record ${id} screws --swapped\``;

describe('what several machines have in common is said once', () => {
  const change = fleetChange([
    machine('avocet', {
      byHand: [swap('avocet')],
      values: [{ what: 'life', unit: 'skims', before: 13, after: 11 }],
    }),
    machine('heron', { byHand: [swap('heron'), 'order one board'] }),
    machine('plover', { change: 'same' }),
    machine('ruff', {
      stops: [
        {
          finding: {
            code: 'stack/thread-differs',
            severity: 'stop',
            message: 'inserts are M6',
            help: 'use M6',
          },
          also: [],
          likewise: [],
          hanging: [{ code: 'layout/moved-site', severity: 'stop', message: 'A1' }],
        },
      ],
    }),
  ]);

  test('the fleet first, then what is alike, with the names, then each machine, what is stopped first', () => {
    expect(changeText(change).split('\n')).toEqual([
      '4 machines: 1 stopped, 2 changed, 1 the same',
      'alike     avocet, heron:',
      '          by hand   28 screws m6-hex out, then `bedledger record <machine> screws --swapped`',
      'stop      ruff: stopped: nothing of it may be issued, and the files issued before are left',
      '          stop      stack/thread-differs: inserts are M6 (1 more findings with it); do: use M6',
      'changed   avocet: no program changes',
      '          value     life: 13 → 11 skims',
      'changed   heron: no program changes',
      '          by hand   order one board',
      'ok        plover: nothing changes',
    ]);
  });

  test('as Markdown, a group of machines is a section', () => {
    const text = changeMarkdown(change);
    expect(text).toContain('#### Alike on avocet, heron\n\n**To do by hand and to buy**');
    expect(text.match(/28 screws/g)).toHaveLength(1);
    expect(text).toContain('| ruff | stopped | – |');
    expect(text).not.toContain('#### The plover');
  });

  test('a row that moves is one line', () => {
    const moved = (site: string, x: number) => ({
      site,
      change: 'moved' as const,
      from: [x, 100] as const,
      to: [x, 105] as const,
      distance: 5,
      state: 'none',
    });
    const sites = [
      moved('B1', 10),
      moved('B2', 200),
      moved('B3', 400),
      { ...moved('C1', 10), to: [10, 101] as const, distance: 1 },
    ];
    const text = changeText(fleetChange([machine('heron', { sites })]));
    expect(text).toMatch(/3 sites move 5\.000 mm alike, by 0\.000, 5\.000 \(none\): B1, B2, B3/);
    expect(text).toMatch(/C1 moves 1\.000 mm/);
  });
});
