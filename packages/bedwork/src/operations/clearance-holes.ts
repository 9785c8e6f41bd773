import { lengthText } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Cutter, Form } from '@bedledger/fleet';
import { deepestInBed } from '../base/bed-depth.ts';
import { countOf, listOf } from '../base/words.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Site } from '../layout/model.ts';
import type { WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { bedUnknown, isPocketed, noBoard, nothingAgainst, touchOffOnBoard } from './conditions.ts';
import { cut } from './descriptor.ts';
import type { HeaderTexts } from './outcome.ts';
import { pointLength, type RoundCut } from './round-cut.ts';
import { type RoundCutsJob, roundCutsAtSites, type SiteCut, writeRoundCuts } from './round-cuts-at-sites.ts';

/** A flat cutter that is to come through goes this far past the surface, mm (common practice, no source). */
const BREAK_THROUGH = 0.5;

/** The clearance holes in the board: through it onto a bed without metal, or stopping above the inserts. */
export const CLEARANCE_HOLES = cut<RoundCutsJob>({
  name: 'clearance-holes',
  on: () => 'board',
  notAsked: nothingAgainst,
  forbidden: (context, form) => FORBIDDEN[holesForm(form)](context),
  outputs: ['extraction'],
  decide: (context, form, cutter) => {
    const { machine, house, record } = context;
    const top = context.overBoard.stockTop;
    const cuts = roundCutsAtSites(context, cutter, {
      operation: 'clearance-holes',
      duty: 'drill',
      byHand: 'bore it by hand',
      cut: (site, stack) => holeAt(context, holesForm(form), cutter, site, stack),
    });
    if (typeof cuts === 'string') return { refused: cuts };
    const floor = Math.min(top, ...cuts.map(({ round }) => round.bottom));
    const unknown = floor < 0 ? bedUnknown(context) : null;
    if (unknown !== null) return { refused: `the holes go on below the bed surface, and ${unknown}` };
    const cutting = cuttingFor(
      cutter,
      record.stock.material,
      { width: cutter.diameter, depth: cutter.diameter },
      machine,
      house,
    );
    return { sites: cuts.map(({ site }) => site.id), floor, cutting, fluteDepth: top - floor, cuts };
  },
  write: (writer, _, { cuts, cutting }, cutter) => writeRoundCuts(writer, cuts, cutter, cutting),
  header: (context, { cuts }, form) => TEXTS[holesForm(form)](context, cuts),
});

/** Through a board onto a bed without metal, or stopping above inserts. */
type HolesForm = Extract<Form, 'first-fit' | 'refit'>;

function holesForm(form: Form | null): HolesForm {
  if (form === 'first-fit' || form === 'refit') return form;
  throw new RangeError(`holes have no form \`${form}\``);
}

const FORBIDDEN: Readonly<Record<HolesForm, (context: WorkContext) => string | null>> = {
  'first-fit': firstFitForbidden,
  refit: refitForbidden,
};

const TEXTS: Readonly<Record<HolesForm, (context: WorkContext, cuts: readonly SiteCut[]) => HeaderTexts>> = {
  'first-fit': firstFitTexts,
  refit: refitTexts,
};

/** Once one insert is in the bed, no program goes through a board again. */
function firstFitForbidden(context: WorkContext): string | null {
  const { withInsert } = context.progress;
  if (withInsert.length > 0) {
    return `the bed has ${countOf(withInsert.length, 'insert')} (${listOf(withInsert)}): only the refit form may be cut over metal`;
  }
  return isPocketed(context) ? 'the board is recorded as pocketed and bored' : noBoard(context);
}

function refitForbidden(context: WorkContext): string | null {
  if (context.progress.withInsert.length === 0) {
    return 'no insert is in the bed yet: the first-fit form goes through the board, the refit form follows once inserts are set';
  }
  return isPocketed(context)
    ? 'the board is recorded as pocketed and bored: record a new board to bore it'
    : noBoard(context);
}

/**
 * Lowest point of the cutter, tip included, for one hole; mm above the bed.
 *
 * Refit stops the skin above the bed. First fit ends on the bed surface and leaves the burr to the hand, except where
 * the ledger says that the bed is bored at least as wide: there it breaks through, by the point's length and a little,
 * and never deeper than a program may go in the bed. Where that is less than nothing, it stops so far above the bed.
 */
export function holeBottom(input: {
  readonly form: HolesForm;
  readonly refitSkin: number;
  /** Deepest cut in the bed, as a depth below Z 0; negative where nothing of the cut limit is left. */
  readonly deepest: number;
  readonly bored: { readonly diameter: number; readonly depth: number } | null;
  readonly holeDiameter: number;
  readonly point: number;
}): number {
  if (input.form === 'refit') return input.refitSkin;
  const { bored } = input;
  const onBed = !bored || bored.diameter < input.holeDiameter - 1e-6;
  const below = onBed ? 0 : Math.min(bored.depth, input.point + BREAK_THROUGH);
  // Adding 0 makes a plain zero of a negative one.
  return -Math.min(input.deepest, below) + 0;
}

function holeAt(context: WorkContext, form: HolesForm, cutter: Cutter, site: Site, stack: Stack): RoundCut {
  const { machine, house, record, progress } = context;
  const refit = form === 'refit';
  const diameter = refit ? stack.refitDiameter : stack.clearanceDiameter;
  const entry = progress.bored.has(site.id) ? record.state.sites.get(site.id) : undefined;
  const bottom = holeBottom({
    form,
    refitSkin: house.stack.refitSkin,
    deepest: deepestInBed(context, 'board'),
    bored: entry ? { diameter: entry.diameter ?? 0, depth: entry.depth ?? 0 } : null,
    holeDiameter: diameter,
    point: pointLength(cutter.diameter, cutter.kind === 'drill' ? cutter.pointAngle : 180),
  });
  return {
    at: site.actual,
    diameter: drilledDiameter(cutter, diameter),
    top: context.overBoard.stockTop,
    bottom: Math.max(bottom, machine.travel.z[0]),
    floor: false,
  };
}

/** A drill a little wider than the hole makes it its own size: at most 0.3 mm over. */
export function drilledDiameter(cutter: Cutter, diameter: number): number {
  const over = cutter.diameter - diameter;
  return cutter.canPlunge && over > 0 && over <= 0.3 ? cutter.diameter : diameter;
}

function refitTexts(context: WorkContext): HeaderTexts {
  const { house, machine } = context;
  const opened = [...context.stacks.values()].filter(({ holeNeed }) => holeNeed.opened);
  const sizes = [...new Set(opened.map((stack) => stack.clearanceDiameter))].sort((a, b) => a - b);
  return {
    title: 'Clearance holes in the board, refit',
    before: [touchOffOnBoard(context), ...heldAt(context)],
    after: [
      `break through the last ${lengthText(house.stack.refitSkin, machine.units)} by hand with the board off the bed${sizes.length > 0 ? `, then open the holes as the run sheet says, with drills of ${sizes.map((size) => lengthText(size, machine.units)).join(', ')}` : ''}`,
    ],
    cautions: [CAUTIONS.dust, CAUTIONS.body, CAUTIONS.fire, CAUTIONS.metal],
  };
}

function firstFitTexts(context: WorkContext, cuts: readonly SiteCut[]): HeaderTexts {
  const onSurface = cuts.filter(({ round }) => round.bottom >= 0).map(({ site }) => site.id);
  return {
    title: 'Clearance holes in the board, first fit',
    before: [
      touchOffOnBoard(context),
      ...heldAt(context),
      'no insert is in the bed',
      'chips taken out of the pockets with a vacuum cleaner',
    ],
    after: [
      onSurface.length > 0
        ? `the holes of ${countOf(onSurface.length, 'site')} (${listOf(onSurface)}) end on the bed surface: clear the burr by hand`
        : 'lift the board and look at every bore',
    ],
    cautions: [CAUTIONS.dust, CAUTIONS.body, CAUTIONS.fire],
  };
}

/** Which hole is a close one, and why the others are not. */
function heldAt({ work, stacks, machine }: WorkContext): string[] {
  const { site } = work.hold;
  const stack = site === null ? undefined : stacks.get(site);
  if (!stack) return [];
  return [
    `${site} holds the board by a close hole of ${lengthText(stack.clearanceDiameter, machine.units)}; the others leave it room to grow from there`,
  ];
}
