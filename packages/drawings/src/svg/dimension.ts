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

type Spot = readonly [x: number, y: number];

/** A linear dimension between two points of the sheet that share an X (vertical) or a Y (horizontal). */
export interface Dimension {
  readonly kind: 'horizontal' | 'vertical';
  readonly from: Spot;
  readonly to: Spot;
  /** Where the dimension line runs: its Y when horizontal, its X when vertical. */
  readonly at: number;
  readonly text: string;
}

/** Between feature and extension line, and how far that goes past the dimension line (ISO 129-1). */
const GAP = 0.8;
const BEYOND = 1.5;
/** Dimension line outside the arrows, where there is no room between them. */
const TAIL = 4;
const HEIGHT = LETTERING.small;

/** A dimension after ISO 129-1. Text stands above the line, or beside it when there is no room between the arrows. */
export function dimension(d: Dimension): string {
  const across = d.kind === 'horizontal' ? 0 : 1;
  const ends = [d.from[across], d.to[across]] as const;
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const outside = high - low < 5;
  const width = textWidth(d.text, HEIGHT);
  const layout: Layout = { low, high, outside, width, textFits: high - low > width + 2 };
  const lines = [extension(d, d.from), extension(d, d.to), dimensionLine(d, layout)].join('');
  return [
    element('path', { d: lines, 'stroke-width': NARROW, stroke: INK.ink }),
    ...arrows(d, layout),
    element('g', { stroke: 'none' }, [dimensionText(d, layout)]),
  ].join('');
}

/** Where the arrows stand along the line, and whether line and text have room between them. */
interface Layout {
  readonly low: number;
  readonly high: number;
  /** The arrows point inwards from outside. */
  readonly outside: boolean;
  readonly width: number;
  readonly textFits: boolean;
}

function extension({ kind, at }: Dimension, [x, y]: Spot): string {
  const away = kind === 'horizontal' ? at - y : at - x;
  if (Math.abs(away) <= GAP) return '';
  const s = away > 0 ? 1 : -1;
  return kind === 'horizontal'
    ? `M${num(x)} ${num(y + s * GAP)}V${num(at + s * BEYOND)}`
    : `M${num(x + s * GAP)} ${num(y)}H${num(at + s * BEYOND)}`;
}

function dimensionLine({ kind, at }: Dimension, { low, high, outside, width, textFits }: Layout): string {
  const from = outside ? low - TAIL : low;
  const end = outside ? high + TAIL : high;
  if (kind === 'vertical') return `M${num(at)} ${num(from)}V${num(end)}`;
  // The line goes on under a text that stands beside it.
  return `M${num(from)} ${num(at)}H${num(textFits ? end : high + width + 1 + TAIL)}`;
}

function arrows({ kind, at }: Dimension, { low, high, outside }: Layout): string[] {
  const inwards = outside ? 1 : -1;
  return kind === 'horizontal'
    ? [arrow(low, at, inwards, 0), arrow(high, at, -inwards, 0)]
    : [arrow(at, low, 0, inwards), arrow(at, high, 0, -inwards)];
}

function dimensionText({ kind, at, text }: Dimension, { low, high, width, textFits }: Layout): string {
  const middle = (low + high) / 2;
  const style = { height: HEIGHT, halo: true };
  if (kind === 'horizontal') {
    const x = textFits ? middle : high + TAIL + (width + 1) / 2;
    return label(x, at - 0.8, text, { ...style, anchor: 'middle' });
  }
  // Upright text is read from the right (ISO 129-1); where the span is short it stands level beside the line.
  return textFits
    ? label(at - 0.8, middle, text, { ...style, anchor: 'middle', turn: 90 })
    : label(at + 1, middle + HEIGHT / 2, text, style);
}
