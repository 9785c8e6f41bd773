import { SITE_STATES, type SiteState } from '@bedledger/fleet';
import { INK, LINE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { label } from '../svg/text.ts';

/** What of a site is drawn over its axis cross: the pocket, and what the ledger says is in the bed. Sheet millimetres. */
type Shape = (at: { readonly cx: number; readonly cy: number }, r: number) => readonly string[];

const pocket: Shape = (at, r) => [element('circle', { ...at, r, ...LINE.wide, fill: INK.paper })];

/** Each state with its word for the legend and its shape: shape tells the state, colour only repeats it. */
const STATES: Readonly<Record<SiteState, { readonly text: string; readonly shape: Shape }>> = {
  none: { text: 'planned', shape: pocket },
  marked: {
    text: 'marked',
    shape: (at, r) => [
      ...pocket(at, r),
      element('circle', { ...at, r: 0.35, fill: INK.ink, stroke: 'none' }),
    ],
  },
  bored: {
    text: 'bored',
    shape: (at, r) => [...pocket(at, r), element('circle', { ...at, r: r * 0.55, ...LINE.wide })],
  },
  set: {
    text: 'insert set',
    shape: (at, r) => [
      ...pocket(at, r),
      element('circle', { ...at, r: r * 0.55, fill: INK.metal, stroke: 'none' }),
    ],
  },
  filled: {
    text: 'filled',
    shape: ({ cx, cy }, r) => {
      const d = r * 0.8;
      return [
        element('circle', { cx, cy, r, ...LINE.narrow, fill: INK.paper }),
        element('path', {
          d: `M${num(cx - d)} ${num(cy - d)}L${num(cx + d)} ${num(cy + d)}M${num(cx - d)} ${num(cy + d)}L${num(cx + d)} ${num(cy - d)}`,
          ...LINE.narrow,
        }),
      ];
    },
  },
};

/** A site from above: the axis cross, the pocket, and what the ledger says is in the bed. */
export function siteGlyph(x: number, y: number, radius: number, state: SiteState): string {
  const arm = radius + 1.6;
  const cross = element('path', {
    d: `M${num(x - arm)} ${num(y)}H${num(x + arm)}M${num(x)} ${num(y - arm)}V${num(y + arm)}`,
    ...LINE.axis,
    stroke: INK.ink,
  });
  return cross + STATES[state].shape({ cx: x, cy: y }, radius).join('');
}

/** The state in words: `none` is a place that is only planned. */
export function stateWord(state: SiteState): string {
  return state === 'none' ? 'planned' : state;
}

/** The states with their words, three to a row. */
export function siteLegend(x: number, y: number): string {
  return SITE_STATES.map((state, i) => {
    const left = x + 2 + (i % 3) * 31;
    const top = y + 1 + Math.floor(i / 3) * 6;
    const word = label(left + 4, top + 0.9, STATES[state].text);
    return siteGlyph(left, top, 1.4, state) + element('g', { stroke: 'none' }, [word]);
  }).join('');
}
