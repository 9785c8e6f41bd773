import { drillText, lengthText, screwName } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { WorkContext } from '../work/context.ts';

export interface BillLine {
  readonly item: string;
  readonly quantity: number;
  readonly unit: string;
  readonly note: string;
}

/** Screws of the profile's fixing: for a swap, for the next board where this one keeps others, else for this one; none that never fit. */
function screwsToBuy({ change, nextBoard, stacks }: WorkContext): {
  readonly stacks: ReadonlyMap<string, Stack>;
  readonly when: string;
} {
  switch (change?.kind) {
    case 'swap':
      return { stacks: change.after, when: ' to swap' };
    case 'next-board':
      return { stacks: nextBoard?.stacks ?? new Map(), when: ' of the next board' };
    case 'never':
      return { stacks: new Map(), when: '' };
    case 'tool':
    case undefined:
      return { stacks, when: '' };
  }
}

/** What to buy or to have at hand for the sites that are not done yet, spares included and rounded up. */
export function billOf(context: WorkContext): BillLine[] {
  const { record, layout, stacks, house, machine } = context;
  const { planned: fixing, state } = record;
  const spare = (n: number): number => (n === 0 ? 0 : Math.ceil(n * (1 + house.spares) - 1e-9));
  const set = new Set(state.inserts.map((i) => i.site));
  const placed = layout.sites.filter((site) => stacks.has(site.id));
  const open = placed.filter((site) => !set.has(site.id));
  const lines: BillLine[] = [];
  const spares = `${Math.round(house.spares * 100)} % spare`;
  if (open.length > 0) {
    lines.push({
      item: `insert ${fixing.insert.thread.designation}, ${fixing.insert.material}, ${lengthText(fixing.insert.outside.value, machine.units)} outside, ${lengthText(fixing.insert.length.value, machine.units)} long`,
      quantity: spare(open.length),
      unit: 'pieces',
      note: `${open.length} to set, ${spares}`,
    });
    const volume = open.reduce((sum, site) => sum + stacks.get(site.id)!.adhesiveVolume, 0);
    lines.push({
      item: 'adhesive',
      quantity: Math.ceil(volume / 100) / 10,
      unit: 'ml',
      note: `${open.length} bores, ${Math.round(house.stack.adhesiveSpare * 100)} % over the gap`,
    });
    const drill = stacks.get(open[0]!.id)!.handDrill;
    lines.push({
      item: `drill ${drillText(drill, machine.units)} for the bed, with a depth stop`,
      quantity: 1,
      unit: 'pieces',
      note: `set to ${lengthText(drill.depth, machine.units)} below the bed surface`,
    });
  }
  const bought = screwsToBuy(context);
  const lengths = new Map<number, number>();
  for (const { screwLength } of bought.stacks.values()) {
    lengths.set(screwLength, (lengths.get(screwLength) ?? 0) + 1);
  }
  for (const [length, count] of [...lengths].sort(([a], [b]) => a - b)) {
    lines.push({
      item: `screw ${screwName(fixing.screw.thread.designation, length)}, ${fixing.screw.head}, ${fixing.screw.material}`,
      quantity: spare(count),
      unit: 'pieces',
      note: `${count} sites${bought.when}, ${spares}`,
    });
  }
  if (fixing.washer && bought.stacks.size > 0) {
    lines.push({
      item: `washer ${lengthText(fixing.washer.outside.value, machine.units)} outside`,
      quantity: spare(bought.stacks.size),
      unit: 'pieces',
      note: `${bought.stacks.size} sites${bought.when}, ${spares}`,
    });
  }
  if (!state.board) {
    lines.push({
      item: `board ${record.plannedStock.title}, ${lengthText(machine.board.size[0], machine.units)} × ${lengthText(machine.board.size[1], machine.units)}`,
      quantity: 1,
      unit: 'sheets',
      note: 'measure it in several places before it is fitted',
    });
  }
  return lines;
}
