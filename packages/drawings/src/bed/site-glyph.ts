import type { SiteState } from '@bedledger/fleet';
import { INK, LINE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { label } from '../svg/text.ts';

/** A site from above: the axis cross, the pocket, and what the ledger says is in the bed. Shape tells the state, colour only repeats it. */
export function siteGlyph(x: number, y: number, radius: number, state: SiteState): string {
  const arm = radius + 1.6;
  const parts = [
    element('path', {
      d: `M${num(x - arm)} ${num(y)}H${num(x + arm)}M${num(x)} ${num(y - arm)}V${num(y + arm)}`,
      ...LINE.axis,
      stroke: INK.ink,
    }),
  ];
  switch (state) {
    case 'set':
      parts.push(element('circle', { cx: x, cy: y, r: radius, ...LINE.wide, fill: INK.paper }));
      parts.push(element('circle', { cx: x, cy: y, r: radius * 0.55, fill: INK.metal, stroke: 'none' }));
      break;
    case 'bored':
      parts.push(element('circle', { cx: x, cy: y, r: radius, ...LINE.wide, fill: INK.paper }));
      parts.push(element('circle', { cx: x, cy: y, r: radius * 0.55, ...LINE.wide }));
      break;
    case 'marked':
      parts.push(element('circle', { cx: x, cy: y, r: radius, ...LINE.wide, fill: INK.paper }));
      parts.push(element('circle', { cx: x, cy: y, r: 0.35, fill: INK.ink, stroke: 'none' }));
      break;
    case 'filled': {
      const d = radius * 0.8;
      parts.push(element('circle', { cx: x, cy: y, r: radius, ...LINE.narrow, fill: INK.paper }));
      parts.push(
        element('path', {
          d: `M${num(x - d)} ${num(y - d)}L${num(x + d)} ${num(y + d)}M${num(x - d)} ${num(y + d)}L${num(x + d)} ${num(y - d)}`,
          ...LINE.narrow,
        }),
      );
      break;
    }
    default:
      parts.push(element('circle', { cx: x, cy: y, r: radius, ...LINE.wide, fill: INK.paper }));
  }
  return parts.join('');
}

const STATES: readonly (readonly [SiteState, string])[] = [
  ['none', 'planned'],
  ['marked', 'marked'],
  ['bored', 'bored'],
  ['set', 'insert set'],
  ['filled', 'filled'],
];

/** The state in words: `none` is a place that is only planned. */
export function stateWord(state: SiteState): string {
  return state === 'none' ? 'planned' : state;
}

/** The five states with their words, three to a row. */
export function siteLegend(x: number, y: number): string {
  return STATES.map(([state, text], i) => {
    const left = x + 2 + (i % 3) * 31;
    const top = y + 1 + Math.floor(i / 3) * 6;
    return (
      siteGlyph(left, top, 1.4, state) + element('g', { stroke: 'none' }, [label(left + 4, top + 0.9, text)])
    );
  }).join('');
}
