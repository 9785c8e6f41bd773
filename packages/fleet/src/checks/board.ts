import { bounds } from '@bedledger/geometry';
import { boardRegion } from '../features/regions.ts';
import type { SharedData } from '../load/shared.ts';
import { DUTIES, type Duty, type Machine } from '../model/machine.ts';
import type { CutterKind } from '../model/shared.ts';
import type { MachineWritten } from '../written/machine.ts';
import type { Fault } from './fault.ts';
import { FaultList, repeated, show } from './report.ts';

/** A nudge longer than this moves a site somewhere else; a person has mistyped. */
const LONGEST_NUDGE = 60;

/** Board, fixing and cutters against bed, travel and the shared lists. */
export function boardFaults(written: MachineWritten, machine: Machine, shared: SharedData): Fault[] {
  const out = new FaultList();
  const { board, travel, units, fixing } = machine;
  const box = bounds(boardRegion(machine));
  const stock = shared.boards?.get(board.stock);

  if (stock) {
    if (board.leastThickness >= stock.thickness) {
      out.stop(
        'least-thickness',
        ['board', 'least_thickness'],
        `the board is replaced below ${show(board.leastThickness, units)}, but ${board.stock} is ${show(stock.thickness, units)} thick when new`,
        'lower `least_thickness`, or choose a thicker stock',
      );
    }
    const [a, b] = board.size;
    const [c, d] = stock.sheet;
    if (!((a <= c + 0.1 && b <= d + 0.1) || (a <= d + 0.1 && b <= c + 0.1))) {
      out.stop(
        'board-larger-than-sheet',
        ['board', 'size'],
        `a board of ${show(a, units)} × ${show(b, units)} cannot be cut from a sheet of ${show(c, units)} × ${show(d, units)}`,
        'correct the size, or choose another stock',
      );
    }
    if (machine.clearHeight <= stock.thickness + 2) {
      out.stop(
        'clear-height',
        ['clear_height'],
        `the clear height ${show(machine.clearHeight, units)} does not clear a board ${show(stock.thickness, units)} thick`,
        `write at least ${show(stock.thickness + 5, units)}`,
      );
    }
    if (board.undersideSkim !== null && board.undersideSkim > stock.thickness / 4) {
      out.stop(
        'not-plausible',
        ['board', 'underside_skim'],
        `an underside skim of ${show(board.undersideSkim, units)} takes more than a quarter of the board`,
        'check the unit',
      );
    }
  }

  const wide = travel.x[1] > travel.x[0] && travel.y[1] > travel.y[0];
  if (wide) {
    const reachX = Math.min(box.maxX, travel.x[1]) - Math.max(box.minX, travel.x[0]);
    const reachY = Math.min(box.maxY, travel.y[1]) - Math.max(box.minY, travel.y[0]);
    if (reachX < (box.maxX - box.minX) / 2 || reachY < (box.maxY - box.minY) / 2) {
      out.stop(
        'board-outside-travel',
        ['board', 'at'],
        'the spindle reaches less than half of the board',
        'correct the board, or the travel',
        { related: { path: ['travel'], message: 'the travel' } },
      );
    } else {
      const cutter = shared.cutters?.get(machine.cutters.surface);
      const radius = cutter ? cutter.diameter / 2 : 0;
      const strips = [
        ['left', travel.x[0] - radius - box.minX],
        ['right', box.maxX - travel.x[1] - radius],
        ['front', travel.y[0] - radius - box.minY],
        ['back', box.maxY - travel.y[1] - radius],
      ] as const;
      for (const [side, width] of strips) {
        if (width > 0.01) {
          out.note(
            'unreachable-strip',
            ['board', 'at'],
            `a strip of ${show(width, units)} at the ${side} of the board cannot be surfaced: the travel ends there`,
            'use a wider surfacing cutter or a smaller board, or surface that strip by other means',
          );
        }
      }
    }
  }

  const { layout, nudges } = fixing;
  if (layout.edge[0] > layout.edge[1]) {
    out.stop(
      'range-reversed',
      ['fixing', 'layout', 'edge'],
      `the edge rule runs from ${show(layout.edge[0], units)} to ${show(layout.edge[1], units)}, expected the least first`,
      'exchange the two numbers',
    );
  } else if (layout.edge[0] * 2 >= Math.min(board.size[0], board.size[1])) {
    out.stop(
      'not-plausible',
      ['fixing', 'layout', 'edge'],
      `outer rows ${show(layout.edge[0], units)} from both edges pass each other on a board ${show(Math.min(board.size[0], board.size[1]), units)} wide`,
      'check the unit',
    );
  }
  if (layout.pitchMax !== null && layout.pitchMax < 30) {
    out.stop(
      'not-plausible',
      ['fixing', 'layout', 'pitch_max'],
      `sites every ${show(layout.pitchMax, units)} are not plausible`,
      'check the unit',
    );
  }
  if (layout.pattern === 'given' && layout.sites.length === 0) {
    out.stop(
      'no-sites',
      ['fixing', 'layout'],
      'the pattern is `given`, but no sites are written out',
      'add `sites`, or choose `aligned` or `fewest`',
    );
  }
  if (layout.pattern !== 'given' && written.fixing.layout.sites !== undefined) {
    out.stop(
      'sites-ignored',
      ['fixing', 'layout', 'sites'],
      `sites are written out, but the pattern is \`${layout.pattern}\``,
      'write `pattern: given`, or leave `sites` out',
    );
  }
  for (const { index, first, id } of repeated(layout.sites)) {
    out.stop(
      'repeated-name',
      ['fixing', 'layout', 'sites', index, 'id'],
      `site \`${id}\` is here twice`,
      'give each its own name',
      { related: { path: ['fixing', 'layout', 'sites', first, 'id'], message: 'the first one' } },
    );
  }
  for (const [i, s] of layout.sites.entries()) {
    if (s.at[0] < box.minX || s.at[0] > box.maxX || s.at[1] < box.minY || s.at[1] > box.maxY) {
      out.stop(
        'site-outside-board',
        ['fixing', 'layout', 'sites', i, 'at'],
        `site ${s.id} is not on the board`,
        'correct its position',
      );
    }
    for (let j = 0; j < i; j++) {
      const other = layout.sites[j]!;
      const dx = other.at[0] - s.at[0];
      const dy = other.at[1] - s.at[1];
      const apart = Math.sqrt(dx * dx + dy * dy);
      if (apart < 25) {
        out.stop(
          'sites-too-close',
          ['fixing', 'layout', 'sites', i, 'at'],
          `sites ${other.id} and ${s.id} are ${show(apart, units)} apart`,
          'their pockets would run into each other: correct one of them',
        );
        break;
      }
    }
  }
  for (const n of nudges) {
    const length = Math.sqrt(n.by[0] * n.by[0] + n.by[1] * n.by[1]);
    const path = ['fixing', 'nudges', n.site, 'by'];
    if (length > LONGEST_NUDGE) {
      out.stop(
        'nudge-too-long',
        path,
        `site ${n.site} is nudged by ${show(length, units)}, expected ${show(LONGEST_NUDGE, units)} at most`,
        'a site that far off belongs elsewhere: check the unit, or write it out with pattern `given`',
      );
    } else if (length === 0) {
      out.warn('nudge-zero', path, `site ${n.site} is nudged by nothing`, 'leave the nudge out');
    }
  }

  cutterFaults(machine, shared, out);
  return out.faults;
}

/** Kinds of cutter that cannot do a duty. */
const UNFIT: Readonly<Record<Duty, readonly CutterKind[]>> = {
  drill: ['surfacing', 'v-point', 'ball'],
  pocket: ['surfacing', 'v-point', 'ball', 'drill'],
  surface: ['v-point', 'ball', 'drill'],
  mark: ['surfacing'],
  trim: ['surfacing', 'v-point', 'ball', 'drill'],
};

/** What a cutter of this duty must be able to do. */
function cutterFaults(machine: Machine, shared: SharedData, out: FaultList): void {
  if (!shared.cutters) return;
  const material = shared.boards?.get(machine.board.stock)?.material;
  const { cutters, spindle, surfacing, units } = machine;
  const checked = new Set<string>();
  for (const duty of DUTIES) {
    const id = cutters[duty];
    const cutter = id === null ? undefined : shared.cutters.get(id);
    if (!cutter) continue;
    const path = ['cutters', duty];
    if (UNFIT[duty].includes(cutter.kind)) {
      out.stop(
        'wrong-cutter',
        path,
        `${cutter.id} is a cutter of kind \`${cutter.kind}\`, which cannot serve for \`${duty}\``,
        'choose another cutter',
      );
      continue;
    }
    if ((duty === 'drill' || duty === 'mark') && !cutter.canPlunge) {
      out.stop(
        'wrong-cutter',
        path,
        `${cutter.id} is not made to plunge, which \`${duty}\` needs`,
        'choose a cutter with `can_plunge: true`',
      );
    }
    // The rest is about the cutter itself: once is enough.
    if (checked.has(cutter.id)) continue;
    checked.add(cutter.id);
    if (cutter.maxRpm !== null && cutter.maxRpm < Math.min(...spindle.rpm)) {
      out.stop(
        'cutter-too-fast',
        path,
        `${cutter.id} may turn at ${cutter.maxRpm} rpm, but the spindle's least speed is ${spindle.rpm[0]} rpm`,
        'choose another cutter',
        { related: { path: ['spindle', 'rpm'], message: 'the speed range' } },
      );
    }
    if (material !== undefined && duty !== 'mark' && cutter.chipLoad[material] === undefined) {
      out.stop(
        'no-chip-load',
        path,
        `${cutter.id} has no chip load for \`${material}\`, the material of the board`,
        `add \`${material}\` to its \`chip_load\` in shared/cutters.yaml`,
      );
    }
    if (machine.controller.toolChange === 'automatic' && cutter.number < 1) {
      out.stop(
        'no-tool-number',
        path,
        `${cutter.id} has tool number ${cutter.number}, but the controller changes tools by number`,
        'give it a number from 1 on in shared/cutters.yaml',
      );
    }
  }
  const surface = shared.cutters.get(cutters.surface);
  if (surface) {
    if (surfacing.overrun >= surface.diameter / 2) {
      out.stop(
        'not-plausible',
        ['surfacing', 'overrun'],
        `an overrun of ${show(surfacing.overrun, units)} takes the centre of a ${show(surface.diameter, units)} cutter off the board`,
        'write less than its radius',
      );
    }
    if (surfacing.depthPerPass > surface.cuttingLength) {
      out.stop(
        'not-plausible',
        ['surfacing', 'depth_per_pass'],
        `a pass of ${show(surfacing.depthPerPass, units)} is deeper than the cutting edges of ${surface.id}, ${show(surface.cuttingLength, units)}`,
        'check the unit',
      );
    }
  }
}
