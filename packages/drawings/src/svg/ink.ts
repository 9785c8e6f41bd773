/** Paper, ink and the few accents. Meaning never rests on a colour alone: every one goes with a line type, a glyph or a word. */
export const INK = {
  paper: '#fbfaf6',
  ink: '#1c1f21',
  second: '#5d6468',
  hairline: '#c9c7bf',
  /** Metal, and a stop. */
  metal: '#a63d1e',
  warn: '#8a6a12',
  /** What was measured or selected. */
  measured: '#1f4b73',
} as const;

/** Line widths on paper after ISO 128: wide and narrow, millimetres. */
export const WIDE = 0.5;
export const NARROW = 0.25;

/** Line types after ISO 128-2, dash patterns for the narrow line, millimetres. */
export const LINE = {
  /** Edges. */
  wide: { 'stroke-width': WIDE },
  /** Dimensions, leaders, lands. */
  narrow: { 'stroke-width': NARROW },
  /** Hidden edges. */
  hidden: { 'stroke-width': NARROW, 'stroke-dasharray': '2 1' },
  /** Axes and centre lines. */
  axis: { 'stroke-width': NARROW, 'stroke-dasharray': '6 0.75 0.25 0.75' },
  /** Extreme positions of moving parts, neighbouring parts. */
  reach: { 'stroke-width': NARROW, 'stroke-dasharray': '6 0.75 0.25 0.75 0.25 0.75' },
} as const;

/** Lettering heights after ISO 3098, millimetres. */
export const LETTERING = { small: 2.5, normal: 3.5, large: 5 } as const;

/** Font size that gives capitals of `height`: capitals of common sans faces are about 0.72 of the size. */
export function fontSize(height: number): number {
  return height / 0.72;
}

export const SANS = 'system-ui, "Segoe UI", "Helvetica Neue", Arial, "Liberation Sans", sans-serif';
export const MONO = 'ui-monospace, "SFMono-Regular", Menlo, Consolas, "Liberation Mono", monospace';
