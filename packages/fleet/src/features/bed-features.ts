import { circleRing, difference, offset, type Region, regionFromRing, sweep } from '@bedledger/geometry';
import type { BedFeature } from '../model/feature.ts';
import type { Gasket, Machine, Zone } from '../model/machine.ts';
import { channelRegion, gridGrooves } from './grooves.ts';
import { shapeRegion, zoneRegion } from './regions.ts';

function gasketRegion(zone: Zone, gasket: Gasket): Region {
  if (gasket.path && gasket.path.length >= 3) {
    // The channel closes on itself: sweep the ring with its first point repeated.
    return sweep([...gasket.path, gasket.path[0]!], gasket.width / 2);
  }
  const outline = zoneRegion(zone);
  const outer = offset(outline, gasket.width / 2 - gasket.inset);
  const inner = offset(outline, -gasket.inset - gasket.width / 2);
  return difference(outer, inner);
}

function zoneFeatures(zone: Zone): BedFeature[] {
  const out: BedFeature[] = [];
  const add = (word: string, label: string, kind: BedFeature['kind'], region: Region, depth: number | null) =>
    out.push({
      id: `${zone.id}/${word}`,
      name: `zone ${zone.id} ${label}`,
      kind,
      zone: zone.id,
      region,
      depth,
      height: null,
      metal: false,
    });
  if (zone.grooves.kind === 'grid') {
    for (const g of gridGrooves(zone, zone.grooves)) {
      add(
        `groove/${g.axis}${g.number}`,
        `groove ${g.axis} ${g.number}`,
        'groove',
        g.region,
        zone.grooves.depth,
      );
    }
  } else if (zone.grooves.kind === 'channels') {
    for (const [i, c] of zone.grooves.channels.entries()) {
      add(`groove/${i + 1}`, `groove ${i + 1}`, 'groove', channelRegion(c.points, c.width), c.depth);
    }
  }
  for (const [i, p] of zone.ports.entries()) {
    add(
      `port/${i + 1}`,
      `port ${i + 1}`,
      'port',
      regionFromRing(circleRing(p.at, p.diameter / 2, 'circumscribed')),
      null,
    );
  }
  if (zone.gasket) add('gasket', 'gasket', 'gasket', gasketRegion(zone, zone.gasket), zone.gasket.depth);
  return out;
}

/**
 * Everything in or on the bed that is not land, nominal bed frame, mm, in a fixed order: zones as written (grooves, ports,
 * gasket), then keep-outs, holes and slots. Regions are never smaller than the real thing.
 */
export function bedFeatures(machine: Machine): BedFeature[] {
  const { bed } = machine;
  const out = bed.zones.flatMap(zoneFeatures);
  for (const k of bed.keepOuts) {
    out.push({
      id: `keep-out/${k.id}`,
      name: `keep-out ${k.id}`,
      kind: 'keep-out',
      zone: null,
      region: shapeRegion(k.shape, 'circumscribed'),
      depth: null,
      height: k.height,
      metal: k.metal,
    });
  }
  for (const h of bed.holes) {
    out.push({
      id: `hole/${h.id}`,
      name: `hole ${h.id}`,
      kind: 'hole',
      zone: null,
      region: regionFromRing(circleRing(h.at, h.diameter / 2, 'circumscribed')),
      depth: null,
      height: null,
      metal: false,
    });
  }
  for (const s of bed.slots) {
    out.push({
      id: `slot/${s.id}`,
      name: `slot ${s.id}`,
      kind: 'slot',
      zone: null,
      region: sweep([s.from, s.to], s.width / 2),
      depth: null,
      height: null,
      metal: false,
    });
  }
  return out;
}
