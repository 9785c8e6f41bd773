import { findAll, parseXml, type XmlElement } from './strict-xml.ts';

/** What a test reads off a drawing: from its text alone, by rules of its own. */
export interface DrawingFacts {
  readonly root: XmlElement;
  readonly width: number;
  readonly height: number;
  /** Heights of capitals, mm: fonts have capitals of about 0.72 of their size. */
  readonly letterings: readonly number[];
  readonly texts: readonly string[];
  /** Every coordinate a shape draws at, outside definitions. */
  readonly points: readonly (readonly [number, number])[];
  /** Drawing ÷ thing, as the title block states it. */
  readonly scale: number | null;
  readonly scaleText: string | null;
  /** Places of the marked circles by `data-site`. */
  readonly sites: ReadonlyMap<string, readonly [number, number]>;
}

export function readDrawing(svg: string): DrawingFacts {
  const root = parseXml(svg);
  const [, , width, height] = (root.attributes.viewBox ?? '').split(' ').map(Number) as number[];
  const shown = { ...root, children: root.children.filter((c) => c.name !== 'defs') };
  const texts = findAll(shown, (e) => e.name === 'text');
  const points: (readonly [number, number])[] = [];
  for (const e of findAll(shown, () => true)) points.push(...pointsOf(e));
  const scaleText =
    texts.map((t) => /^(\d+:\d+)(?: |$)/.exec(t.text)?.[1]).find((s) => s !== undefined) ?? null;
  const [a, b] = (scaleText ?? '').split(':').map(Number) as [number, number];
  const sites = new Map<string, readonly [number, number]>();
  for (const g of findAll(shown, (e) => e.attributes['data-site'] !== undefined)) {
    const circle = findAll(g, (e) => e.name === 'circle')[0];
    if (circle !== undefined)
      sites.set(g.attributes['data-site'] as string, [
        Number(circle.attributes.cx),
        Number(circle.attributes.cy),
      ]);
  }
  return {
    root,
    width: width as number,
    height: height as number,
    letterings: texts.map((t) => Number(t.attributes['font-size']) * 0.72),
    texts: texts.map((t) => t.text),
    points,
    scale: scaleText === null ? null : a / b,
    scaleText,
    sites,
  };
}

function pointsOf(e: XmlElement): (readonly [number, number])[] {
  const n = (key: string): number => Number(e.attributes[key] ?? 0);
  switch (e.name) {
    case 'circle':
      return [
        [n('cx') - n('r'), n('cy') - n('r')],
        [n('cx') + n('r'), n('cy') + n('r')],
      ];
    case 'text':
      return [[n('x'), n('y')]];
    case 'path':
      return pathPoints(e.attributes.d ?? '');
    default:
      return [];
  }
}

/** Corners of a path of M L H V A Z and m l h v, absolute. */
function pathPoints(d: string): (readonly [number, number])[] {
  const out: (readonly [number, number])[] = [];
  let [x, y] = [0, 0];
  for (const [, command, rest] of d.matchAll(/([A-Za-z])([^A-Za-z]*)/g)) {
    const numbers = (rest as string).match(/-?\d*\.?\d+(?:e-?\d+)?/g)?.map(Number) ?? [];
    if (numbers.some((v) => !Number.isFinite(v))) throw new Error(`a number is missing in ${d}`);
    const relative = command === (command as string).toLowerCase();
    switch ((command as string).toUpperCase()) {
      case 'M':
      case 'L':
        for (let i = 0; i + 1 < numbers.length; i += 2) {
          x = (relative ? x : 0) + (numbers[i] as number);
          y = (relative ? y : 0) + (numbers[i + 1] as number);
          out.push([x, y]);
        }
        break;
      case 'H':
        for (const v of numbers) {
          x = (relative ? x : 0) + v;
          out.push([x, y]);
        }
        break;
      case 'V':
        for (const v of numbers) {
          y = (relative ? y : 0) + v;
          out.push([x, y]);
        }
        break;
      case 'A':
        for (let i = 0; i + 6 < numbers.length; i += 7) {
          x = numbers[i + 5] as number;
          y = numbers[i + 6] as number;
          out.push([x, y]);
        }
        break;
      case 'Z':
        break;
      default:
        throw new Error(`unknown path command ${command}`);
    }
  }
  return out;
}
