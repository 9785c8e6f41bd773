import { join } from 'node:path';
import { type Fixing, insertFigures, screwFigures } from '@bedledger/fasteners';
import { bedState, type Fact, type House, loadFleet, type MachineRecord } from '@bedledger/fleet';

/*
 * A small machine from the bed that nobody measured to a worn board, stage by stage. Floors are cut at 5.05 mm, the web of the
 * house and what a reading may err; screws are M6 hexagon screws of 16 mm with a washer of 1.6 mm.
 */
const FLEET = join(import.meta.dirname, '../fixtures/fleets/surveys');
export const diver = loadFleet(FLEET).machines.find(({ id }) => id === 'diver')!.record!;
export const HEX = diver.planned;

export const FLOOR = 5.05;

const dated = <T extends object>(day: string, fact: T): T & { date: string } => ({ ...fact, date: day });
const ofBed = (kind: 'mark' | 'bore'): Fact[] => diver.ledger.facts.filter(({ fact }) => fact === kind);
const INSERTS = ofBed('mark').map((fact): Fact => {
  if (fact.fact !== 'mark') throw new Error('not a mark');
  const { site, at } = fact;
  return { fact: 'insert', date: '2026-01-06', site, at, insert: 'bush', figures: insertFigures(HEX.insert) };
});
export const skim = (day: string, commanded: number, thickness: number): Fact =>
  dated(day, { fact: 'skim' as const, commanded, thickness: [thickness] });

/** What happened, in order: the stages of the machine and the facts that bring it there. */
export const STAGES = [
  ['unsurveyed', []],
  ['surveyed', [dated('2026-01-01', { fact: 'survey' as const, file: 'survey.csv' })]],
  ['marked', ofBed('mark')],
  ['bored', ofBed('bore')],
  [
    'boarded',
    [
      dated('2026-01-04', {
        fact: 'board' as const,
        stock: 'mdf-18',
        thickness: [18],
        skimmed: 'none' as const,
        pocketed: false,
      }),
    ],
  ],
  [
    'pocketed',
    [
      dated('2026-01-05', {
        fact: 'pocket' as const,
        screwLength: 16,
        pocketFloor: FLOOR,
        floorFrom: 'planned' as const,
        pocketDiameter: 24.5,
        holeDiameter: 7.6,
      }),
    ],
  ],
  ['inserted', INSERTS],
  [
    'screwed',
    [dated('2026-01-08', { fact: 'screws' as const, how: 'driven' as const, ...screwFigures(HEX, 16) })],
  ],
  ['skimmed', [skim('2026-01-09', 0.4, 17.6), skim('2026-03-01', 0.6, 17)]],
  ['worn', [skim('2026-05-01', 1.1, 15.9), skim('2026-07-01', 1, 14.9), skim('2026-09-01', 1, 13.9)]],
] as const satisfies readonly (readonly [string, readonly Fact[]])[];

export type Stage = (typeof STAGES)[number][0];
export const THICKNESS: Partial<Record<Stage, number>> = {
  boarded: 18,
  pocketed: 18,
  inserted: 18,
  screwed: 18,
  skimmed: 17,
  worn: 13.9,
};

/** The machine at a stage, with what its profile and its house ask for. */
export function staged(stage: Stage, planned: Fixing = HEX, house: House = diver.house): MachineRecord {
  const upTo = STAGES.findIndex(([name]) => name === stage);
  const facts: Fact[] = STAGES.slice(0, upTo + 1).flatMap(([, made]) => [...made]);
  const ledger = { facts };
  return {
    ...diver,
    planned,
    house,
    ledger,
    survey: stage === 'unsurveyed' ? null : diver.survey,
    state: bedState(ledger, diver.machine),
  };
}
