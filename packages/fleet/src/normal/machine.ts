import type { Diagnostic } from '@bedledger/diagnostics';
import { resolveController } from '../controller/resolve.ts';
import type { Bed, Gasket, Grooves, Machine, Zone } from '../model/machine.ts';
import { below, type Locator, nowhere } from '../report.ts';
import type { MachineWritten } from '../written/machine.ts';
import type { WrittenQuantity } from '../written/quantity.ts';
import { type Reader, readerFor, shapeOf } from './lengths.ts';

type ZoneWritten = MachineWritten['bed']['zones'][number];

/** A length that may be left out. */
function lengthOr<T>(read: Reader, value: WrittenQuantity | undefined, otherwise: T): number | T {
  return value === undefined ? otherwise : read.length(value);
}

function grooves(written: ZoneWritten['grooves'], read: Reader): Grooves {
  if (!written) return { kind: 'none' };
  if (written.channels) {
    return {
      kind: 'channels',
      channels: written.channels.map((c) => ({
        points: c.points.map(read.point),
        width: read.length(c.width),
        depth: read.length(c.depth),
      })),
    };
  }
  if (!written.pitch || written.width === undefined || written.depth === undefined) return { kind: 'none' };
  return {
    kind: 'grid',
    pitch: read.point(written.pitch),
    width: read.length(written.width),
    depth: read.length(written.depth),
    ...(written.offset ? { offset: read.point(written.offset) } : {}),
  };
}

function gasket(written: NonNullable<ZoneWritten['gasket']>, read: Reader): Gasket {
  const width = read.length(written.width);
  return {
    ...(written.path ? { path: written.path.map(read.point) } : {}),
    // The channel lies wholly inside the outline when nothing is said.
    inset: lengthOr(read, written.inset, width / 2),
    width,
    depth: read.length(written.depth),
    ...(written.cord ? { cord: { form: written.cord.form, size: read.length(written.cord.size) } } : {}),
  };
}

function zone(written: ZoneWritten, read: Reader): Zone {
  return {
    id: written.id,
    shape: shapeOf(written, read),
    grooves: grooves(written.grooves, read),
    ports: (written.ports ?? []).map((p) => ({ at: read.point(p.at), diameter: read.length(p.diameter) })),
    ...(written.gasket ? { gasket: gasket(written.gasket, read) } : {}),
  };
}

function bedOf(written: MachineWritten['bed'], read: Reader): Bed {
  const { outline } = written;
  return {
    outline: outline.polygon
      ? { kind: 'polygon', points: outline.polygon.map(read.point) }
      : { kind: 'rect', at: read.point(outline.at ?? [0, 0]), size: read.point(outline.size ?? [0, 0]) },
    material: written.material,
    thickness: read.length(written.thickness),
    cutLimit: read.length(written.cut_limit),
    floor: read.length(written.floor),
    zones: written.zones.map((z) => zone(z, read)),
    keepOuts: (written.keep_outs ?? []).map((k) => ({
      id: k.id,
      shape: shapeOf(k, read),
      height: lengthOr(read, k.height, null),
      metal: k.metal ?? k.height !== undefined,
    })),
    holes: (written.holes ?? []).map((h) => ({
      id: h.id,
      at: read.point(h.at),
      diameter: read.length(h.diameter),
    })),
    slots: (written.slots ?? []).map((s) => ({
      id: s.id,
      from: read.point(s.from),
      to: read.point(s.to),
      width: read.length(s.width),
    })),
  };
}

function motionOf(written: MachineWritten['motion'], read: Reader): Machine['motion'] {
  const { rapid, max_feed, acceleration, corner } = written;
  const each = typeof rapid === 'object' ? rapid : { x: rapid, y: rapid, z: rapid };
  return {
    rapid: { x: read.speed(each.x), y: read.speed(each.y), z: read.speed(each.z) },
    maxFeed: { xy: read.speed(max_feed.xy), z: read.speed(max_feed.z) },
    acceleration: {
      xy: read.of('acceleration', acceleration.xy),
      z: read.of('acceleration', acceleration.z),
    },
    corner:
      corner && (corner.mode ?? 'tolerance') === 'tolerance'
        ? { mode: 'tolerance', tolerance: lengthOr(read, corner.tolerance, 0.05) }
        : { mode: 'exact-stop' },
  };
}

function fixingOf(written: MachineWritten['fixing'], read: Reader): Machine['fixing'] {
  const { layout } = written;
  return {
    use: written.use,
    held: written.held ?? null,
    layout: {
      pattern: layout.pattern,
      pitchMax: lengthOr(read, layout.pitch_max, null),
      edge: layout.edge ? read.range(layout.edge) : [60, 90],
      nudgeMax: lengthOr(read, layout.nudge_max, 6),
      sites: (layout.sites ?? []).map((s) => ({ id: s.id, at: read.point(s.at) })),
    },
    nudges: Object.entries(written.nudges ?? {})
      .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
      .map(([site, n]) => ({ site, by: read.point(n.by), reason: n.reason })),
  };
}

function surfacingOf(written: MachineWritten['surfacing'], read: Reader): Machine['surfacing'] {
  return {
    rows: written?.rows ?? 'x',
    style: written?.style ?? 'serpentine',
    stepover: written?.stepover ?? 0.6,
    depthPerPass: lengthOr(read, written?.depth_per_pass, 0.5),
    overrun: lengthOr(read, written?.overrun, 0),
    margin: lengthOr(read, written?.margin, 0.1),
    perimeterPass: written?.perimeter_pass ?? true,
    skim: {
      from: written?.skim?.from ?? 'heights',
      depth: lengthOr(read, written?.skim?.depth, null),
      plane: written?.skim?.plane ?? 'level',
    },
  };
}

function boardOf(board: MachineWritten['board'], read: ReturnType<typeof readerFor>): Machine['board'] {
  return {
    stock: board.stock,
    at: read.point(board.at),
    size: read.point(board.size),
    leastThickness: read.length(board.least_thickness),
    undersideSkim: lengthOr(read, board.underside_skim, null),
    trim: board.trim ?? false,
    rimBreak: lengthOr(read, board.rim_break, null),
    patch: board.patch
      ? {
          at: read.point(board.patch.at),
          size: read.point(board.patch.size),
          depth: read.length(board.patch.depth),
        }
      : null,
  };
}

/**
 * A valid written profile in millimetres with every default filled, and the combinations of its controller's options
 * that cannot work. `at` locates in the profile.
 */
export function normaliseMachine(
  written: MachineWritten,
  at: Locator = nowhere,
): { machine: Machine; diagnostics: readonly Diagnostic[] } {
  const { travel, spindle, datum, cutters, vacuum, tram, units } = written;
  const read = readerFor(units);
  const motion = motionOf(written.motion, read);
  const { controller, diagnostics } = resolveController(
    written.controller,
    units,
    motion.maxFeed.xy,
    below(at, 'controller'),
  );
  const solid = (s: MachineWritten['spindle']['nose']) =>
    s ? { diameter: read.length(s.diameter), length: read.length(s.length) } : null;
  const tilt = (t: NonNullable<MachineWritten['tram']>['x']) =>
    Math.atan2(read.length(t.reading), read.length(t.over));

  const machine: Machine = {
    id: written.id,
    title: written.title,
    units,
    travel: { x: read.range(travel.x), y: read.range(travel.y), z: read.range(travel.z) },
    motion,
    spindle: {
      powerKw: spindle.power_kw,
      rpm: spindle.rpm,
      spinUp: spindle.spin_up_s,
      nose: solid(spindle.nose),
      collet: solid(spindle.collet),
    },
    controller,
    bed: bedOf(written.bed, read),
    datum: {
      mark: datum.mark ? read.point(datum.mark) : [0, 0],
      second: read.point(datum.second),
      made: datum.made,
      depth: lengthOr(read, datum.depth, datum.made === 'cut' ? 0.4 : 0),
      workOffset: datum.work_offset ?? 1,
    },
    zZero: written.z_zero ?? 'bed',
    board: boardOf(written.board, read),
    fixing: fixingOf(written.fixing, read),
    cutters: {
      ...cutters,
      mark: cutters.mark ?? cutters.drill,
      trim: cutters.trim ?? null,
      rim: cutters.rim ?? null,
    },
    clearHeight: read.length(written.clear_height),
    park: read.point(written.park),
    home: written.home
      ? { at: written.home.at ? read.point(written.home.at) : null, z: read.length(written.home.z) }
      : null,
    surfacing: surfacingOf(written.surfacing, read),
    vacuum: {
      altitude: read.length(vacuum.altitude) / 1000,
      gauge: read.of('pressure', vacuum.gauge),
      flow: vacuum.flow === undefined ? null : read.of('flow', vacuum.flow),
    },
    tram: tram ? { x: tilt(tram.x), y: tilt(tram.y) } : null,
    clamps: (written.clamps ?? []).map((c) => ({
      id: c.id,
      shape: shapeOf(c, read),
      height: read.length(c.height),
    })),
  };
  return { machine, diagnostics };
}
