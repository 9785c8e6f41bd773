import { placeText, type Units, writtenLength } from '@bedledger/diagnostics';
import { bounds, containsPoint, type Region } from '@bedledger/geometry';
import { bedRegion } from '../features/regions.ts';
import type { SharedData } from '../load/shared.ts';
import type { FactOf, Ledger } from '../model/ledger.ts';
import { DUTIES, type Machine } from '../model/machine.ts';
import type { BoardStock } from '../model/shared.ts';
import { below, type Findings, type Locator, report } from '../report.ts';
import { boxHolds } from './boxes.ts';

/** A survey may put a site a little outside the nominal outline, never farther than this, mm. */
const BESIDE = 5;
/** Boards are sold this much thicker than their name at most, as a factor. */
const THICKER = 1.15;
/** Thicknesses that some board can have, mm. */
const THINNEST = 1;
const THICKEST = 100;

/** Facts that cannot be of this bed: off its surface, through it, of a board that was never that thick. */
export function* bedFactFindings(
  ledger: Ledger,
  machine: Machine,
  shared: SharedData,
  at: Locator,
): Findings {
  const bed = { machine, region: bedRegion(machine) };
  const onTheBed = ledger.facts.findLastIndex((f) => f.fact === 'board');
  for (const [i, f] of ledger.facts.entries()) {
    const here = below(at, 'facts', i);
    switch (f.fact) {
      case 'bore':
        yield* onBed(f, bed, here);
        yield* boreDepth(f, machine, here);
        break;
      case 'mark':
      case 'insert':
        yield* onBed(f, bed, here);
        break;
      case 'board': {
        const stock = shared.boards?.get(f.stock);
        if (shared.boards && !stock) {
          yield report({
            code: 'ledger/unknown-reference',
            ...here(['stock']),
            severity: i === onTheBed ? 'stop' : 'warn',
            message: `there is no board stock \`${f.stock}\` in shared/boards.yaml`,
          });
        }
        if (stock && i === onTheBed) yield* otherStock(stock, machine, shared, here);
        yield* readings(f.thickness, stock, machine.units, here);
        break;
      }
      case 'skim':
        yield* readings(f.thickness, undefined, machine.units, here);
        break;
      case 'fill':
      case 'pocket':
      case 'screws':
      case 'vouch':
      case 'withdraw':
      case 'heights':
      case 'vacuum':
      case 'moisture':
      case 'survey':
      case 'datum':
      case 'time':
      case 'note':
        break;
      default:
        f satisfies never;
    }
  }
}

/** The board on the bed decides what is cut and how; where it is not what the profile asks for, that is said. */
function* otherStock(fitted: BoardStock, machine: Machine, shared: SharedData, at: Locator): Findings {
  const planned = shared.boards?.get(machine.board.stock);
  if (!planned || planned.id === fitted.id) return;
  const { units } = machine;
  const named = ({ id, material, thickness }: BoardStock): string =>
    `${id} (${material}, ${writtenLength(thickness, units)})`;
  yield report({
    code: 'ledger/other-stock',
    ...at(['stock']),
    severity: fitted.material === planned.material ? 'note' : 'warn',
    message: `the board on the bed is ${named(fitted)}, the profile asks for ${named(planned)}: feeds, air and thickness follow the board on the bed, the next one is to be ${planned.id}`,
  });
  if (fitted.material === planned.material) return;
  for (const duty of DUTIES) {
    const cutter = duty === 'mark' ? undefined : shared.cutters?.get(machine.cutters[duty] ?? '');
    if (!cutter || cutter.chipLoad[fitted.material] !== undefined) continue;
    yield report({
      code: 'ledger/no-chip-load',
      ...at(['stock']),
      message: `${cutter.id}, the cutter for ${duty}, has no chip load for \`${fitted.material}\`, the material of the board on the bed`,
      help: `add \`${fitted.material}\` to its \`chip_load\` in shared/cutters.yaml, or name another cutter for ${duty}`,
    });
  }
}

function* onBed(
  f: FactOf<'mark' | 'bore' | 'insert'>,
  { machine, region }: { readonly machine: Machine; readonly region: Region },
  at: Locator,
): Findings {
  const onIt =
    boxHolds(bounds(region), f.at, -BESIDE) &&
    (machine.bed.outline.kind !== 'polygon' || containsPoint(region, f.at));
  if (onIt) return;
  yield report({
    code: 'ledger/outside-bed',
    each: f.site,
    ...at(['at']),
    message: `site ${f.site} at ${placeText(f.at, machine.units)} is not on the bed`,
  });
}

function* boreDepth(f: FactOf<'bore'>, { bed, units }: Machine, at: Locator): Findings {
  if (f.depth >= bed.thickness) {
    yield report({
      code: 'ledger/bore-depth',
      each: f.site,
      ...at(['depth']),
      message: `the bore at ${f.site} is ${writtenLength(f.depth, units)} deep in a bed ${writtenLength(bed.thickness, units)} thick`,
      help: 'correct the depth or its unit',
    });
  } else if (f.depth > bed.thickness - bed.floor + 1e-9) {
    yield report({
      code: 'ledger/bore-depth',
      each: f.site,
      severity: 'warn',
      ...at(['depth']),
      message: `the bore at ${f.site} leaves ${writtenLength(bed.thickness - f.depth, units)} of the bed, less than its floor ${writtenLength(bed.floor, units)}`,
      help: 'measure it, and correct the depth if it is not so',
    });
  }
}

function* readings(
  thickness: readonly number[],
  stock: BoardStock | undefined,
  units: Units,
  at: Locator,
): Findings {
  const limit = stock ? stock.thickness * THICKER : THICKEST;
  const odd = thickness.findIndex((t) => t > limit || t < THINNEST);
  if (odd < 0) return;
  const when = stock ? ` for ${stock.id}, ${writtenLength(stock.thickness, units)} when new` : '';
  yield report({
    code: 'ledger/not-plausible',
    ...at(['thickness', odd]),
    message: `a reading of ${writtenLength(thickness[odd]!, units)} is not plausible${when}`,
  });
}
