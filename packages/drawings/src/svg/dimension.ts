import { INK, LETTERING, NARROW } from './ink.ts';
import { element, num } from './markup.ts';
import { label, textWidth } from './text.ts';

/** Closed, filled arrowhead at `x`,`y` pointing along the unit vector `dx`,`dy` (ISO 129-1: three times as long as wide). */
function arrow(x: number, y: number, dx: number, dy: number): string {
  const length = 2;
  const half = length / 6;
  return element('path', {
    d: `M${num(x)} ${num(y)}L${num(x - dx * length - dy * half)} ${num(y - dy * length + dx * half)}L${num(x - dx * length + dy * half)} ${num(y - dy * length - dx * half)}Z`,
    fill: INK.ink,
    stroke: 'none',
  });
}

export interface DimensionStyle {
  readonly ink?: string;
  readonly height?: number;
}

/**
 * Linear dimension after ISO 129-1 between two points of the sheet that share an X (vertical) or a Y (horizontal).
 * `at` is where the dimension line runs. Text stands above the line, or beside it when there is no room between the arrows.
 */
export function dimension(
  kind: 'horizontal' | 'vertical',
  a: readonly [number, number],
  b: readonly [number, number],
  at: number,
  text: string,
  style: DimensionStyle = {},
): string {
  const height = style.height ?? LETTERING.small;
  const ink = style.ink ?? INK.ink;
  const gap = 0.8;
  const beyond = 1.5;
  const parts: string[] = [];
  const extension = (p: readonly [number, number]): void => {
    if (kind === 'horizontal') {
      const s = at > p[1] ? 1 : -1;
      if (Math.abs(at - p[1]) > gap)
        parts.push(`M${num(p[0])} ${num(p[1] + s * gap)}V${num(at + s * beyond)}`);
    } else {
      const s = at > p[0] ? 1 : -1;
      if (Math.abs(at - p[0]) > gap)
        parts.push(`M${num(p[0] + s * gap)} ${num(p[1])}H${num(at + s * beyond)}`);
    }
  };
  extension(a);
  extension(b);
  const [lo, hi] =
    kind === 'horizontal'
      ? [Math.min(a[0], b[0]), Math.max(a[0], b[0])]
      : [Math.min(a[1], b[1]), Math.max(a[1], b[1])];
  const span = hi - lo;
  const width = textWidth(text, height);
  const outside = span < 5;
  const textFits = span > width + 2;
  const tail = 4;
  const reach = textFits ? 0 : width + 1;
  if (kind === 'horizontal')
    parts.push(
      `M${num(outside ? lo - tail : lo)} ${num(at)}H${num(outside || !textFits ? hi + Math.max(outside ? tail : 0, reach + tail) : hi)}`,
    );
  else parts.push(`M${num(at)} ${num(outside ? lo - tail : lo)}V${num(outside ? hi + tail : hi)}`);
  const out = [element('path', { d: parts.join(''), 'stroke-width': NARROW, stroke: ink })];
  if (kind === 'horizontal') {
    out.push(arrow(lo, at, outside ? 1 : -1, 0), arrow(hi, at, outside ? -1 : 1, 0));
    const x = textFits ? (lo + hi) / 2 : hi + tail + reach / 2;
    out.push(
      element('g', { stroke: 'none' }, [
        label(x, at - 0.8, text, { height, anchor: 'middle', ink, halo: true }),
      ]),
    );
  } else {
    out.push(arrow(at, lo, 0, outside ? 1 : -1), arrow(at, hi, 0, outside ? -1 : 1));
    // Upright text is read from the right (ISO 129-1); where the span is short it stands level beside the line.
    out.push(
      element('g', { stroke: 'none' }, [
        textFits
          ? label(at - 0.8, (lo + hi) / 2, text, { height, anchor: 'middle', turn: 90, ink, halo: true })
          : label(at + 1, (lo + hi) / 2 + height / 2, text, { height, ink, halo: true }),
      ]),
    );
  }
  return out.join('');
}
