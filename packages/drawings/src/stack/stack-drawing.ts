import type { WorkPlan } from '@bedledger/bedwork';
import type { Fixing, Stack } from '@bedledger/fasteners';
import { hatchDefs } from '../svg/hatch.ts';
import { LETTERING } from '../svg/ink.ts';
import { element } from '../svg/markup.ts';
import { FRAME, fitScale, sheet, smallestSheet, TITLE_HEIGHT } from '../svg/sheet.ts';
import { label } from '../svg/text.ts';
import { scaleOn, statusWord, titleBlockOf } from '../title-fields.ts';
import { stackBounds } from './bounds-table.ts';
import { stackDimensions } from './dimensions.ts';
import { type SectionView, stackSection } from './section.ts';

/** Board and bed shown to this far on either side of the axis, as a multiple of the pocket's radius. */
const BREADTH = 2.1;

/**
 * Section through one site on its axis: bed, bore, adhesive, insert, screw, board, pocket and the driving socket, with every height
 * and the bounds that the stack obeys. The site shown is the one with the least margin of the bound that governs.
 */
export function stackDrawing(plan: WorkPlan): string {
  const { record } = plan;
  const { machine } = record;
  const shown = tightestSite(plan);
  const size = smallestSheet(machine.units);
  const status = statusWord(plan);
  if (shown === null) {
    const block = titleBlockOf(record, 'stack', { subtitle: 'no site', status, scale: '–' });
    return sheet(size, block, `No site on ${machine.title}`, '', [
      element('g', { stroke: 'none' }, [
        label(FRAME + 8, FRAME + 14, 'this machine has no site yet', { height: LETTERING.normal }),
      ]),
    ]);
  }
  const { id, stack, fixing } = shown;
  const thickness = record.state.board?.thickness ?? record.stock.thickness;
  const half = Math.max((stack.pocketDiameter / 2) * BREADTH, stack.handDrill.diameter * 1.8);
  const socketTop = thickness + Math.max(6, thickness * 0.4);
  const roomX = size.width - 2 * FRAME - 60;
  const roomY = size.height - 2 * FRAME - TITLE_HEIGHT - 118;
  const scale = fitScale(2 * half, machine.bed.thickness + socketTop, roomX, roomY);
  const axis = FRAME + 26 + half * scale.ratio;
  const zero = FRAME + 12 + socketTop * scale.ratio;
  const view: SectionView = {
    thickness,
    half,
    bed: machine.bed,
    socketTop,
    x: (x) => axis + x * scale.ratio,
    z: (z) => zero - z * scale.ratio,
  };
  return sheet(
    size,
    titleBlockOf(record, 'stack', {
      subtitle: `section at ${id}, ${fixing.title}`,
      status,
      scale: scaleOn(size, scale),
    }),
    `Section through site ${id} of ${machine.title}`,
    hatchDefs(['bed', 'board', 'insert', 'washer', 'adhesive']),
    [
      ...stackSection(fixing, stack, view),
      ...stackDimensions(fixing, stack, view, machine.units),
      stackBounds(stack, fixing, machine.units, {
        x: FRAME + 6,
        y: view.z(-machine.bed.thickness) + 14,
        width: size.width - 2 * FRAME - 12,
      }),
    ],
  );
}

function tightestSite(plan: WorkPlan): { id: string; stack: Stack; fixing: Fixing } | null {
  let best: { id: string; stack: Stack; fixing: Fixing; margin: number } | null = null;
  for (const site of plan.layout.sites) {
    const stack = plan.stacks.get(site.id);
    const standing = plan.standing.get(site.id);
    if (stack === undefined || !standing || standing.kind === 'unknown') continue;
    const margin = Math.min(
      ...stack.bounds.filter((b) => b.governs).map((b) => b.margin),
      Number.POSITIVE_INFINITY,
    );
    if (best === null || margin < best.margin) best = { id: site.id, stack, fixing: standing.fixing, margin };
  }
  return best;
}
