import { bounds, containsPoint } from '@bedledger/geometry';
import { bedRegion } from '../features/regions.ts';
import type { SharedData } from '../load/shared.ts';
import type { Ledger } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';
import type { Fault } from './fault.ts';
import { FaultList, show } from './report.ts';

/** Facts that cannot be of this bed: off its surface, through it, of a board that was never that thick. */
export function ledgerFaults(ledger: Ledger, machine: Machine, shared: SharedData): Fault[] {
  const out = new FaultList();
  const { bed, units } = machine;
  const region = bedRegion(machine);
  const box = bounds(region);
  for (const [i, f] of ledger.facts.entries()) {
    const path = ['facts', i];
    if (f.fact === 'mark' || f.fact === 'bore' || f.fact === 'insert') {
      // A survey may put a site a little outside the nominal outline, never far.
      const far =
        f.at[0] < box.minX - 5 || f.at[0] > box.maxX + 5 || f.at[1] < box.minY - 5 || f.at[1] > box.maxY + 5;
      if (far || (bed.outline.kind === 'polygon' && !containsPoint(region, f.at))) {
        out.stop(
          'outside-bed',
          [...path, 'at'],
          `site ${f.site} at ${show(f.at[0], units)}, ${show(f.at[1], units)} is not on the bed`,
          'correct the position or its unit',
        );
      }
    }
    if (f.fact === 'bore') {
      if (f.depth >= bed.thickness) {
        out.stop(
          'bore-depth',
          [...path, 'depth'],
          `the bore at ${f.site} is ${show(f.depth, units)} deep in a bed ${show(bed.thickness, units)} thick`,
          'correct the depth or its unit',
        );
      } else if (f.depth > bed.thickness - bed.floor + 1e-9) {
        out.warn(
          'bore-depth',
          [...path, 'depth'],
          `the bore at ${f.site} leaves ${show(bed.thickness - f.depth, units)} of the bed, less than its floor ${show(bed.floor, units)}`,
          'measure it, and correct the depth if it is not so',
        );
      }
    }
    if (f.fact === 'board' || f.fact === 'skim') {
      const stock = f.fact === 'board' ? shared.boards?.get(f.stock) : undefined;
      if (f.fact === 'board' && shared.boards && !stock) {
        out.warn(
          'unknown-reference',
          [...path, 'stock'],
          `there is no board stock \`${f.stock}\` in shared/boards.yaml`,
          'keep the stocks of old boards in the list',
        );
      }
      for (const [k, t] of f.thickness.entries()) {
        const limit = stock ? stock.thickness * 1.15 : 100;
        if (t > limit || t < 1) {
          out.stop(
            'not-plausible',
            [...path, 'thickness', k],
            `a reading of ${show(t, units)} is not plausible${stock ? ` for ${stock.id}, ${show(stock.thickness, units)} when new` : ''}`,
            'correct the reading or its unit',
          );
          break;
        }
      }
    }
  }
  return out.faults;
}
