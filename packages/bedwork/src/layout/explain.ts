import { fineNumber, placeText, shortLength, shortNumber, type Units } from '@bedledger/diagnostics';
import type { Layout, Site } from './model.ts';

/**
 * Why a site is where it is, and how far everything is from it. One sentence a line.
 * @throws RangeError when the layout has no site of that name; the message lists those it has.
 */
export function explainSite(layout: Layout, siteId: string): string[] {
  const site = layout.sites.find((s) => s.id === siteId);
  if (!site) {
    throw new RangeError(
      `no site ${siteId} in this layout; it has ${layout.sites.map((s) => s.id).join(', ') || 'no sites'}`,
    );
  }
  const { units } = layout;
  const out = [
    `${site.id}: nominal ${exactPlace(site.nominal, units)}, surveyed ${exactPlace(site.actual, units)}, ±${shortLength(site.uncertainty, units)}, ${placeName(site)}, ${stateName(site)}`,
    ...site.reasons,
  ];
  for (const c of site.clearances) {
    out.push(
      `${c.kind}: ${c.name} at ${shortLength(c.distance, units)}, needed ${shortLength(c.needed, units)}, ${spare(c.distance - c.needed, units)}`,
    );
  }
  return out;
}

/** The layout as a whole: pattern, pitch, bound, coverage, leaks. One sentence a line. */
export function explainLayout(layout: Layout): string[] {
  const out: string[] = [];
  const { units } = layout;
  const n = layout.sites.length;
  const shape =
    layout.rows.length > 0 ? ` in ${layout.rows.length} rows and ${layout.columns.length} columns` : '';
  out.push(`pattern ${layout.pattern}: ${n} ${n === 1 ? 'site' : 'sites'}${shape}`);
  out.push(`pitch at most ${shortLength(layout.pitch.limit, units)}: ${layout.pitch.from}`);
  if (layout.rows.length > 0) {
    out.push(`rows at Y ${list(layout.rows, units)}`);
    out.push(`columns at X ${list(layout.columns, units)}`);
  }
  if (layout.bound.lower > 0) {
    out.push(
      layout.bound.proven
        ? `proven least: ${layout.bound.by}`
        : layout.pattern === 'fewest'
          ? layout.bound.by
          : `not proven least, at least ${layout.bound.lower} are needed: ${layout.bound.by}`,
    );
  } else out.push(layout.bound.by);
  if (n > 0) {
    out.push(
      `the farthest point of the board is ${shortLength(layout.coverage.radius, units)} from a site, at ${placeText(layout.coverage.at, units)}; allowed are ${shortLength(layout.coverage.allowed, units)}`,
    );
  }
  const count = (land: Site['land']): number => layout.sites.filter((s) => s.land === land).length;
  out.push(`${count('divider')} on dividers, ${count('outer')} on outer land, ${count('zone')} inside zones`);
  const zones = [...new Set(layout.sites.map((s) => s.zone).filter((z) => z !== null))].sort();
  for (const z of zones) {
    const ids = layout.sites.filter((s) => s.zone === z).map((s) => s.id);
    out.push(
      `zone ${z} leaks at ${ids.length} screw ${ids.length === 1 ? 'hole' : 'holes'}: ${ids.join(', ')}`,
    );
  }
  if (layout.symmetric !== 'none')
    out.push(`symmetric ${layout.symmetric === 'both' ? 'left-right and front-back' : layout.symmetric}`);
  out.push(`the board lies with ${layout.boardLie.text}`);
  for (const r of layout.remedies) out.push(`a layout is possible: ${r.say}`);
  const nudged = layout.sites.filter((s) => s.nudges.length > 0);
  if (nudged.length > 0) out.push(`nudged: ${nudged.map((s) => s.id).join(', ')}`);
  const kept = layout.sites.filter((s) => s.placedBy === 'ledger');
  if (kept.length > 0) out.push(`${kept.length} kept exactly where the ledger has them`);
  return out;
}

function placeName(site: Site): string {
  if (site.land === 'divider') return 'on a divider';
  return site.land === 'outer' ? 'on outer land' : `inside zone ${site.zone}`;
}

function stateName(site: Site): string {
  return site.state === 'none' ? 'not marked yet' : site.state;
}

function spare(v: number, units: Units): string {
  return v >= 0 ? `${shortLength(v, units)} to spare` : `${shortLength(-v, units)} short`;
}

function list(values: readonly number[], units: Units): string {
  return values.map((v) => shortNumber(v, units)).join(', ');
}

function exactPlace(at: readonly [number, number], units: Units): string {
  return `X${fineNumber(at[0], units)} Y${fineNumber(at[1], units)}`;
}
