import { type ScrewFigures, screwFigures, withHead } from '@bedledger/fasteners';
import { bedState, type Fact, type FactOf, type MachineRecord } from '@bedledger/fleet';

/** Two ledgers of one machine: what is so, and what the issued files were made from. */
export interface TwoWorlds {
  readonly so: MachineRecord;
  readonly believed: MachineRecord;
}

/** A way in which the facts that files were made from may be other than what is so. */
export interface FactOperator {
  readonly id: string;
  readonly title: string;
  /** Null where the machine has no such fact. */
  readonly worlds: (record: MachineRecord) => TwoWorlds | null;
}

function withFacts(record: MachineRecord, facts: readonly Fact[]): MachineRecord {
  const ledger = { facts };
  return { ...record, ledger, state: bedState(ledger, record.machine) };
}

/** The last fact of the present board, or of the bed, that `change` changes; null from it leaves the fact out. */
function lastChanged(
  record: MachineRecord,
  change: (fact: Fact) => Fact | null | undefined,
): TwoWorlds | null {
  const { facts } = record.ledger;
  for (let k = facts.length - 1; k >= 0; k--) {
    const made = change(facts[k]!);
    if (made === undefined) continue;
    const other = [...facts.slice(0, k), ...(made ? [made] : []), ...facts.slice(k + 1)];
    return { so: record, believed: withFacts(record, other) };
  }
  return null;
}

const pocketed = (fact: Fact): fact is FactOf<'pocket' | 'board'> =>
  fact.fact === 'pocket' || (fact.fact === 'board' && fact.pocketed);

function screw(
  id: string,
  title: string,
  change: (screw: ScrewFigures) => Partial<ScrewFigures> | null,
): FactOperator {
  return {
    id,
    title,
    worlds: (record) =>
      lastChanged(record, (fact) => {
        if (fact.fact !== 'screws') return undefined;
        const changed = change(fact);
        return changed ? { ...fact, ...changed } : undefined;
      }),
  };
}

function pocket(
  id: string,
  title: string,
  change: (fact: FactOf<'pocket' | 'board'>) => Partial<FactOf<'pocket'>> | null,
): FactOperator {
  return {
    id,
    title,
    worlds: (record) =>
      lastChanged(record, (fact) => {
        if (!pocketed(fact)) return undefined;
        const { fact: _, date: __, ...changed } = { fact: '', date: '', ...change(fact) };
        return { ...fact, ...changed } as Fact;
      }),
  };
}

const grown = (all: Readonly<Record<string, number>>, by: number): Record<string, number> =>
  Object.fromEntries(Object.entries(all).map(([site, d]) => [site, d + by]));

const headBy = (by: number) => (s: ScrewFigures) => ({
  head: { ...s.head, height: { ...s.head.height, value: s.head.height.value + by } },
});

/** Facts of what is made, each believed otherwise than it is. */
export const FACT_OPERATORS: readonly FactOperator[] = [
  screw('F1', 'heads lower than those that stand', headBy(-1)),
  screw('F2', 'heads higher than those that stand', headBy(1)),
  screw(
    'F3',
    'a thinner washer',
    ({ washer }) =>
      washer && {
        washer: { ...washer, thickness: { ...washer.thickness, value: washer.thickness.value / 2 } },
      },
  ),
  screw('F4', 'a washer forgotten', ({ washer }) => washer && { washer: null }),
  screw('F5', 'a shorter screw, with less thread engaged', ({ length }) => ({ length: length - 4 })),
  screw('F6', 'heads known more closely than they are', ({ head }) => ({
    head: { ...head, height: { ...head.height, uncertainty: 0 } },
  })),
  {
    id: 'F7',
    title: 'a swap to higher heads that nobody recorded',
    worlds: (record) => {
      const driven = record.ledger.facts.findLast((f): f is FactOf<'screws'> => f.fact === 'screws');
      const other = withHead(record.planned, 'iso4762-socket-cap');
      if (!driven || !other || !record.state.board?.pocketed) return null;
      const swap: Fact = {
        fact: 'screws',
        date: record.ledger.facts.at(-1)!.date,
        how: 'swapped',
        ...screwFigures(other, driven.length),
      };
      return { so: withFacts(record, [...record.ledger.facts, swap]), believed: record };
    },
  },
  pocket('F8', 'floors higher than they were cut', ({ pocketFloor }) =>
    pocketFloor === undefined ? null : { pocketFloor: pocketFloor + 0.5 },
  ),
  pocket('F9', 'floors lower than they were cut', ({ pocketFloor }) =>
    pocketFloor === undefined ? null : { pocketFloor: pocketFloor - 0.5 },
  ),
  pocket('F10', 'holes wider than they are', ({ holes, holeDiameter }) =>
    holes ? { holes: grown(holes, 0.5) } : { holeDiameter: (holeDiameter ?? 7) + 0.5 },
  ),
  pocket('F11', 'pockets wider than they are', ({ pockets, pocketDiameter }) =>
    pockets ? { pockets: grown(pockets, 1) } : { pocketDiameter: (pocketDiameter ?? 24) + 1 },
  ),
  {
    id: 'F12',
    title: 'pockets forgotten: the board is believed uncut',
    worlds: (record) => lastChanged(record, (fact) => (fact.fact === 'pocket' ? null : undefined)),
  },
  {
    id: 'F13',
    title: 'screws forgotten',
    worlds: (record) => lastChanged(record, (fact) => (fact.fact === 'screws' ? null : undefined)),
  },
  {
    id: 'F14',
    title: 'a skim forgotten: the board is believed thicker',
    worlds: (record) => lastChanged(record, (fact) => (fact.fact === 'skim' ? null : undefined)),
  },
  {
    id: 'F15',
    title: 'a board read thinner than it is',
    worlds: (record) =>
      lastChanged(record, (fact) =>
        fact.fact === 'skim' || fact.fact === 'board'
          ? { ...fact, thickness: fact.thickness.map((t) => t - 0.3) }
          : undefined,
      ),
  },
  {
    id: 'F16',
    title: 'an insert forgotten',
    worlds: (record) => lastChanged(record, (fact) => (fact.fact === 'insert' ? null : undefined)),
  },
  {
    id: 'F17',
    title: 'an insert believed a tenth of a millimetre beside its place',
    worlds: (record) =>
      lastChanged(record, (fact) =>
        fact.fact === 'insert' ? { ...fact, at: [fact.at[0] + 0.1, fact.at[1]] } : undefined,
      ),
  },
  {
    id: 'F18',
    title: 'an insert longer than the one that was set',
    worlds: (record) =>
      lastChanged(record, (fact) =>
        fact.fact === 'insert' && fact.figures
          ? {
              ...fact,
              figures: {
                ...fact.figures,
                length: { ...fact.figures.length, value: fact.figures.length.value + 2 },
              },
            }
          : undefined,
      ),
  },
  {
    id: 'F19',
    title: 'a board believed to be held at another site',
    worlds: (record) => {
      const sites = [...record.state.sites.keys()];
      const other = sites.find((site) => site !== record.state.board?.held && site !== sites[0]);
      return lastChanged(record, (fact) =>
        pocketed(fact) && other !== undefined ? { ...fact, held: other } : undefined,
      );
    },
  },
];
