import { rounded } from '@bedledger/diagnostics';
import type { Extents } from './extents.ts';
import type { Setup } from './setup.ts';

/** Least and greatest. */
export type Range = readonly [number, number];

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

/** A length to the nanometre: takes the rounding errors of a conversion off a number that is written into a file. */
function tidy(mm: number): number {
  return rounded(mm, 6);
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

/** What of a part's text the claims are about. */
interface Written {
  readonly extents: Extents;
  /** Titles of the sections that it has anything of. */
  readonly sections: readonly string[];
}

/**
 * Claims about one part of `parts`. `share`: its share of the program's expected time. With one part the program's own
 * list of sites holds.
 */
export function claimsOf(
  setup: Setup,
  { extents, sections }: Written,
  { share, parts }: { readonly share: number; readonly parts: number },
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
    minutes: header.minutes > 0 ? Math.max(0.1, rounded(header.minutes * share, 1)) : 0,
    sites: parts === 1 ? header.sites : sitesOf(setup, sections),
  };
}
