import type { Fixing, Stack } from '../model.ts';
import { lengthName } from '../stack/length-name.ts';

/** What one machine needs, as the bill asks for it. */
export interface BillMachine {
  readonly id: string;
  readonly sites: readonly {
    readonly fixing: Fixing;
    readonly stack: Stack;
    /** The insert is in the bed already: neither insert nor adhesive is bought for it. */
    readonly insertSet: boolean;
  }[];
  readonly boards: readonly { readonly title: string; readonly count: number }[];
}

export interface BillLine {
  readonly item: 'insert' | 'adhesive' | 'screw' | 'washer' | 'board';
  /** What to ask for in a shop: `screw M6 × 20, iso4017-hex, pa66`. */
  readonly description: string;
  readonly unit: 'piece' | 'ml';
  readonly needed: number;
  readonly spare: number;
  /** Needed and spare together, whole pieces or millilitres. */
  readonly buy: number;
  /** Machines that need it, in the order given. */
  readonly machines: readonly string[];
}

const ORDER: readonly BillLine['item'][] = ['insert', 'adhesive', 'screw', 'washer', 'board'];
const number = (value: number): string => String(Number(value.toFixed(2)));

/**
 * Bill of materials of one machine or of a fleet: inserts and adhesive still to be set, screws, washers, boards.
 * `spares` is the house's share (0.1 = 10 %): at least one piece more of every small part, none for boards, none for
 * adhesive (its volume holds the house's spare already). A fleet shares its spares, so ask once for all machines.
 * Throws RangeError for a negative share.
 */
export function billOfMaterials(machines: readonly BillMachine[], spares: number): BillLine[] {
  if (!(spares >= 0) || !Number.isFinite(spares)) {
    throw new RangeError(`the share of spares must be 0 or more, not ${spares}`);
  }
  const lines = new Map<
    string,
    { item: BillLine['item']; description: string; needed: number; machines: Set<string> }
  >();
  const add = (item: BillLine['item'], description: string, amount: number, machine: string): void => {
    const key = `${item}\n${description}`;
    const line = lines.get(key) ?? { item, description, needed: 0, machines: new Set<string>() };
    line.needed += amount;
    line.machines.add(machine);
    lines.set(key, line);
  };
  for (const machine of machines) {
    for (const { fixing, stack, insertSet } of machine.sites) {
      const { screw, insert, washer } = fixing;
      if (!insertSet) {
        add(
          'insert',
          `insert ${insert.thread.designation}, ${insert.material}, ${number(insert.outside.value)} × ${number(insert.length.value)} mm`,
          1,
          machine.id,
        );
        add('adhesive', 'adhesive for inserts', stack.adhesiveVolume / 1000, machine.id);
      }
      add(
        'screw',
        `screw ${screw.thread.designation} × ${lengthName(screw.thread.designation, stack.screwLength)}, ${screw.head}, ${screw.material}`,
        1,
        machine.id,
      );
      if (washer !== undefined) {
        add(
          'washer',
          `washer ${number(washer.inside.value)} × ${number(washer.outside.value)} × ${number(washer.thickness.value)} mm (${washer.inside.from.standard})`,
          1,
          machine.id,
        );
      }
    }
    for (const board of machine.boards)
      if (board.count > 0) add('board', board.title, board.count, machine.id);
  }
  return [...lines.values()]
    .map(({ item, description, needed, machines: users }): BillLine => {
      const piece = item !== 'adhesive';
      const spare =
        item === 'board' || !piece || spares === 0 ? 0 : Math.max(1, Math.ceil(needed * spares - 1e-9));
      return {
        item,
        description,
        unit: piece ? 'piece' : 'ml',
        needed: piece ? needed : Number(needed.toFixed(3)),
        spare,
        buy: piece ? needed + spare : Math.ceil(needed - 1e-9),
        machines: [...users],
      };
    })
    .sort(
      (a, b) =>
        ORDER.indexOf(a.item) - ORDER.indexOf(b.item) ||
        (a.description < b.description ? -1 : a.description > b.description ? 1 : 0),
    );
}
