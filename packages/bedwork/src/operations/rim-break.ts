import { lengthText, placeText } from '@bedledger/diagnostics';
import type { Form } from '@bedledger/fleet';
import { distance, type Point } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { type SincePockets, sincePockets } from '../base/ledger-facts.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Site } from '../layout/model.ts';
import { pathTouches } from '../surfacing/coverage.ts';
import { obstaclesAbove } from '../surfacing/obstacles.ts';
import { addFinding, sitesInOrder, type WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { isPocketed, noBoard, touchOffOnBoard } from './conditions.ts';
import { type CuttingJob, cut } from './descriptor.ts';
import { reachable, siteSection } from './moves.ts';
import { cutRim, type Rim, type RimPath, rimPath } from './rim-cut.ts';
import { centreFeed } from './round-cut.ts';

/** Board left between a rim and the board's edge, or between two rims, mm (ours). */
const BETWEEN = 1;
/** Air kept to anything that stands on the board, mm. */
const SIDE_AIR = 2;
/** How near a board is laid to a line by hand, k = 2, mm (common practice, no source). */
const LAID_BY_HAND = 0.5;

/** The rim of the pocket at one site, and how it is cut. */
interface SiteRim {
  readonly site: Site;
  readonly rim: Rim;
  readonly path: RimPath;
}

interface RimsJob extends CuttingJob {
  readonly rims: readonly SiteRim[];
  readonly width: number;
  readonly feeds: { readonly down: number; readonly round: number };
}

/** A small chamfer on the rims of the socket pockets: cut board takes up moisture there first, and swells. */
export const RIM_BREAK = cut<RimsJob>({
  name: 'rim-break',
  on: () => 'board',
  notAsked: ({ machine }) =>
    machine.board.rimBreak === null ? 'the profile asks for no rim break (`board.rim_break`)' : null,
  forbidden: (context, form) => FORBIDDEN[rimsForm(form)](context),
  outputs: ['extraction'],
  decide: (context, _, cutter) => {
    const { machine, house, record } = context;
    const width = rimWidth(context);
    const rims: SiteRim[] = [];
    for (const site of sitesInOrder(context)) {
      const rim = rimAt(context, site, width);
      if (rim === null) continue;
      const path = rimPath(rim, cutter, machine.units);
      if (typeof path === 'string') return { refused: path };
      if (reachable(context, site, path.radius)) rims.push({ site, rim, path });
      else outOfReach(context, site);
    }
    if (rims.length === 0) return { refused: 'no site has a stack and is within the travel' };
    const refused = roomRefused(context, rims, cutter.diameter / 2);
    if (refused !== null) return { refused };
    // Pockets of one board are nearly alike: the smallest decides for all, so that every rim is cut with one feed.
    const across = Math.min(...rims.map(({ path }) => path.across));
    const engagement = { width, depth: rims[0]!.path.depth, across };
    const cutting = cuttingFor(cutter, record.stock.material, engagement, machine, house);
    const round = Math.min(
      ...rims.map(({ rim, path }) => centreFeed(cutting.feed, 2 * rim.radius + width, path.across)),
    );
    const floor = Math.min(...rims.map(({ path }) => path.tip));
    return {
      sites: rims.map(({ site }) => site.id),
      floor,
      cutting,
      fluteDepth: context.overBoard.stockTop - floor,
      rims,
      width,
      feeds: { round, down: Math.min(cutting.plungeFeed, round * house.feed.plungeShare) },
    };
  },
  write: (writer, _, { rims, feeds }) => {
    for (const [index, { site, rim, path }] of rims.entries()) {
      siteSection(writer, site.id, index);
      cutRim(writer, rim, path, feeds);
    }
  },
  header: (context, { rims, width }) => {
    const { units, datum } = context.machine;
    const away = ({ site }: SiteRim): number => distance(site.actual, datum.mark);
    const { site } = rims.reduce((far, rim) => (away(rim) > away(far) ? rim : far));
    return {
      title: 'Break the rims of the socket pockets',
      before: [
        'pockets and holes are cut, and the board has not been lifted since; no screw is in it',
        'chips taken out of the pockets with a vacuum cleaner',
        touchOffOnBoard(context),
        `spindle at rest, take the point to ${placeText(site.actual, units)}, just above the board: it stands over the middle of the pocket of site ${site.id}, or the program is not run`,
      ],
      after: [
        `look at two rims: the chamfer is ${lengthText(width, units)} wide all round`,
        'take the dust out of the pockets with a vacuum cleaner',
      ],
      cautions: [
        CAUTIONS.dust,
        CAUTIONS.body,
        CAUTIONS.fire,
        ...(context.progress.withInsert.length > 0 ? [CAUTIONS.metal] : []),
      ],
    };
  },
});

type RimsForm = Extract<Form, 'top' | 'underside'>;

function rimsForm(form: Form | null): RimsForm {
  if (form === 'top' || form === 'underside') return form;
  throw new RangeError(`rims have no form \`${form}\``);
}

const FORBIDDEN: Readonly<Record<RimsForm, (context: WorkContext) => string | null>> = {
  top: topForbidden,
  underside: undersideForbidden,
};

/** Width of the chamfer that the profile asks for, mm. */
function rimWidth({ machine }: WorkContext): number {
  const { rimBreak } = machine.board;
  if (rimBreak === null) throw new RangeError('no rim break is asked for');
  return rimBreak;
}

/**
 * With the pockets, in the same set-up; or after they are recorded, as long as nothing is recorded that the board had to
 * be lifted or screwed down for.
 */
function topForbidden(context: WorkContext): string | null {
  if (!isPocketed(context)) return noBoard(context);
  const since = sincePockets(context.record);
  return since === null ? null : movedSentence(since);
}

function movedSentence(since: Exclude<SincePockets, null>): string {
  const byHand = 'break the rims of this board by hand, or those of the next one with its pockets';
  if (since === 'came-pocketed') {
    return `the board came with its pockets, and nothing says where they lie from X0 Y0: ${byHand}`;
  }
  if (since.fact === 'skim' || since.fact === 'screws') {
    return `the ledger has an entry \`${since.fact}\` of ${since.date}, after the pockets were cut: screws hold the board, and their heads stand in the pockets; ${byHand}`;
  }
  return `the ledger has an entry \`${since.fact}\` of ${since.date}, after the pockets were cut: the board no longer lies where it was pocketed; ${byHand}`;
}

/**
 * A board that is turned over is located by its edges, and no fact of the ledger says where these lay when it was bored:
 * it was laid to a line by hand then, and is again now. Over inserts the rims underneath are made by hand anyway.
 */
function undersideForbidden(context: WorkContext): string | null {
  const { progress, machine } = context;
  const length = (mm: number): string => lengthText(mm, machine.units);
  const width = rimWidth(context);
  if (progress.withInsert.length > 0) {
    return `the holes are broken through and reamed by hand from below: break their rims by hand with a countersink, ${length(width)} wide`;
  }
  const off = Math.SQRT2 * LAID_BY_HAND;
  return `the ledger does not say where the edges of the board lay when it was bored: laid by hand to ${length(LAID_BY_HAND)}, then and once more when it is turned over, its holes are known to ${length(off)}, and a rim break of ${length(width)} would come out ${length(Math.max(0, width - off))} to ${length(width + off)} wide; break the rims underneath by hand with a countersink`;
}

/** The rim at a site: of the pocket as recorded, where its figures are, else as planned. Null where no stack holds. */
function rimAt({ stacks, record }: WorkContext, { id, actual }: Site, width: number): Rim | null {
  const stack = stacks.get(id);
  const { board } = record.state;
  if (!stack || !board) return null;
  return { at: actual, radius: stack.pocketDiameter / 2, top: board.thickness, floor: stack.web, width };
}

function outOfReach(context: WorkContext, site: Site): void {
  addFinding(context, {
    code: 'operations/out-of-reach',
    message: `rim-break: site ${site.id} is beyond the travel`,
    help: 'break its rim by hand',
  });
}

/** The first rim that leaves the board or meets another one, or the solid that the cutter would meet. */
function roomRefused(context: WorkContext, rims: readonly SiteRim[], flank: number): string | null {
  const { machine } = context;
  const length = (mm: number): string => lengthText(mm, machine.units);
  const { minX, maxX, minY, maxY } = boardBox(machine);
  const outer = ({ rim }: SiteRim): number => rim.radius + rim.width;
  const tooWide = `take less than ${length(rims[0]!.rim.width)} for \`board.rim_break\``;
  for (const [index, one] of rims.entries()) {
    const [x, y] = one.rim.at;
    const left = Math.min(x - minX, maxX - x, y - minY, maxY - y) - outer(one);
    if (left < BETWEEN) {
      return `the rim of site ${one.site.id} would come within ${length(Math.max(0, left))} of the board's edge: ${tooWide}`;
    }
    const other = rims
      .slice(0, index)
      .find((before) => distance(before.rim.at, one.rim.at) - outer(before) - outer(one) < BETWEEN);
    if (other) return `the rims of sites ${other.site.id} and ${one.site.id} would meet: ${tooWide}`;
    const struck = obstaclesAbove(machine, one.path.tip).find(({ region }) =>
      pathTouches(circleAbout(one.rim.at, one.path.radius), flank, SIDE_AIR, region),
    );
    if (struck) {
      return `${struck.name} stands where the cutter goes round the rim of site ${one.site.id}: take it off`;
    }
  }
  return null;
}

/** A square round the circle of the tip: never less than it covers. */
function circleAbout([x, y]: Point, radius: number): Point[] {
  return [
    [x - radius, y - radius],
    [x + radius, y - radius],
    [x + radius, y + radius],
    [x - radius, y + radius],
    [x - radius, y - radius],
  ];
}
