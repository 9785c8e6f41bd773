import { quantise } from '@bedledger/diagnostics';
import type { Extents } from './extents.ts';
import type { Setup } from './setup.ts';

type Range = readonly [number, number];

/** What can be said about a part's text, from its rounded positions. */
export interface Claims {
  /** Least and greatest in grid steps, program coordinates. */
  readonly steps: { readonly x: Range; readonly y: Range; readonly z: Range };
  /** The same in the bed frame, mm. */
  readonly extents: { readonly x: Range; readonly y: Range; readonly z: Range };
  /** Depth below the bed surface, and lowest Z in the board; mm. */
  readonly deepest: { readonly bed: number | null; readonly board: number | null };
  readonly minutes: number;
  readonly sites: readonly string[];
}

/** A length to the nanometre: takes the dust of a conversion off a number that is written into a file. */
function tidy(mm: number): number {
  return quantise(mm, 1e6) / 1e6;
}

/** Site names that stand as words of their own in section titles; all of them when the titles name none. */
function sitesOf(setup: Setup, sections: readonly string[]): readonly string[] {
  const { sites } = setup.program.header;
  const words = new Set(sections.flatMap((title) => title.split(/[\s,;:()[\]]+/)));
  const named = setup.program.moves.some(
    (m) => m.kind === 'section' && m.title.split(/[\s,;:()[\]]+/).some((w) => sites.includes(w)),
  );
  return named ? sites.filter((site) => words.has(site)) : sites;
}

/**
 * Claims about a part. `share` is the part's share of the program's expected time; with one part the program's own site
 * list and time hold.
 */
export function claimsOf(
  setup: Setup,
  extents: Extents,
  sections: readonly string[],
  share: number,
  parts: number,
): Claims {
  const { program, controller, step } = setup;
  const { header } = program;
  const toBed = (z: number): number => tidy(z * step * controller.zSign + header.zeroHeight);
  const ends = [toBed(extents.minZ), toBed(extents.maxZ)] as const;
  const low = Math.min(...ends);
  const high = Math.max(...ends);
  const top = header.zZero === 'board-top' ? header.zeroHeight : header.keyIn;
  return {
    steps: {
      x: [extents.minX, extents.maxX],
      y: [extents.minY, extents.maxY],
      z: [extents.minZ, extents.maxZ],
    },
    extents: {
      x: [tidy(extents.minX * step), tidy(extents.maxX * step)],
      y: [tidy(extents.minY * step), tidy(extents.maxY * step)],
      z: [low, high],
    },
    deepest: {
      bed: low < 0 ? tidy(-low) : null,
      board: top !== null && low < top ? Math.max(low, 0) : null,
    },
    minutes: header.minutes > 0 ? Math.max(0.1, quantise(header.minutes * share, 10) / 10) : 0,
    sites: parts === 1 ? header.sites : sitesOf(setup, sections),
  };
}
