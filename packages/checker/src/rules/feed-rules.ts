import type { Diagnostic } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { emptyExtents, isPlaced, motionExtents, resolveArc } from '../simulation/motions.ts';
import { ARC, RAPID } from '../trace.ts';
import { type Case, gridStep, roundingOf } from './case.ts';
import { mm } from './finding.ts';
import type { CheckerCode } from './table.ts';

/**
 * A feed may pass the cutter's plain chip load by this factor: with little of the cutter engaged the chip is thinner
 * than the feed per tooth, and a feed may make up for it (handbooks' chip thinning; 2 is its value at a tenth of the
 * diameter).
 */
const THINNING = 2;
/** Below this share of the least chip load a cutter rubs (common practice, no source). */
const RUBBING = 0.25;

/** Feeds against axes, controller and cutter; plunges, ramps, cutting length and power against what the cutter can do. */
export function checkFeeds(c: Case): Diagnostic[] {
  const { machine, house, stock } = c.record;
  const { trace, simulation, cutter } = c;
  const { inside, removed, seconds, motions: m } = simulation;
  const found: Diagnostic[] = [];
  const told = new Set<string>();
  const add = (
    id: CheckerCode,
    line: number,
    word: string,
    message: string,
    facts: Record<string, number> = {},
  ): void => {
    if (told.has(id)) return;
    told.add(id);
    found.push(report({ code: id, ...inFile(c.file, line, word), message, facts }));
  };
  const unit = machine.controller.units === 'in' ? 25.4 : 1;
  const step = gridStep(machine.controller);
  const material = c.scene.setting.board === 'fitted' ? stock.material : machine.bed.material;
  const chip = cutter?.chipLoad[material] ?? null;
  const feedRounding = unit * 0.51;

  let lateral = 0;
  for (let i = 0; i < m.length; i++) {
    if (trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    const across = Math.abs(m.toX(i) - m.fromX(i)) + Math.abs(m.toY(i) - m.fromY(i));
    if (trace.kind[i] === ARC || across > step / 2) lateral = Math.max(lateral, trace.feed[i]!);
  }

  const reach = runReach(c);
  for (let i = 0; i < m.length; i++) {
    if (trace.kind[i] === RAPID || !isPlaced(m, i)) continue;
    const line = trace.line[i]!;
    const feed = trace.feed[i]!;
    if (!(feed > 0)) {
      add('program/feed-missing', line, 'G', 'this feed motion has no feed of its own');
      continue;
    }
    const { min, max } = machine.controller.feed;
    if (feed < min - feedRounding || feed > max + feedRounding) {
      add(
        'program/feed-limit',
        line,
        'F',
        `F is ${feed} mm/min, the controller takes ${min} to ${max} mm/min`,
        {
          found: feed,
          least: min,
          most: max,
        },
      );
    }
    const dx = m.toX(i) - m.fromX(i);
    const dy = m.toY(i) - m.fromY(i);
    const dz = m.toZ(i) - m.fromZ(i);
    let across = Math.sqrt(dx * dx + dy * dy);
    if (trace.kind[i] === ARC) {
      const arc = resolveArc(m, i);
      if (arc.plane === 17) across = (Math.abs(arc.sweep) * (arc.startRadius + arc.endRadius)) / 2;
    }
    const length = Math.sqrt(across * across + dz * dz);
    if (length < 1e-9) continue;
    const axisXY = (feed * across) / length;
    const axisZ = (feed * Math.abs(dz)) / length;
    if (
      axisXY > machine.motion.maxFeed.xy + feedRounding ||
      axisZ > machine.motion.maxFeed.z + feedRounding
    ) {
      add(
        'program/feed-limit',
        line,
        'F',
        `F ${feed} mm/min asks ${Math.round(axisXY)} mm/min of X Y and ${Math.round(axisZ)} of Z, the axes run ${machine.motion.maxFeed.xy} and ${machine.motion.maxFeed.z}`,
        { xy: axisXY, z: axisZ },
      );
    }
    if (inside[i] !== 1 && !(removed[i]! > 0.005)) {
      // in the air a crawl does no harm, but no one means it
      const crawl = chip && cutter ? Math.abs(trace.rpm[i]!) * cutter.flutes * chip[0] * RUBBING : 0;
      if (across > c.simulation.cutter.shape.radius && feed < crawl - feedRounding) {
        add(
          'program/feed-low',
          line,
          'F',
          `F is ${Math.round(feed * 10) / 10} mm/min outside the material, below ${Math.round(crawl)} the cutter would rub`,
          {
            found: feed,
            needed: crawl,
          },
        );
      }
      continue;
    }

    const rpm = Math.abs(trace.rpm[i]!);
    const down = dz < -step / 2;
    const steep = across <= step / 2 || Math.abs(dz) > across;
    if (cutter) {
      const rim =
        feed * (down && steep ? 1 : 1 + c.simulation.cutter.shape.radius / Math.max(reach[i]!, 1e-3));
      if (chip && rpm > 0) {
        const most = rpm * cutter.flutes * chip[1];
        const least = rpm * cutter.flutes * chip[0];
        if (feed > most * THINNING + feedRounding) {
          add(
            'program/feed-high',
            line,
            'F',
            `F is ${Math.round(feed)} mm/min, ${cutter.id} takes ${Math.round(most)} at ${rpm} rpm`,
            {
              found: feed,
              allowed: most * THINNING,
            },
          );
        }
        if (rim < least * RUBBING * (down && steep ? house.feed.plungeShare : 1) - feedRounding) {
          add(
            'program/feed-low',
            line,
            'F',
            `the rim feeds at ${Math.round(rim * 10) / 10} mm/min, ${cutter.id} rubs below about ${Math.round(least * RUBBING)} at ${rpm} rpm`,
            {
              found: feed,
              needed: least * RUBBING,
            },
          );
        }
      }
      if (down && steep) {
        const byChip = chip && rpm > 0 ? rpm * cutter.flutes * chip[1] * THINNING : Infinity;
        const base = lateral > 0 ? Math.min(lateral, byChip) : byChip / THINNING;
        const plunge = house.feed.plungeShare * base;
        if (feed > plunge * 1.02 + feedRounding) {
          add(
            'program/plunge-feed',
            line,
            'F',
            `a plunge at ${Math.round(feed)} mm/min, allowed are ${Math.round(plunge)} (${house.feed.plungeShare} of the cutting feed)`,
            { found: feed, allowed: plunge },
          );
        }
      }
      // only what really removes something counts: going down a finished hole is not a plunge
      if (down && removed[i]! > 0.05) {
        if (across <= step / 2) {
          if (!cutter.canPlunge) {
            add(
              'program/plunge',
              line,
              'Z',
              `${cutter.id} cannot plunge and goes straight down ${mm(-dz)} into material`,
            );
          }
        } else if (!(cutter.kind === 'drill')) {
          const angle = Math.atan2(-dz, across);
          if (angle > house.feed.rampAngle * 1.02 + 1e-3) {
            add(
              'program/ramp',
              line,
              'Z',
              `a ramp of ${degrees(angle)}°, the house allows ${degrees(house.feed.rampAngle)}°`,
              {
                found: angle,
                allowed: house.feed.rampAngle,
              },
            );
          }
        }
      }
      const top =
        c.scene.setting.board === 'fitted' &&
        c.scene.overBoard(boxAt(m.toX(i), m.toY(i)), cutter.diameter / 2)
          ? c.scene.boardTop
          : 0;
      const depth = top - Math.min(m.fromZ(i), m.toZ(i));
      if (depth > cutter.cuttingLength + roundingOf(machine.controller)) {
        add(
          'program/cutting-length',
          line,
          'Z',
          `the tip is ${mm(depth)} below the top, ${cutter.id} cuts over ${mm(cutter.cuttingLength)}`,
          {
            found: depth,
            allowed: cutter.cuttingLength,
          },
        );
      }
    }
    const time = seconds[i]!;
    if (time > 0.05) {
      const watts = (house.feed.specificForce * removed[i]!) / time / 1000;
      const allowed = machine.spindle.powerKw * 1000 * house.feed.powerShare;
      if (watts > allowed * 1.02) {
        add(
          'program/power',
          line,
          'F',
          `this cut takes ${Math.round(watts)} W, the spindle may give ${Math.round(allowed)} W`,
          {
            found: watts,
            allowed,
          },
        );
      }
    }
  }
  return found;
}

/**
 * For each feed motion, half the larger side of the box that its run covers in X Y; a run is what follows one another at
 * one feed. Inside a round cut it is the radius of the path, and there the rim moves faster than the centre by
 * (path radius + cutter radius) / path radius, whether the circle is written as arcs or as chords.
 */
function runReach(c: Case): Float64Array {
  const { trace, simulation } = c;
  const { motions: m } = simulation;
  const reach = new Float64Array(m.length);
  const box = emptyExtents();
  let from = 0;
  const close = (end: number): void => {
    const half = Math.max(box.maxX - box.minX, box.maxY - box.minY, 0) / 2;
    for (let k = from; k < end; k++) reach[k] = half;
    Object.assign(box, emptyExtents());
    from = end;
  };
  for (let i = 0; i < m.length; i++) {
    if (
      i > from &&
      (trace.kind[i] === RAPID || trace.kind[i - 1] === RAPID || trace.feed[i] !== trace.feed[i - 1])
    )
      close(i);
    if (isPlaced(m, i)) motionExtents(m, i, box);
  }
  close(m.length);
  return reach;
}

function boxAt(x: number, y: number): { minX: number; maxX: number; minY: number; maxY: number } {
  return { minX: x, maxX: x, minY: y, maxY: y };
}

function degrees(radians: number): number {
  return Math.round((radians * 18000) / Math.PI) / 100;
}
