import type { Path } from '../source/yaml-source.ts';
import { SHAPE_KEYS, type WrittenShape } from '../written/common.ts';
import type { MachineWritten } from '../written/machine.ts';
import type { Fault } from './fault.ts';

function oneShape(written: WrittenShape, path: Path, what: string): Fault[] {
  const given = SHAPE_KEYS.filter((k) => written[k] !== undefined);
  if (given.length === 1) return [];
  return given.length === 0
    ? [
        {
          word: 'no-shape',
          path,
          message: `${what} has no shape, expected one of \`rect\`, \`circle\`, \`polygon\``,
          help: 'add for example `rect: { at: [0, 0], size: [600, 800] }`',
        },
      ]
    : [
        {
          word: 'two-shapes',
          path: [...path, given[1]!],
          part: 'key',
          message: `${what} has ${given.map((g) => `\`${g}\``).join(' and ')}, expected one shape`,
          help: 'keep one of them',
        },
      ];
}

/** Alternatives that the schema leaves open: exactly one shape, a whole grid or channels, one form of outline. */
export function shapeFaults(written: MachineWritten): Fault[] {
  const faults: Fault[] = [];
  const { outline } = written.bed;
  const box = outline.at !== undefined || outline.size !== undefined;
  if (outline.polygon !== undefined && box) {
    faults.push({
      word: 'two-shapes',
      path: ['bed', 'outline', 'polygon'],
      part: 'key',
      message: 'the outline has a polygon and a corner or size, expected one of the two',
      help: 'keep `polygon`, or `at` and `size`',
    });
  } else if (outline.polygon === undefined && (outline.at === undefined || outline.size === undefined)) {
    faults.push({
      word: 'no-shape',
      path: ['bed', 'outline'],
      part: 'key',
      message: 'the outline is not complete, expected `at` and `size`, or `polygon`',
      help: 'write for example `outline: { at: [-10, -10], size: [1250, 2470] }`',
    });
  }
  for (const [i, zone] of written.bed.zones.entries()) {
    const path = ['bed', 'zones', i];
    faults.push(...oneShape(zone, path, `zone ${zone.id}`));
    const g = zone.grooves;
    if (!g) continue;
    const grid = ['pitch', 'width', 'depth', 'offset'].filter(
      (k) => (g as Record<string, unknown>)[k] !== undefined,
    );
    if (g.channels && grid.length > 0) {
      faults.push({
        word: 'two-grooves',
        path: [...path, 'grooves', grid[0]!],
        part: 'key',
        message: `zone ${zone.id} has channels and \`${grid[0]}\` of a grid, expected one of the two`,
        help: 'keep the channels, or the grid',
      });
    } else if (!g.channels) {
      const lacking = ['pitch', 'width', 'depth'].filter((k) => !grid.includes(k));
      if (lacking.length > 0) {
        faults.push({
          word: 'half-grid',
          path: [...path, 'grooves'],
          part: 'key',
          message: `the groove grid of zone ${zone.id} lacks ${lacking.map((l) => `\`${l}\``).join(' and ')}`,
          help: 'a grid needs `pitch`, `width` and `depth`; leave `grooves` out when there are none',
        });
      }
    }
  }
  for (const [i, k] of (written.bed.keep_outs ?? []).entries()) {
    faults.push(...oneShape(k, ['bed', 'keep_outs', i], `keep-out ${k.id}`));
  }
  for (const [i, c] of (written.clamps ?? []).entries()) {
    faults.push(...oneShape(c, ['clamps', i], `clamp ${c.id}`));
  }
  return faults;
}
