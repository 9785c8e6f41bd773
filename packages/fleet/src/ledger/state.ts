import type { Diagnostic } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import type { Fault } from '../checks/fault.ts';
import type { BedState, BoardState, Fact, IsoDate, Ledger, SiteState } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';

interface SiteEntry {
  state: SiteState;
  at: Point;
  insert?: string;
  depth?: number;
  diameter?: number;
  date: IsoDate;
}

const BEFORE: Readonly<Record<'mark' | 'bore' | 'insert', readonly SiteState[]>> = {
  mark: ['none', 'filled'],
  bore: ['marked'],
  insert: ['bored'],
};

/** Two records of one site this far apart are not one hole: half a millimetre is more than any reading error. */
const SAME_PLACE = 0.5;

function away(a: Point, b: Point): number {
  const dx = a[0] - b[0];
  const dy = a[1] - b[1];
  return Math.sqrt(dx * dx + dy * dy);
}

function mean(values: readonly number[]): number {
  let sum = 0;
  for (const v of values) sum += v;
  return sum / values.length;
}

function least(values: readonly number[]): number {
  let low = Number.POSITIVE_INFINITY;
  for (const v of values) if (v < low) low = v;
  return low;
}

/** Fold the facts, oldest first, and note every step that cannot have happened. Paths are below `facts`. */
export function foldLedger(ledger: Ledger, machine?: Machine): { state: BedState; faults: Fault[] } {
  const sites = new Map<string, SiteEntry>();
  const faults: Fault[] = [];
  let board = null as BoardState | null;
  let ordinal = 0;
  let latestHeights: string | null = null;
  let latestSurvey: IsoDate | null = null;
  let last: IsoDate | null = null;
  const zones = machine ? new Set(machine.bed.zones.map((z) => z.id)) : null;

  const fault = (
    i: number,
    field: string | null,
    word: string,
    severity: 'stop' | 'warn' | 'note',
    message: string,
    help: string,
  ) => faults.push({ word, path: ['facts', i, ...(field === null ? [] : [field])], severity, message, help });

  for (const [i, f] of ledger.facts.entries()) {
    if (last !== null && f.date < last) {
      fault(
        i,
        'date',
        'date-order',
        'warn',
        `the fact of ${f.date} stands after one of ${last}`,
        'facts are read in the order of the file; correct the date, or leave it when it was written down late',
      );
    }
    // Against the fact before it, not the latest of all: one wrong date is one finding.
    last = f.date;

    switch (f.fact) {
      case 'mark':
      case 'bore':
      case 'insert':
        stepSite(i, f);
        break;
      case 'fill': {
        const entry = sites.get(f.site);
        if (!entry || entry.state === 'none' || entry.state === 'filled') {
          fault(
            i,
            'site',
            'impossible-order',
            'stop',
            `site ${f.site} is filled, but nothing was ever ${entry ? 'made there since it was last filled' : 'recorded there'}`,
            'correct the site, or record what was there first',
          );
          break;
        }
        sites.set(f.site, { state: 'filled', at: entry.at, date: f.date });
        break;
      }
      case 'board': {
        ordinal += 1;
        const thickness = mean(f.thickness);
        checkSpread(i, f.thickness);
        board = {
          fitted: f.date,
          stock: f.stock,
          thickness,
          thinnest: least(f.thickness),
          thicknessWhenFitted: thickness,
          skims: 0,
          pocketed: f.pocketed,
          ...(f.screwLength === undefined ? {} : { screwLength: f.screwLength }),
          ...(f.pocketFloor === undefined ? {} : { pocketFloor: f.pocketFloor }),
          history: [{ date: f.date, thickness }],
          ordinal,
        };
        // A map of the old board says nothing about the new one.
        latestHeights = null;
        break;
      }
      case 'pocket': {
        if (!board) {
          fault(
            i,
            'fact',
            'impossible-order',
            'stop',
            'pockets were made, but no board is recorded as fitted',
            'record the board first',
          );
          break;
        }
        if (board.pocketed) {
          fault(
            i,
            'fact',
            'impossible-order',
            'warn',
            'pockets were made in a board that has them already',
            'record a note when they were made deeper',
          );
        }
        board = {
          ...board,
          pocketed: true,
          ...(f.screwLength === undefined ? {} : { screwLength: f.screwLength }),
          ...(f.pocketFloor === undefined ? {} : { pocketFloor: f.pocketFloor }),
        };
        break;
      }
      case 'skim': {
        if (!board) {
          fault(
            i,
            'fact',
            'impossible-order',
            'stop',
            'a board was surfaced, but none is recorded as fitted',
            'record the board first',
          );
          break;
        }
        const thickness = mean(f.thickness);
        checkSpread(i, f.thickness);
        if (thickness > board.thickness + 0.05) {
          fault(
            i,
            'thickness',
            'grows',
            'stop',
            `the board is ${thickness.toFixed(3)} mm thick after a skim, but was ${board.thickness.toFixed(3)} mm before it`,
            'measure again, or record the new board that was fitted in between',
          );
        } else if (Math.abs(board.thickness - thickness - f.commanded) > Math.max(0.5, f.commanded)) {
          fault(
            i,
            'thickness',
            'skim-differs',
            'warn',
            `the skim of ${f.commanded.toFixed(3)} mm took ${(board.thickness - thickness).toFixed(3)} mm off`,
            'measure the thickness again in several places',
          );
        }
        board = {
          ...board,
          thickness,
          thinnest: least(f.thickness),
          skims: board.skims + 1,
          history: [...board.history, { date: f.date, thickness }],
        };
        // The surface the map was taken of is gone.
        latestHeights = null;
        break;
      }
      case 'heights':
        if (!board) {
          fault(
            i,
            'fact',
            'impossible-order',
            'warn',
            'a height map was taken, but no board is recorded as fitted',
            'record the board first',
          );
        }
        latestHeights = f.file;
        break;
      case 'survey':
        if (latestSurvey === null || f.date >= latestSurvey) latestSurvey = f.date;
        break;
      case 'vacuum':
        if (f.zone !== undefined && zones && !zones.has(f.zone)) {
          fault(
            i,
            'zone',
            'unknown-zone',
            'warn',
            `the bed has no zone \`${f.zone}\``,
            `the zones are ${[...zones].join(', ')}`,
          );
        }
        if (f.uncovered !== undefined && f.uncovered > f.covered + 1) {
          fault(
            i,
            'uncovered',
            'vacuum-order',
            'warn',
            'the bare board reads a higher vacuum than the sealed one',
            'the two readings may be exchanged',
          );
        }
        for (const [field, value] of [
          ['covered', f.covered],
          ['uncovered', f.uncovered],
        ] as const) {
          if (value !== undefined && value > 101_325) {
            fault(
              i,
              field,
              'vacuum-range',
              'stop',
              `a gauge reading of ${Math.round(value)} Pa is more than the whole atmosphere, 101325 Pa`,
              'correct the reading or its unit',
            );
          }
        }
        break;
      case 'moisture':
      case 'time':
      case 'note':
        break;
    }
  }

  const inserts = [...sites]
    .filter(([, s]) => s.state === 'set')
    .map(([site, s]) => ({ site, at: s.at, insert: s.insert! }));
  return { state: { sites, inserts, board, latestHeights, latestSurvey }, faults };

  function stepSite(i: number, f: Extract<Fact, { fact: 'mark' | 'bore' | 'insert' }>): void {
    const entry = sites.get(f.site);
    const state = entry?.state ?? 'none';
    if (state === 'set') {
      fault(
        i,
        'site',
        'impossible-order',
        'stop',
        `site ${f.site} has an insert since ${entry!.date}, and is recorded as ${WORD[f.fact]} again`,
        `record \`fact: fill\` for ${f.site} first when the old hole was filled`,
      );
      return;
    }
    if (f.fact !== 'mark' && (state === 'none' || state === 'filled' || !BEFORE[f.fact].includes(state))) {
      if (f.fact === 'bore' && state === 'bored') {
        fault(
          i,
          'site',
          'repeated',
          'warn',
          `site ${f.site} is recorded as bored twice`,
          'the later record counts',
        );
      } else {
        const needed = f.fact === 'bore' ? 'marked' : 'bored';
        fault(
          i,
          'site',
          'skipped-step',
          'warn',
          `site ${f.site} is recorded as ${WORD[f.fact]}, but never as ${needed}`,
          `record that it was ${needed}, with its date`,
        );
      }
    } else if (f.fact === 'mark' && !BEFORE.mark.includes(state)) {
      fault(
        i,
        'site',
        'repeated',
        state === 'marked' ? 'note' : 'warn',
        `site ${f.site} is recorded as marked, and is ${state} already`,
        'the later record counts',
      );
      if (state === 'bored') return;
    }
    if (entry && state !== 'filled') {
      const d = away(entry.at, f.at);
      if (d > SAME_PLACE) {
        fault(
          i,
          'at',
          'moved',
          'stop',
          `site ${f.site} is recorded ${d.toFixed(2)} mm from where it was ${state}`,
          'a hole does not move: correct one of the two positions',
        );
      }
    }
    sites.set(f.site, {
      state: f.fact === 'mark' ? 'marked' : f.fact === 'bore' ? 'bored' : 'set',
      at: f.at,
      date: f.date,
      ...(f.fact === 'insert' ? { insert: f.insert } : {}),
      ...(f.fact === 'bore'
        ? { depth: f.depth, diameter: f.diameter }
        : f.fact === 'insert' && entry?.depth !== undefined
          ? { depth: entry.depth, diameter: entry.diameter! }
          : {}),
    });
  }

  function checkSpread(i: number, values: readonly number[]): void {
    let high = Number.NEGATIVE_INFINITY;
    for (const v of values) if (v > high) high = v;
    const spread = high - least(values);
    if (spread > 1.5) {
      fault(
        i,
        'thickness',
        'spread',
        'warn',
        `the readings differ by ${spread.toFixed(2)} mm`,
        'measure again; one of them may be a typing error',
      );
    }
  }
}

const WORD = { mark: 'marked', bore: 'bored', insert: 'set' } as const;

/**
 * What the facts add up to: the state of every site, the inserts in the bed, the board that is on it. Pure; never throws.
 * Positions are those of the facts (surveyed bed frame, mm). Impossible sequences are in `ledgerFindings`.
 */
export function bedState(ledger: Ledger, machine?: Machine): BedState {
  return foldLedger(ledger, machine).state;
}

/** Steps that cannot have happened: set twice (stop), set without a bore (warn), a hole that moves (stop), a board that grows (stop). */
export function ledgerFindings(ledger: Ledger, machine?: Machine): Diagnostic[] {
  return foldLedger(ledger, machine).faults.map((f) => ({
    code: `ledger/${f.word}`,
    severity: f.severity ?? 'stop',
    message: f.message,
    facts: { entry: Number(f.path[1]) + 1 },
    ...(f.help ? { help: f.help } : {}),
  }));
}
