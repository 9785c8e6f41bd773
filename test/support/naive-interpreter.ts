/**
 * A second, deliberately simple reading of RS274/NGC, written from NISTIR 6556 alone: line by line, regular
 * expressions, one big switch, no speed, no findings: it throws at the first thing it does not accept.
 * It shares no code with the product and exists only to disagree with it.
 *
 * Unlike the product it keeps the machine position and adds offsets when it reads a word (origin of the coordinate
 * system plus G92 offset), as section 3.2.2 describes them.
 */
export type NaiveMotion =
  | { readonly kind: 'T' | 'F'; readonly to: readonly number[]; readonly feed: number }
  | {
      readonly kind: 'A';
      readonly to: readonly number[];
      readonly centre: readonly [number, number];
      readonly turn: number;
      readonly plane: number;
      readonly feed: number;
    };

export interface NaiveStart {
  readonly at: readonly [number, number, number];
  readonly origins: Readonly<Record<number, readonly [number, number, number]>>;
}

const GROUPS: Record<string, string> = {};
for (const [group, codes] of Object.entries({
  motion: '0 1 2 3 80 81 82 83 85 86 89',
  plane: '17 18 19',
  distance: '90 91',
  feed: '93 94',
  units: '20 21',
  radius: '40',
  length: '49',
  back: '98 99',
  system: '54 55 56 57 58 59 59.1 59.2 59.3',
  path: '61 61.1 64',
  once: '4 10 92 92.1 92.2 92.3 53',
})) {
  for (const code of codes.split(' ')) GROUPS[code] = group;
}

export function naiveRead(text: string, start: NaiveStart): NaiveMotion[] {
  const motions: NaiveMotion[] = [];
  // Machine position, mm.
  const at = [...start.at];
  const origins: Record<number, number[]> = {};
  for (let n = 1; n <= 9; n++) origins[n] = [...(start.origins[n] ?? [0, 0, 0])];
  let g92 = [0, 0, 0];
  let saved = [0, 0, 0];
  let system = 1;
  let k = 1;
  let plane = 17;
  let absolute = true;
  let inverse = false;
  let back = 98;
  let mode = '';
  let feed = 0;
  let cycleZ: number | undefined;
  let cycleR: number | undefined;
  let cycleP: number | undefined;
  let cycleQ: number | undefined;
  for (const raw of text.split(/\r\n|\n|\r/)) {
    if (raw.length > 256) throw new Error('long');
    const line = raw
      .replace(/\([^()]*\)/g, '')
      .replace(/[ \t]/g, '')
      .toUpperCase();
    if (line === '') continue;
    const body = /^(?:\/)?(?:N\d{1,5}(?!\d))?((?:[A-Z][-+]?(?:\d+\.?\d*|\.\d+))*)$/.exec(line);
    if (body === null) throw new Error(`cannot read ${line}`);
    const w: Record<string, number> = {};
    const g: Record<string, string> = {};
    const m: string[] = [];
    for (const word of body[1]!.matchAll(/([A-Z])([-+]?[\d.]+)/g)) {
      const letter = word[1]!;
      const v = Number(word[2]);
      if (letter === 'G') {
        const code = String(v);
        const group = GROUPS[code];
        if (group === undefined || g[group] !== undefined) throw new Error(`G${code}`);
        g[group] = code;
      } else if (letter === 'M') m.push(String(v));
      else {
        if (w[letter] !== undefined) throw new Error(`twice ${letter}`);
        w[letter] = v;
      }
    }
    if (g.feed !== undefined) inverse = g.feed === '93';
    if (w.F !== undefined) feed = w.F;
    if (g.plane !== undefined) plane = Number(g.plane);
    if (g.units !== undefined) k = g.units === '20' ? 25.4 : 1;
    if (g.system !== undefined) {
      const s = Number(g.system);
      system = s > 59 ? Math.round((s - 59) * 10) + 6 : s - 53;
    }
    if (g.distance !== undefined) absolute = g.distance === '90';
    if (g.back !== undefined) back = Number(g.back);
    const origin = (axis: number) => origins[system]![axis]! + g92[axis]!;
    const words = [w.X, w.Y, w.Z];
    const goal = (axis: number): number => {
      const v = words[axis];
      if (v === undefined) return at[axis]!;
      return absolute ? v * k + origin(axis) : at[axis]! + v * k;
    };
    const shown = () => [0, 1, 2].map((axis) => at[axis]! - origins[system]![axis]!);
    const any = words.some((v) => v !== undefined);
    if (g.once === '10') {
      for (let axis = 0; axis < 3; axis++)
        if (words[axis] !== undefined) origins[w.P!]![axis] = words[axis]! * k;
    } else if (g.once === '92') {
      for (let axis = 0; axis < 3; axis++) {
        if (words[axis] !== undefined) g92[axis] = at[axis]! - origins[system]![axis]! - words[axis]! * k;
      }
      saved = [...g92];
    } else {
      // These take no axis words, so that a motion may stand beside them (3.4); they come first (table 8).
      if (g.once === '92.1') saved = [0, 0, 0];
      if (g.once === '92.1' || g.once === '92.2') g92 = [0, 0, 0];
      if (g.once === '92.3') g92 = [...saved];
      const before = mode;
      if (g.motion !== undefined) mode = g.motion;
      if (any) {
        const order = plane === 17 ? [0, 1, 2] : plane === 18 ? [2, 0, 1] : [1, 2, 0];
        const [a, b, c] = order as [number, number, number];
        const offsets = [w.I, w.J, w.K];
        const rate = (length: number) => (inverse ? feed * length : feed * k);
        if (mode === '0' || mode === '1') {
          const to = [goal(0), goal(1), goal(2)];
          const length = Math.sqrt(to.reduce((sum, v, axis) => sum + (v - at[axis]!) ** 2, 0));
          for (let axis = 0; axis < 3; axis++) at[axis] = to[axis]!;
          motions.push({ kind: mode === '0' ? 'T' : 'F', to: shown(), feed: rate(length) });
        } else if (mode === '2' || mode === '3') {
          const s = [at[a]!, at[b]!];
          const to = [goal(0), goal(1), goal(2)];
          // 3.5.3: at least one axis of the plane, and at least one offset or the radius.
          if (words[a] === undefined && words[b] === undefined) throw new Error('arc without end');
          if (w.R === undefined && offsets[a] === undefined && offsets[b] === undefined)
            throw new Error('no centre');
          const e = [to[a]!, to[b]!];
          let centre: [number, number];
          if (w.R !== undefined) {
            // Both circles through the two points; keep the one whose arc is the short (R > 0) or long (R < 0) one.
            const r = Math.abs(w.R) * k;
            const mx = (s[0]! + e[0]!) / 2;
            const my = (s[1]! + e[1]!) / 2;
            const half = Math.sqrt((e[0]! - s[0]!) ** 2 + (e[1]! - s[1]!) ** 2) / 2;
            const h = Math.sqrt(Math.max(0, r * r - half * half));
            const ux = (e[0]! - s[0]!) / (2 * half);
            const uy = (e[1]! - s[1]!) / (2 * half);
            const pick = [1, -1].map((side): [number, number] => [mx - side * h * uy, my + side * h * ux]);
            const short = pick.filter((p) => Math.abs(angle(s, e, p, mode === '2')) <= Math.PI + 1e-9);
            const long = pick.filter((p) => Math.abs(angle(s, e, p, mode === '2')) >= Math.PI - 1e-9);
            centre = (w.R > 0 ? short : long)[0]!;
          } else centre = [s[0]! + (offsets[a] ?? 0) * k, s[1]! + (offsets[b] ?? 0) * k];
          const turn = angle(s, e, centre, mode === '2');
          const radius = Math.sqrt((s[0]! - centre[0]) ** 2 + (s[1]! - centre[1]) ** 2);
          const rise = to[c]! - at[c]!;
          for (let axis = 0; axis < 3; axis++) at[axis] = to[axis]!;
          const o = [origins[system]![a]!, origins[system]![b]!];
          motions.push({
            kind: 'A',
            to: shown(),
            centre: [centre[0] - o[0]!, centre[1] - o[1]!],
            turn,
            plane,
            feed: rate(Math.sqrt((turn * radius) ** 2 + rise ** 2)),
          });
        } else if (mode.startsWith('8') && mode !== '80') {
          const third = words[c];
          if (third !== undefined) cycleZ = third * k;
          if (w.R !== undefined) cycleR = w.R * k;
          if (w.P !== undefined) cycleP = w.P;
          if (w.Q !== undefined) cycleQ = w.Q * k;
          if (before !== mode && third === undefined) throw new Error('cycle without Z');
          const old = at[c]!;
          const r = absolute ? cycleR! + origin(c) : old + cycleR!;
          const bottom = absolute ? cycleZ! + origin(c) : r + cycleZ!;
          if (bottom > r) throw new Error('R below Z');
          const clear = back === 98 ? Math.max(old, r) : r;
          const go = (kind: 'T' | 'F', axis: number, v: number) => {
            at[axis] = v;
            motions.push({ kind, to: shown(), feed: feed * k });
          };
          if (old < r) go('T', c, r);
          for (let n = 0; n < (w.L ?? 1); n++) {
            const u = goal(a);
            const v = goal(b);
            if (u !== at[a] || v !== at[b]) {
              at[a] = u;
              go('T', b, v);
            }
            if (at[c] !== r) go('T', c, r);
            if (mode === '83') {
              let depth = r;
              while (depth - cycleQ! > bottom + 1e-9) {
                depth -= cycleQ!;
                go('F', c, depth);
                go('T', c, clear);
                go('T', c, depth + Math.min(0.25, cycleQ! / 2));
              }
            }
            go('F', c, bottom);
            if (mode === '82' && cycleP === undefined) throw new Error('no P');
            if (mode === '85' || mode === '89') go('F', c, r);
            if (at[c] !== clear) go('T', c, clear);
          }
        } else throw new Error(`axis words in mode ${mode}`);
      }
    }
    if (m.includes('2') || m.includes('30')) break;
  }
  return motions;
}

/** Angle turned from s to e about p, by rotating both to the x axis; end on start is a full turn. */
function angle(s: readonly number[], e: readonly number[], p: readonly number[], clockwise: boolean): number {
  const ax = s[0]! - p[0]!;
  const ay = s[1]! - p[1]!;
  const bx = e[0]! - p[0]!;
  const by = e[1]! - p[1]!;
  let turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  const same = Math.sqrt((e[0]! - s[0]!) ** 2 + (e[1]! - s[1]!) ** 2) < 1e-9;
  if (same) return clockwise ? -2 * Math.PI : 2 * Math.PI;
  if (clockwise && turn > 0) turn -= 2 * Math.PI;
  if (!clockwise && turn < 0) turn += 2 * Math.PI;
  return turn;
}
