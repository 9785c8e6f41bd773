import type { Layout, Site } from './model.ts';
import { mm } from './text.ts';

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
  const out = [
    `${site.id}: nominal X${mm3(site.nominal[0])} Y${mm3(site.nominal[1])}, surveyed X${mm3(site.actual[0])} Y${mm3(site.actual[1])}, ±${mm(site.uncertainty)} mm, ${placeName(site)}, ${stateName(site)}`,
    ...site.reasons,
  ];
  for (const c of site.clearances) {
    out.push(
      `${c.kind}: ${c.name} at ${mm(c.distance)} mm, needed ${mm(c.needed)} mm, ${spare(c.distance - c.needed)}`,
    );
  }
  return out;
}

/** The layout as a whole: pattern, pitch, bound, coverage, leaks. One sentence a line. */
export function explainLayout(layout: Layout): string[] {
  const out: string[] = [];
  const n = layout.sites.length;
  const shape =
    layout.rows.length > 0 ? ` in ${layout.rows.length} rows and ${layout.columns.length} columns` : '';
  out.push(`pattern ${layout.pattern}: ${n} ${n === 1 ? 'site' : 'sites'}${shape}`);
  out.push(`pitch at most ${mm(layout.pitch.limit)} mm: ${layout.pitch.from}`);
  if (layout.rows.length > 0) {
    out.push(`rows at Y ${layout.rows.map(mm).join(', ')}`);
    out.push(`columns at X ${layout.columns.map(mm).join(', ')}`);
  }
  if (layout.bound.lower > 0) {
    out.push(
      layout.bound.proven
        ? `proven least: ${layout.bound.by}`
        : `not proven least, at least ${layout.bound.lower} are needed: ${layout.bound.by}`,
    );
  } else out.push(layout.bound.by);
  if (n > 0) {
    out.push(
      `the farthest point of the board is ${mm(layout.coverage.radius)} mm from a site, at X${mm(layout.coverage.at[0])} Y${mm(layout.coverage.at[1])}; allowed are ${mm(layout.coverage.allowed)} mm`,
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

function spare(v: number): string {
  return v >= 0 ? `${mm(v)} mm to spare` : `${mm(-v)} mm short`;
}

function mm3(v: number): string {
  return v.toFixed(3);
}
