import { exactNumber, fromUnits, keyValue } from '@bedledger/diagnostics';
import type { LayoutRules, MachineRecord } from '@bedledger/fleet';
import { applyTransform, distance, invertTransform, type Point, type Transform } from '@bedledger/geometry';
import { byName } from '../base/words.ts';
import { isInBed } from './ledger-sites.ts';
import type { Layout } from './model.ts';

export type GivenSite = LayoutRules['sites'][number];

/** Codes that say that the layout and the holes in the bed contradict each other. */
export const HOLES_LOST: ReadonlySet<string> = new Set(['layout/moved-site', 'layout/lost-site']);

/**
 * The present layout with its positions written out, on the drawing of the bed, mm: every site whose hole is in the bed where
 * the ledger has it, and the planned sites. Where the layout has lost holes, planned sites that would stand in their way are
 * left out. Positions are rounded as people write them, in the machine's unit.
 */
export function presentSites(
  record: MachineRecord,
  layout: Pick<Layout, 'sites' | 'registration' | 'findings' | 'needs'>,
): GivenSite[] {
  const { registration } = layout;
  const back: Transform | null = registration && invertTransform(registration.transform);
  const nominal = (p: Point): Point => (back ? applyTransform(back, p) : p);
  const inBed = [...record.state.sites].filter(([, { state }]) => isInBed(state));
  const lost = layout.findings.some((f) => f.severity === 'stop' && HOLES_LOST.has(f.code));
  const holes = new Set(inBed.map(([id]) => id));
  const free = (at: Point): boolean =>
    !lost || inBed.every(([, hole]) => distance(hole.at, at) >= layout.needs.between);
  const planned = layout.sites.filter((s) => !holes.has(s.id) && free(s.actual));
  return [
    ...inBed.map(([id, { at }]) => ({ id, at: nominal(at) })),
    ...planned.map(({ id, nominal: at }) => ({ id, at })),
  ]
    .map(({ id, at }) => ({ id, at: [written(record, at[0]), written(record, at[1])] as Point }))
    .sort((a, b) => byName(a.id, b.id));
}

function written({ machine: { units } }: MachineRecord, mm: number): number {
  return fromUnits(keyValue(mm, units), units);
}

/** `fixing.layout` of a profile in the machine's unit, with every site written out, ready to paste; two blanks a level. */
export function asGivenYaml(
  record: MachineRecord,
  layout: Pick<Layout, 'sites' | 'registration' | 'findings' | 'needs'>,
): string[] {
  const { units, fixing } = record.machine;
  const { pitchMax, edge, nudgeMax } = fixing.layout;
  const length = (mm: number): string => exactNumber(mm, units);
  return [
    '  layout:',
    '    pattern: given',
    ...(pitchMax === null ? [] : [`    pitch_max: ${length(pitchMax)}`]),
    `    edge: [${length(edge[0])}, ${length(edge[1])}]`,
    `    nudge_max: ${length(nudgeMax)}`,
    '    sites:',
    ...presentSites(record, layout).map(
      ({ id, at }) => `      - { id: ${id}, at: [${length(at[0])}, ${length(at[1])}] }`,
    ),
  ];
}

/**
 * What to do where the layout contradicts holes that are in the bed, tried on the whole layout: write the present places out,
 * or fill the holes. Says so where neither has worked.
 *
 * @param plan lays a changed record out, in any way that works
 */
export function keepTheHoles(
  record: MachineRecord,
  layout: Layout,
  plan: (changed: MachineRecord) => Layout,
): string {
  const { machine, state } = record;
  const rules: LayoutRules = {
    ...machine.fixing.layout,
    pattern: 'given',
    sites: presentSites(record, layout),
  };
  const written = plan({
    ...record,
    machine: { ...machine, fixing: { ...machine.fixing, layout: rules } },
  });
  const choices: string[] = [];
  if (!stopped(written)) {
    choices.push(
      `keep every hole where it is: \`bedledger explain ${machine.id} --as-given\` writes the present places out (pattern given), to be pasted over fixing.layout`,
    );
  }
  const gone = new Set(
    layout.findings.filter((f) => HOLES_LOST.has(f.code)).map((f) => String(f.facts?.site)),
  );
  const sites = new Map(
    [...state.sites].map(([id, hole]) => [id, gone.has(id) ? { ...hole, state: 'filled' as const } : hole]),
  );
  const inserts = state.inserts.filter(({ site }) => !gone.has(site));
  const filled = plan({ ...record, state: { ...state, sites, inserts } });
  if (!stopped(filled) && !filled.findings.some((f) => f.code === 'layout/near-filled')) {
    choices.push(
      `where the insert is out and the hole is plugged, record it as filled (\`bedledger record ${machine.id} fill SITE --reason …\`)`,
    );
  }
  if (choices.length > 0) return choices.join('; or ');
  const why = written.findings.find((f) => f.severity === 'stop');
  return `neither the present places written out with pattern given nor filled holes make a layout possible${why ? `: ${why.message}` : ''}; take back what was changed in the profile`;
}

function stopped({ findings }: Layout): boolean {
  return findings.some((f) => f.severity === 'stop' && f.code.startsWith('layout/'));
}
