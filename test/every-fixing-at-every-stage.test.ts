import { changeWords, machineStatus } from '@bedledger/bedwork';
import { checkIssued } from '@bedledger/checker';
import { type Fixing, resolveFixing, withHead, withWasher } from '@bedledger/fasteners';
import { bedState, type Fact, type House, type MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { type IssuedSet, issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { diver, FLOOR, HEX, STAGES, type Stage, skim, staged, THICKNESS } from './support/staged-machine.ts';

/*
 * A machine from the bed that nobody measured to a worn board, and at every stage the profile asks for another fixing of every
 * kind. What is made stays as it was made; what is not made follows the wish; figures are worked out below by hand:
 *
 *   top of a head = floor + washer at its thickest + head at its highest
 *   replaced at   = top + the house's cover + what a reading of the thickness may err
 *
 * Published: ISO 4017 M6 k 4 ± 0.15, M5 k max 3.65; ISO 4762 M6 k max 6; lengths js15: 16 ± 0.35, 20 ± 0.42. The house: web 5,
 * cover 1.5, reading ± 0.05, so the floor is cut at 5 + 0.05.
 */
const WASHER = 1.6 + 0.1;
const HEX_TOP = FLOOR + WASHER + 4.15;
const READING = 0.05;
const COVER = 1.5;

const m5 = resolveFixing('m5-hex-nylon', {
  title: 'M5 nylon hexagon screw',
  thread: 'M5',
  screw: { head: 'iso4017-hex', material: 'pa66' },
  insert: { measured: { outside: 9.52, length: 13, taper: 0, by: 'caliper', uncertainty: 0.02 } },
  washer: { inside: 5.4, outside: 22, thickness: 1.6, uncertainty: 0.1, by: 'caliper' },
  socket: { size: 8, measured: { outside: 12.6, by: 'caliper', uncertainty: 0.05 } },
}).fixing!;

const washer = (outside: number, thickness: number): Fixing =>
  withWasher(HEX, {
    ...HEX.washer!,
    outside: { ...HEX.washer!.outside, value: outside },
    thickness: { ...HEX.washer!.thickness, value: thickness },
  });
const socket = (outside: number): Fixing => ({
  ...HEX,
  socket: { outside: { ...HEX.socket.outside, value: outside } },
});
const rules = (stack: Partial<House['stack']>): House => ({
  ...diver.house,
  stack: { ...diver.house.stack, ...stack },
});

type Verdict = 'tool' | 'swap' | 'next-board' | 'never' | null;
interface Kind {
  readonly planned: Fixing;
  readonly house?: House;
  /** Top of the head where the wish still decides pocket and screw, and where the pocket is cut. */
  readonly wishedTop: number;
  readonly inPocketTop?: number;
  readonly cover?: number;
  /** With the board on its screws: at 18 and 17 mm, and worn to 13.9 mm. */
  readonly verdict: Verdict;
  readonly worn?: Verdict;
  /** A word of what is said about it. */
  readonly says: RegExp;
}

const KINDS: Readonly<Record<string, Kind>> = {
  // 5.05 + 1.7 + 6 = 12.75; with cover and reading 14.30, and a worn board has 13.9
  'another head': {
    planned: withHead(HEX, 'iso4762-socket-cap')!,
    wishedTop: FLOOR + WASHER + 6,
    verdict: 'swap',
    worn: 'next-board',
    says: /socket cap|M6 × 16/,
  },
  // the end may reach 13 − 0.02 − 0.5 = 12.48: floor 20 + 0.42 − 1.5 + 0.05 − 12.48 = 6.49; in 5.05 it bottoms
  'another length': {
    planned: { ...HEX, screw: { ...HEX.screw, lengths: [20] } },
    wishedTop: 6.49 + WASHER + 4.15,
    inPocketTop: HEX_TOP,
    verdict: 'next-board',
    says: /end of the screw|bottom/,
  },
  // 5.05 + 3.1 + 4.15 = 12.30; with cover and reading 13.85: even the worn board has it
  'a thicker washer': {
    planned: washer(22, 3),
    wishedTop: FLOOR + 3.1 + 4.15,
    verdict: 'swap',
    says: /each with its washer/,
  },
  // 30.1 across does not enter 24.5
  'a wider washer': { planned: washer(30, 1.6), wishedTop: HEX_TOP, verdict: 'next-board', says: /pocket/ },
  'another thread': {
    planned: m5,
    wishedTop: FLOOR + WASHER + 3.65,
    verdict: 'never',
    says: /will ever go into the inserts/,
  },
  'another insert': {
    planned: { ...HEX, insert: { ...HEX.insert, length: { ...HEX.insert.length, value: 12 } } },
    wishedTop: HEX_TOP,
    verdict: null,
    says: /stay in the bed/,
  },
  'a slimmer socket': {
    planned: socket(14),
    wishedTop: HEX_TOP,
    verdict: 'tool',
    says: /enters every pocket/,
  },
  'a stouter socket': { planned: socket(30), wishedTop: HEX_TOP, verdict: 'next-board', says: /pocket/ },
  'another pocket clearance': {
    planned: HEX,
    house: rules({ pocketClearance: 4 }),
    wishedTop: HEX_TOP,
    verdict: null,
    says: /the next board: pockets 26\.\d/,
  },
  'another house rule': {
    planned: HEX,
    house: rules({ coverMin: 3 }),
    wishedTop: HEX_TOP,
    cover: 3,
    verdict: null,
    says: /the next board/,
  },
};

const MADE: readonly Stage[] = ['screwed', 'skimmed', 'worn'];
const issuedSets = new Map<string, IssuedSet>();
function issued(stage: Stage, name: string): IssuedSet {
  const key = `${stage} ${name}`;
  const { planned, house } = KINDS[name]!;
  const set = issuedSets.get(key) ?? issueMachine(staged(stage, planned, house));
  issuedSets.set(key, set);
  return set;
}

describe.each(Object.entries(KINDS))('%s', (name, kind) => {
  test.each(STAGES.map(([stage]) => stage))('asked for when the machine is %s', (stage) => {
    const { plan, findings } = issued(stage, name);
    // No insert ever takes the M5 screw: while the board is not on its screws nothing may be issued for it.
    const stops = findings.filter((f) => f.severity === 'stop').map((f) => f.code);
    expect(stops).toEqual(stage === 'inserted' && kind.verdict === 'never' ? ['stack/thread-differs'] : []);
    const thickness = THICKNESS[stage];
    if (thickness === undefined || stops.length > 0) {
      expect(plan.change).toBeNull();
      return;
    }
    const made = MADE.includes(stage);
    const pocketed = stage !== 'boarded';
    const top = made ? HEX_TOP : pocketed ? (kind.inPocketTop ?? kind.wishedTop) : kind.wishedTop;
    const replaceAt = top + (kind.cover ?? COVER) + READING;
    for (const stack of plan.stacks.values()) expect(stack.headTop).toBeCloseTo(top, 9);
    const life = machineStatus(plan).life!;
    expect(life.replaceAt).toBeCloseTo(replaceAt, 9);
    expect(life.skims).toBe(Math.max(0, Math.floor((thickness - replaceAt) / 0.4 + 1e-9)));
    if (!made) {
      expect(plan.change).toBeNull();
      return;
    }
    const verdict = stage === 'worn' && kind.worn !== undefined ? kind.worn : kind.verdict;
    expect(plan.change?.kind ?? null).toBe(verdict);
    const swap = plan.steps.find(({ title }) => title === 'Swap the screws');
    expect(swap !== undefined).toBe(verdict === 'swap');
    if (verdict === 'swap') {
      for (const stack of plan.change!.after.values()) expect(stack.headTop).toBeCloseTo(kind.wishedTop, 9);
      expect(plan.bill.some(({ note }) => note.includes('to swap'))).toBe(true);
    }
    const words = changeWords(plan);
    if (verdict !== 'swap' || kind.worn === undefined)
      expect([...words.now, ...words.next, ...words.never].join('\n')).toMatch(kind.says);
  });

  test('the skim of a board on its screws is that of the screws that stand, or withheld for those that are to come', () => {
    const plain = issueMachine(staged('skimmed', HEX, kind.house)).files.get('programs/surface.ngc');
    expect(plain).toBeDefined();
    expect(issued('skimmed', name).files.get('programs/surface.ngc')).toBe(plain);
  });
});

describe('heads that are to be swapped in', () => {
  const cap = KINDS['another head']!.planned;
  // 14.6 mm: cap heads need 14.30 now, and a skim of 0.4 would leave 14.2
  const near = (planned: Fixing, ...more: Fact[]): MachineRecord => {
    const record = staged('skimmed', planned);
    const ledger = {
      facts: [...record.ledger.facts, skim('2026-06-01', 1.2, 15.8), skim('2026-08-01', 1.2, 14.6), ...more],
    };
    return { ...record, ledger, state: bedState(ledger, record.machine) };
  };

  test('no skim takes the cover that they will need, until the swap is recorded or given up', () => {
    const asked = issueMachine(near(cap));
    expect(asked.plan.change?.kind).toBe('swap');
    expect(asked.files.has('programs/surface.ngc')).toBe(false);
    expect(asked.plan.withheld.find((w) => w.operation === 'surface')?.reason).toMatch(
      /once its screw is swapped.*record it .*--swapped.*or take .* out of the profile/,
    );
    const before = issueMachine(near(HEX));
    expect(before.files.has('programs/surface.ngc')).toBe(true);
  });

  test('the checker stops the skim that was made before the wish, on its own reading', () => {
    const made = issueMachine(near(HEX));
    const files = issuedFiles('diver', made.files, made.manifest);
    const cover = checkIssued(near(cap), files).findings.find((f) => f.code === 'work/cover');
    expect(cover?.message).toMatch(/over the head that is to be swapped in/);
    expect(checkIssued(near(HEX), files).findings.filter((f) => f.severity === 'stop')).toEqual([]);
  });
});
