import { type Diagnostic, drillText, holdText, InputError, lengthText } from '@bedledger/diagnostics';
import { type Bound, drillAtLeast, type Stack, type StackResult } from '@bedledger/fasteners';
import { type MachineRecord, pocketAt, type Unknown } from '@bedledger/fleet';
import { type BoardWork, boardWork, stackPlace } from '../base/board-work.ts';
import { holdOf } from '../base/hold.ts';
import { ledgerPlace, profilePlace } from '../base/places.ts';
import { type SiteStack, stackAt } from '../base/stack-input.ts';
import { tellUnknown } from '../base/tell-unknown.ts';
import { listOf } from '../base/words.ts';
import type { Layout } from '../layout/model.ts';
import { report } from '../report.ts';
import { changeForAll, mendBuilt, WEARS } from './stack-remedies.ts';

type Standing = ReadonlyMap<string, SiteStack>;
type Infeasible = Extract<StackResult, { feasible: false }>;

/** The stacks of a machine's sites, and what is known of each. */
export interface Stacks {
  /** By site id; absent where no stack holds, or where nobody recorded what stands there. */
  readonly stacks: ReadonlyMap<string, Stack>;
  /** By site id: does it stand there, is it to be driven into a pocket, is it planned, is it unknown. */
  readonly standing: ReadonlyMap<string, SiteStack>;
  /** Where the board is held, and with which drills its holes are opened. */
  readonly work: BoardWork;
  readonly findings: readonly Diagnostic[];
}

/** The stack of every site: as built where something stands, as planned elsewhere. */
export function solveStacks(record: MachineRecord, layout: Layout): Stacks {
  const stacks = new Map<string, Stack>();
  const standing = new Map<string, SiteStack>();
  /** Sites whose bounds contradict each other, by the contradiction. */
  const failed = new Map<string, { sites: string[]; result: Infeasible }>();
  const broken = new Map<string, { sites: string[]; bound: Bound; kind: 'built' | 'pocketed' }>();
  let work: BoardWork;
  try {
    work = boardWork(record, layout.sites);
    for (const site of layout.sites) {
      standing.set(site.id, stackAt(record, site, stackPlace(record, work, site)));
    }
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const place = profilePlace(record);
    const findings = error.diagnostics.map((d) => ({ ...d, place: d.place ?? place }));
    return { stacks, standing, work: { hold: holdOf(record, layout.sites), drills: [] }, findings };
  }
  for (const site of layout.sites) {
    const found = standing.get(site.id)!;
    if (found.kind === 'unknown') continue;
    if (found.kind === 'planned') {
      const { result } = found;
      if (result.feasible) stacks.set(site.id, result.stack);
      else group(failed, result.conflict.join(' / '), site.id, { result });
      continue;
    }
    stacks.set(site.id, found.stack);
    for (const bound of found.broken) {
      // How thin a board has worn is told once, below; what a measured floor misses by less than its reading is no fault.
      if (!(found.kind === 'built' && WEARS.has(bound.id)) && !withinReading(record, site.id, bound))
        group(broken, `${found.kind} ${bound.id}`, site.id, { bound, kind: found.kind });
    }
  }
  const findings = [...failed.values()].map(({ sites, result }) =>
    impossible(record, sites, result, changeForAll(record, layout, standing, sites)),
  );
  findings.push(...unknownScrews(record, layout, standing));
  findings.push(...[...broken.values()].map((b) => broke(record, standing, b)));
  findings.push(...wornOut(record, stacks, standing));
  findings.push(...drillsMissing(record, stacks), ...heldUnknown(record, layout));
  return { stacks, standing, work, findings };
}

/** The profile names a site to hold the board that the board does not have. */
function heldUnknown({ machine, ...record }: MachineRecord, { sites }: Layout): Diagnostic[] {
  const { held } = machine.fixing;
  if (held === null || sites.some(({ id }) => id === held)) return [];
  return [
    report({
      code: 'stack/held-unknown',
      ...(record.state.board?.pocketed && { severity: 'warn' as const }),
      place: profilePlace({ machine, ...record }),
      message: `fixing.held names site ${held} to hold the board, and the board has no such site`,
      facts: { site: held },
      help: `name one of its sites${sites.length > 0 ? `, ${sites[0]!.id} … ${sites.at(-1)!.id}` : ''}, or leave \`held\` out: the site nearest the middle holds the board then`,
    }),
  ];
}

/** Holes that a hand opens and for which the house has no drill. */
function drillsMissing(record: MachineRecord, stacks: ReadonlyMap<string, Stack>): Diagnostic[] {
  const { units } = record.machine;
  const kept = record.house.drills[units];
  const open = [...stacks].filter(
    ([, { holeNeed, clearanceDiameter }]) =>
      holeNeed.opened && !kept.some((size) => Math.abs(size - clearanceDiameter) < 1e-6),
  );
  if (open.length === 0 || record.state.board?.pocketed) return [];
  const need = Math.max(...open.map(([, { holeNeed }]) => holeNeed.diameter));
  const buy = drillAtLeast(need, units === 'mm' ? 'metric' : 'unified');
  const largest = kept.at(-1);
  const why =
    largest === undefined || largest < need
      ? `the largest at hand is ${largest === undefined ? 'none' : lengthText(largest, units)}`
      : 'beside the next larger one at hand too little of the head or washer bears';
  return [
    report({
      code: 'stack/drill-missing',
      place: profilePlace(record),
      message: `no drill of the house opens the holes at ${listOf(open.map(([site]) => site))}: they need ${lengthText(need, units)}, and ${why}`,
      facts: { need, buy: buy.diameter },
      help: `buy a drill ${drillText(buy, units)} and add it to \`drills\` in shared/house.yaml`,
    }),
  ];
}

/** Bounds that follow from how high the pocket's floor lies. */
const BY_FLOOR: ReadonlySet<string> = new Set([
  'web-house',
  'web-punching',
  'refit-skin',
  'screw-end',
  'engagement-pull',
  'engagement-full',
]);

/** A floor that somebody measured is known to what the house reads a thickness to: a bound missed by less is kept as well as can be told. */
function withinReading({ state, house }: MachineRecord, site: string, { id, margin }: Bound): boolean {
  return (
    BY_FLOOR.has(id) &&
    pocketAt(state, site)?.floorFrom === 'measured' &&
    -margin <= house.thicknessUncertainty + 1e-9
  );
}

function group<T extends object>(
  into: Map<string, T & { sites: string[] }>,
  key: string,
  site: string,
  what: T,
): void {
  const same = into.get(key);
  if (same) same.sites.push(site);
  else into.set(key, { ...what, sites: [site] });
}

function unknownScrews(record: MachineRecord, layout: Layout, standing: Standing): Diagnostic[] {
  const sites = [...standing].filter(([, { kind }]) => kind === 'unknown').map(([site]) => site);
  if (sites.length === 0) return [];
  const open = new Set(sites.flatMap((site) => unknownAt(standing, site)));
  const what =
    open.size > 1
      ? 'neither their heads nor their pockets are on record'
      : open.has('screw')
        ? 'their heads are not on record'
        : 'the floors of their pockets are not on record';
  return [
    report({
      code: 'stack/screws-unknown',
      message: `the ledger does not say what stands in the board at ${listOf(sites)}: screws held it when it was surfaced, and ${what}`,
      place: ledgerPlace(record),
      help: tellUnknown(
        record,
        standing,
        layout.sites.map(({ id }) => id),
      ),
    }),
  ];
}

function unknownAt(standing: Standing, site: string): readonly Unknown[] {
  const stack = standing.get(site);
  return stack?.kind === 'unknown' ? stack.unknown : [];
}

function broke(
  record: MachineRecord,
  standing: Standing,
  { sites, bound, kind }: { sites: readonly string[]; bound: Bound; kind: 'built' | 'pocketed' },
): Diagnostic {
  const { units } = record.machine;
  const figure = (value: number): string =>
    bound.unit === 'mm' ? lengthText(value, units) : holdText(value, units);
  const what = kind === 'built' ? 'what stands' : `a screw of ${record.planned.title}`;
  return report({
    code: kind === 'built' ? 'stack/built-short' : 'stack/pocket-unfit',
    message: `${what} at ${listOf(sites)} does not keep "${bound.title}" (${bound.id}): ${figure(bound.value)}, and ${bound.sense === '>=' ? 'at least' : 'at most'} ${figure(bound.limit)} is asked for`,
    place: ledgerPlace(record),
    help: (kind === 'built' && mendBuilt(record, sites, standing, bound)) || helpFor(record, kind, bound),
  });
}

/** What a bound that does not hold means for a board that is cut already, where no change of it was found to help. */
function helpFor(record: MachineRecord, kind: 'built' | 'pocketed', bound: Bound): string {
  const why = WHY[bound.id];
  const because = why === undefined ? '' : `: ${why}`;
  // Of a pocket without a screw every length of the fixing was tried.
  return kind === 'built'
    ? `leave the screws of these sites out, or fit a new board${because}`
    : `no length of ${record.planned.id} fits these pockets: leave these sites without a screw, ask for another fixing, or fit a new board${because}`;
}

const WHY: Readonly<Record<string, string>> = {
  'web-house': 'a web that is too thin punches through',
  'web-punching': 'the head punches through the web',
  'screw-end': 'the screws bottom before their heads hold the board',
  'engagement-pull': 'too little thread holds them',
  'engagement-full': 'the thread strips before the screw breaks',
  'hole-float': 'the board cannot grow freely',
  bearing: 'too little of the head bears beside the hole',
};

function impossible(
  record: MachineRecord,
  sites: readonly string[],
  result: Infeasible,
  change: string | null,
): Diagnostic {
  return report({
    code: 'stack/impossible',
    message: `no stack for ${listOf(sites)}: ${conflictText(result)} cannot both hold`,
    place: profilePlace(record),
    help:
      change ??
      `no single change that was tried at every site frees them: choose another fixing or board, or change what one of the two asks for; \`bedledger explain ${record.machine.id} ${sites[0]}\` lists every bound with its figures`,
  });
}

function conflictText(result: Infeasible): string {
  const named = result.conflict.map((id) => {
    const bound = result.bounds.find((b) => b.id === id);
    return bound ? `"${bound.title}" (${id})` : id;
  });
  return named.length === 2 ? named.join(' and ') : result.conflict.join(' / ');
}

function wornOut(
  record: MachineRecord,
  stacks: ReadonlyMap<string, Stack>,
  standing: ReadonlyMap<string, SiteStack>,
): Diagnostic[] {
  const { machine, house, state } = record;
  const heads = [...stacks].filter(([site]) => standing.get(site)?.kind === 'built');
  const least = heads.reduce((m, [, s]) => Math.min(m, s.cover), Number.POSITIVE_INFINITY);
  if (!state.board?.pocketed || least >= house.stack.coverMin) return [];
  const length = (mm: number): string => lengthText(mm, machine.units);
  return [
    report({
      code: 'stack/worn-out',
      message:
        least < 0
          ? `the board is worn out: heads stand ${length(-least)} above its surface`
          : `the board is worn out: ${length(least)} are left over a head, the house keeps ${length(house.stack.coverMin)}`,
      place: ledgerPlace(record),
    }),
  ];
}
