import type { Path } from '../model/path.ts';
import { type Findings, type Locator, report } from '../report.ts';
import { SHAPE_KEYS, type WrittenShape } from '../written/common.ts';
import type { MachineWritten } from '../written/machine.ts';

/** Alternatives that the schema leaves open: exactly one shape, a whole grid or channels, one form of outline. */
export function* shapeFindings(written: MachineWritten, at: Locator): Findings {
  yield* outline(written.bed.outline, at);
  for (const [i, zone] of written.bed.zones.entries()) {
    yield* oneShape(zone, ['bed', 'zones', i], `zone ${zone.id}`, at);
    yield* grooves(zone, ['bed', 'zones', i, 'grooves'], at);
  }
  for (const [i, k] of (written.bed.keep_outs ?? []).entries()) {
    yield* oneShape(k, ['bed', 'keep_outs', i], `keep-out ${k.id}`, at);
  }
  for (const [i, c] of (written.clamps ?? []).entries()) {
    yield* oneShape(c, ['clamps', i], `clamp ${c.id}`, at);
  }
}

function words(list: readonly string[]): string {
  return list.map((word) => `\`${word}\``).join(' and ');
}

function* oneShape(written: WrittenShape, path: Path, what: string, at: Locator): Findings {
  const given = SHAPE_KEYS.filter((k) => written[k] !== undefined);
  if (given.length === 0) {
    yield report({
      code: 'profile/no-shape',
      ...at(path),
      message: `${what} has no shape, expected one of \`rect\`, \`circle\`, \`polygon\``,
      help: 'add for example `rect: { at: [0, 0], size: [600, 800] }`',
    });
  } else if (given.length > 1) {
    yield report({
      code: 'profile/two-shapes',
      ...at([...path, given[1]!], 'key'),
      message: `${what} has ${words(given)}, expected one shape`,
    });
  }
}

function* outline(written: MachineWritten['bed']['outline'], at: Locator): Findings {
  const { polygon, at: corner, size } = written;
  if (polygon !== undefined && (corner !== undefined || size !== undefined)) {
    yield report({
      code: 'profile/two-shapes',
      ...at(['bed', 'outline', 'polygon'], 'key'),
      message: 'the outline has a polygon and a corner or size, expected one of the two',
      help: 'keep `polygon`, or `at` and `size`',
    });
  } else if (polygon === undefined && (corner === undefined || size === undefined)) {
    yield report({
      code: 'profile/no-shape',
      ...at(['bed', 'outline'], 'key'),
      message: 'the outline is not complete, expected `at` and `size`, or `polygon`',
      help: 'write `at` (its corner) and `size`, or `polygon`',
    });
  }
}

function* grooves(zone: MachineWritten['bed']['zones'][number], path: Path, at: Locator): Findings {
  const written = zone.grooves;
  if (!written) return;
  const grid = (['pitch', 'width', 'depth', 'offset'] as const).filter((k) => written[k] !== undefined);
  const missing = (['pitch', 'width', 'depth'] as const).filter((k) => written[k] === undefined);
  if (written.channels && grid.length > 0) {
    yield report({
      code: 'profile/two-grooves',
      ...at([...path, grid[0]!], 'key'),
      message: `zone ${zone.id} has channels and \`${grid[0]}\` of a grid, expected one of the two`,
    });
  } else if (!written.channels && missing.length > 0) {
    yield report({
      code: 'profile/half-grid',
      ...at(path, 'key'),
      message: `the groove grid of zone ${zone.id} lacks ${words(missing)}`,
    });
  }
}
