import type { Controller } from '@bedledger/fleet';

/**
 * A deliberately naive second reader, written from the standards and sharing nothing with the writer: one pass over the
 * lines, a dictionary of words a block, plain floating point. Everything it returns is millimetres in the bed frame
 * (work offset at the origin), given where the program's Z 0 is.
 */
export interface Motion {
  readonly kind: 'rapid' | 'feed' | 'arc';
  readonly from: readonly [number, number, number];
  readonly to: readonly [number, number, number];
  readonly line: number;
  readonly centre?: readonly [number, number];
  readonly clockwise?: boolean;
  /** mm/min as written; 0 before any. */
  readonly feed: number;
  readonly spindle: number;
  readonly fromCycle: boolean;
}

export interface Read {
  readonly motions: readonly Motion[];
  readonly dwells: readonly number[];
  readonly stops: readonly number[];
  readonly comments: readonly string[];
  readonly ended: boolean;
}

type Point = [number, number, number];

function numberOf(text: string, letter: string, c: Controller): number {
  const format = 'XYZRQ'.includes(letter)
    ? c.numbers.xyz
    : 'IJ'.includes(letter)
      ? c.numbers.ijk
      : letter === 'F'
        ? c.numbers.feed
        : letter === 'S'
          ? c.numbers.speed
          : letter === 'D'
            ? c.numbers.dwell
            : null;
  if (c.numbers.point !== 'never' || format === null || format.decimals === 0) {
    if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(text)) throw new Error(`not a number: ${letter}${text}`);
    return Number(text);
  }
  const m = /^([+-]?)(\d+)$/.exec(text);
  if (m === null) throw new Error(`not a number without a point: ${letter}${text}`);
  const total = format.integers + format.decimals;
  const digits = c.numbers.suppress === 'trailing' ? m[2]!.padEnd(total, '0') : m[2]!.padStart(total, '0');
  if (digits.length !== total) throw new Error(`too many digits: ${letter}${text}`);
  const value = Number(`${digits.slice(0, format.integers)}.${digits.slice(format.integers)}`);
  return m[1] === '-' ? -value : value;
}

function sweepOf(
  a: readonly number[],
  b: readonly number[],
  c: readonly number[],
  clockwise: boolean,
): number {
  const from = Math.atan2(a[1]! - c[1]!, a[0]! - c[0]!);
  const to = Math.atan2(b[1]! - c[1]!, b[0]! - c[0]!);
  let sweep = clockwise ? from - to : to - from;
  while (sweep <= 1e-12) sweep += 2 * Math.PI;
  return sweep;
}

export function naiveRead(text: string, c: Controller, zeroHeight: number): Read {
  const motions: Motion[] = [];
  const dwells: number[] = [];
  const stops: number[] = [];
  const comments: string[] = [];
  let unit = c.unitsWord === 'none' ? (c.units === 'mm' ? 1 : 25.4) : 0;
  let at: Point = [Number.NaN, Number.NaN, Number.NaN];
  let absolute: boolean | null = null;
  let mode = -1;
  let feed = 0;
  let spindle = 0;
  let speed = 0;
  let retractToStart = true;
  let sticky = { z: Number.NaN, r: Number.NaN };
  let started = Number.NaN;
  let ended = false;
  const bed = (p: Point): Point => [p[0], p[1], p[2] * c.zSign + zeroHeight];
  const lines = text.split(c.lineEnding === 'lf' ? '\n' : c.lineEnding === 'crlf' ? '\r\n' : '\r');
  for (const [index, raw] of lines.entries()) {
    if (/[^\x20-\x7e]/.test(raw))
      throw new Error(`line ${index + 1}: a character that is not printable ASCII`);
    if (raw.length > c.maxLineLength) throw new Error(`line ${index + 1} is too long`);
    if (raw === '' || raw === '%' || /^[O:]\d+$/.test(raw)) continue;
    if (ended) throw new Error('text after the end');
    if (c.comments !== 'none' && /^[(;]/.test(raw)) {
      comments.push(raw.replace(/^(\(|; )/, '').replace(/\)$/, ''));
      continue;
    }
    const words: [string, string][] = [];
    let rest = raw;
    while (rest !== '') {
      const m = /^ ?([A-Z])([+\-.\d]+)/.exec(rest);
      if (m === null) throw new Error(`line ${index + 1}: cannot read ${rest}`);
      words.push([m[1]!, m[2]!]);
      rest = rest.slice(m[0].length);
    }
    const g = words.filter(([l]) => l === 'G').map(([, v]) => Number(v));
    const m = words.filter(([l]) => l === 'M').map(([, v]) => Number(v));
    const get = (letter: string, as = letter): number | undefined => {
      const word = words.find(([l]) => l === letter);
      return word === undefined ? undefined : numberOf(word[1], as, c);
    };
    for (const letter of new Set(words.map(([l]) => l))) {
      if (letter !== 'G' && words.filter(([l]) => l === letter).length > 1)
        throw new Error(`${letter} twice`);
    }
    if (g.length > c.words.gPerBlock || m.length > c.words.mPerBlock)
      throw new Error('too many G or M words');
    if (g.includes(4)) {
      dwells.push(get(c.dwell.word, 'D')! / (c.dwell.unit === 'ms' ? 1000 : 1));
      continue;
    }
    if (g.some((n) => n === 21 || n === 71)) unit = 1;
    if (g.some((n) => n === 20 || n === 70)) unit = 25.4;
    if (g.includes(90)) absolute = true;
    if (g.includes(91)) absolute = false;
    if (g.includes(98)) retractToStart = true;
    if (g.includes(99)) retractToStart = false;
    if (g.includes(80)) mode = -1;
    for (const n of [0, 1, 2, 3, 81, 83]) if (g.includes(n)) mode = n;
    const f = get('F');
    if (f !== undefined)
      feed = f * unit * (((c.feed as { per?: string }).per ?? 'minute') === 'second' ? 60 : 1);
    const s = get('S');
    if (s !== undefined) speed = s;
    if (m.includes(3)) spindle = c.spindle.speed === 'none' ? 1 : speed;
    if (m.includes(5)) spindle = 0;
    if (m.some((n) => n === 0 || n === 1)) stops.push(index + 1);
    if (m.some((n) => n === 2 || n === 30)) ended = true;
    const x = get('X');
    const y = get('Y');
    const z = get('Z');
    if (x === undefined && y === undefined && z === undefined) continue;
    if (g.includes(53) || g.includes(28)) {
      at = [at[0], at[1], Number.NaN];
      continue;
    }
    if (unit === 0 || absolute === null || mode === -1)
      throw new Error(`line ${index + 1}: motion before its modes`);
    const go = (kind: Motion['kind'], to: Point, more: Partial<Motion> = {}): void => {
      motions.push({
        kind,
        from: bed(at),
        to: bed(to),
        line: index + 1,
        feed: kind === 'rapid' ? 0 : feed,
        spindle,
        fromCycle: false,
        ...more,
      });
      at = to;
    };
    if (mode === 81 || mode === 83) {
      if (!absolute) throw new Error('a cycle in incremental distance');
      if (g.includes(81) || g.includes(83)) {
        if (Number.isNaN(started) || g.length > 0) started = at[2];
        sticky = { z: Number.NaN, r: Number.NaN };
      }
      sticky = {
        z: z === undefined ? sticky.z : z * unit,
        r: get('R') === undefined ? sticky.r : get('R')! * unit,
      };
      const initial = at[2];
      if (Math.abs(initial - started) > 1e-9) throw new Error('two readings of the initial height differ');
      const over: Point = [x === undefined ? at[0] : x * unit, y === undefined ? at[1] : y * unit, at[2]];
      const cycle = { fromCycle: true };
      go('rapid', over, cycle);
      go('rapid', [over[0], over[1], sticky.r], cycle);
      if (mode === 83) {
        const q = get('Q');
        if (q === undefined || q <= 0) throw new Error('G83 without Q');
      }
      go('feed', [over[0], over[1], sticky.z], cycle);
      go('rapid', [over[0], over[1], retractToStart ? initial : sticky.r], cycle);
      continue;
    }
    started = Number.NaN;
    const next = (axis: 0 | 1 | 2, v: number | undefined): number =>
      v === undefined ? at[axis] : absolute ? v * unit : at[axis] + v * unit;
    const to: Point = [next(0, x), next(1, y), next(2, z)];
    if (mode === 0) go('rapid', to);
    else if (mode === 1) go('feed', to);
    else {
      const clockwise = mode === 2;
      const i = get('I');
      const j = get('J');
      const r = get('R');
      let centre: [number, number];
      if (r !== undefined) {
        const dx = to[0] - at[0];
        const dy = to[1] - at[1];
        const d2 = dx * dx + dy * dy;
        const h = Math.sqrt(Math.max(0, (r * unit) ** 2 / d2 - 0.25)) * (clockwise ? -1 : 1);
        centre = [at[0] + dx / 2 - h * dy, at[1] + dy / 2 + h * dx];
      } else if (c.arcs.form === 'centre-absolute') centre = [i! * unit, j! * unit];
      else if (c.arcs.quadrants === 'multi') centre = [at[0] + i! * unit, at[1] + j! * unit];
      else {
        if (i! < 0 || j! < 0) throw new Error('a signed centre in single-quadrant mode');
        let best = Number.POSITIVE_INFINITY;
        centre = [Number.NaN, Number.NaN];
        for (const [si, sj] of [
          [1, 1],
          [1, -1],
          [-1, 1],
          [-1, -1],
        ] as const) {
          const k: [number, number] = [at[0] + si * i! * unit, at[1] + sj * j! * unit];
          const miss = Math.abs(
            Math.hypot(at[0] - k[0], at[1] - k[1]) - Math.hypot(to[0] - k[0], to[1] - k[1]),
          );
          if (sweepOf(at, to, k, clockwise) <= Math.PI / 2 + 1e-9 && miss < best) {
            best = miss;
            centre = k;
          }
        }
      }
      const full = to[0] === at[0] && to[1] === at[1];
      const miss = Math.abs(
        Math.hypot(at[0] - centre[0], at[1] - centre[1]) - Math.hypot(to[0] - centre[0], to[1] - centre[1]),
      );
      if (!(full || miss <= c.arcs.tolerance + 1e-9))
        throw new Error(`line ${index + 1}: radii differ by ${miss}`);
      go('arc', to, { centre, clockwise });
    }
  }
  return { motions, dwells, stops, comments, ended };
}

export { sweepOf };
