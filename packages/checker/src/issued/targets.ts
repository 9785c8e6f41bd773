import type { Form } from '@bedledger/fleet';
import type { Case } from '../programs/case.ts';
import { commandLimit } from '../scene/bed-depth.ts';
import type { Site } from './hole-table.ts';
import type { SitesOfRecord, Target } from './operation-view.ts';

/** What each operation is to make at a site, by the checker's own stack of that site. */
type TargetOf = (site: Site) => Target | null;

export function datumMarkTarget(c: Case): TargetOf {
  const { machine } = c.record;
  const target = {
    diameter: 2 * c.simulation.cutter.shape.radius,
    floor: -Math.min(machine.datum.depth, commandLimit(c.record)),
    flat: false,
  };
  return () => target;
}

/** A pointed cutter wider than the bore stops where it is as wide as the bore; a drill goes as deep as the bed may be cut. */
export function bedMarkTarget(c: Case, _form: Form | null, { stacks }: SitesOfRecord): TargetOf {
  const deepest = commandLimit(c.record);
  const { shape } = c.simulation.cutter;
  const width = 2 * shape.radius;
  return ({ site }) => {
    const stack = stacks.get(site);
    if (!stack) return null;
    const bore = stack.handDrill.diameter;
    const spots = shape.form === 'cone' && width > bore;
    const floor = spots ? -Math.min(deepest, shape.slope * (bore / 2)) : -deepest;
    const bores = shape.form === 'flat' && width <= bore;
    return { diameter: bores ? bore : width, floor, flat: bores };
  };
}

export function pocketTarget(_c: Case, _form: Form | null, { stacks }: SitesOfRecord): TargetOf {
  return ({ site }) => {
    const stack = stacks.get(site);
    return stack ? { diameter: stack.pocketDiameter, floor: stack.web, flat: true } : null;
  };
}

/**
 * A refit leaves its skin above the inserts. A first fit ends at the bed, or goes through where the ledger has a bore
 * wide enough: below the bed surface only the tip goes on, and at the surface the board must be open at its full width.
 */
export function clearanceHoleTarget(c: Case, form: Form | null, { stacks }: SitesOfRecord): TargetOf {
  const { house, state } = c.record;
  const deepest = commandLimit(c.record, c.zeroHeight);
  const { shape } = c.simulation.cutter;
  const flat = shape.form === 'flat';
  return ({ site }) => {
    const stack = stacks.get(site);
    if (!stack) return null;
    if (form === 'refit') return { diameter: stack.refitDiameter, floor: house.stack.refitSkin, flat };
    const diameter = stack.clearanceDiameter;
    const known = state.sites.get(site);
    const through = known?.state === 'bored' && (known.diameter ?? 0) >= diameter;
    if (!through) return { diameter, floor: Math.max(0, -deepest), flat };
    const floor = -Math.min(deepest, known.depth ?? deepest, shape.pointLength + 0.5);
    return { diameter, floor, flat: false, ...(flat ? { openAt: 0 } : {}) };
  };
}
