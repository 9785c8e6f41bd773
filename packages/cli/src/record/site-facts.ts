import { planLayout, type Site } from '@bedledger/bedwork';
import { keyValue } from '@bedledger/diagnostics';
import { insertFigures } from '@bedledger/fasteners';
import type { FactWritten } from '@bedledger/fleet';
import { flag, UsageError } from '../arguments.ts';
import { point, type Quantity, quantity, type RecordCall, type SiteFact, unknownSite } from './call.ts';
import { placeIsKnown } from './stopped.ts';
import { writtenInsert } from './written-figures.ts';

/** State a site must be in for the fact to be due, for `--all`. Which holes are filled is never a matter of course. */
const DUE: Readonly<Record<SiteFact, Site['state'] | null>> = {
  mark: 'none',
  bore: 'marked',
  insert: 'bored',
  fill: null,
};

/** A fact for each site that the call names, or for every site that is due. */
export function siteFacts(call: RecordCall, kind: SiteFact): FactWritten[] {
  // A bore takes its sizes from the plan; what else is known of a site is in the layout, which is made sooner.
  const { sites: known } = kind === 'bore' ? call.plan().layout : planLayout(call.record);
  const ids = flag(call.args, 'all') ? dueSites(call, kind, known) : call.sites;
  if (ids.length === 0)
    throw new UsageError(`${kind} needs a site`, 'name sites as on the drawing, e.g. B3, or write --all');
  if (call.text('at') !== undefined && ids.length !== 1)
    throw new UsageError('--at goes with one site', 'record the others on their own');
  // A filled hole may belong to a site that the layout no longer has: the ledger knows it.
  if (kind === 'fill') return ids.map((site) => call.fact({ site, reason: call.neededText('reason') }));
  return ids.map((id) => {
    const site = siteNamed(call, id, known);
    placeIsKnown(call, kind, id);
    return siteFact(call, kind, site);
  });
}

function dueSites(call: RecordCall, kind: SiteFact, known: readonly Site[]): string[] {
  const due = DUE[kind];
  if (due === null) throw new UsageError('fill names its sites', 'write them out');
  if (call.sites.length > 0) throw new UsageError('name sites or write --all, not both', 'drop one of them');
  const ids = known.filter((s) => s.state === due).map((s) => s.id);
  if (ids.length === 0)
    throw new UsageError(`no site is due for \`${kind}\``, `sites must be \`${due}\` first`);
  return ids;
}

function siteNamed({ record }: RecordCall, id: string, known: readonly Site[]): Site {
  const site = known.find((s) => s.id === id);
  if (site !== undefined) return site;
  throw unknownSite(
    record,
    id,
    known.map((s) => s.id),
  );
}

function siteFact(call: RecordCall, kind: Exclude<SiteFact, 'fill'>, site: Site): FactWritten {
  const place = { site: site.id, ...placeOf(call, site) };
  switch (kind) {
    case 'mark':
      return call.fact(place);
    case 'insert':
      return call.fact({ ...place, ...insertSet(call) });
    case 'bore':
      return call.fact({
        ...place,
        diameter: boreSize(call, site, 'diameter'),
        depth: boreSize(call, site, 'depth'),
        depth_from: ['diameter', 'depth'].some((o) => call.text(o) !== undefined) ? 'measured' : 'planned',
      });
  }
}

/** Where it was done. A planned place was not measured; a hole that was measured once stays where it was found. */
function placeOf(call: RecordCall, site: Site) {
  const given = call.text('at');
  if (given !== undefined) return { at: point(given, 'at'), at_from: 'measured' };
  const before = call.record.state.sites.get(site.id);
  const from = before && before.state !== 'filled' ? before.atFrom : 'planned';
  return { at: call.written(site.actual), at_from: from };
}

/** The insert with its figures. Of one that no fixing has only the name is known. */
function insertSet(call: RecordCall) {
  const name = call.text('fixing');
  const fixing = name === undefined ? call.record.planned : call.fixings.need(name);
  const insert = call.text('insert') ?? fixing.insert.id;
  const set = insert === fixing.insert.id ? fixing.insert : call.fixings.insertCalled(insert);
  return { insert, ...(set && { figures: writtenInsert(insertFigures(set), call.units) }) };
}

/** As given, else as the stack says. */
function boreSize(call: RecordCall, site: Site, size: 'diameter' | 'depth'): Quantity {
  const given = call.text(size);
  if (given !== undefined) return quantity(given);
  const drill = call.plan().stacks.get(site.id)?.handDrill;
  if (drill !== undefined) return keyValue(drill[size], call.units);
  throw new UsageError(`${site.id} has no stack, so the bore's ${size} is not known`, `give --${size}`);
}
