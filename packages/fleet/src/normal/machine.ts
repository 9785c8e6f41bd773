import type { Diagnostic } from '@bedledger/diagnostics';
import { resolveController } from '../controller/resolve.ts';
import type { Gasket, Grooves, Machine, Zone } from '../model/machine.ts';
import type { MachineWritten } from '../written/machine.ts';
import { type Reader, readerFor, readShape } from './lengths.ts';

type ZoneWritten = MachineWritten['bed']['zones'][number];

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
    inset: written.inset === undefined ? width / 2 : read.length(written.inset),
    width,
    depth: read.length(written.depth),
    ...(written.cord ? { cord: { form: written.cord.form, size: read.length(written.cord.size) } } : {}),
  };
}

function zone(written: ZoneWritten, read: Reader): Zone {
  return {
    id: written.id,
    // Zones without a shape are refused by the checks before anybody sees them.
    shape: readShape(written, read) ?? { kind: 'polygon', points: [] },
    grooves: grooves(written.grooves, read),
    ports: (written.ports ?? []).map((p) => ({ at: read.point(p.at), diameter: read.length(p.diameter) })),
    ...(written.gasket ? { gasket: gasket(written.gasket, read) } : {}),
  };
}

/**
 * A valid written profile in millimetres with every default filled. Controller combinations that cannot work come back
 * as findings without a place.
 */
export function normaliseMachine(written: MachineWritten): {
  machine: Machine;
  controller: readonly Diagnostic[];
} {
  const read = readerFor(written.units);
  const { motion, spindle, bed, datum, board, fixing, surfacing, vacuum, tram } = written;
  const rapid =
    typeof motion.rapid === 'object'
      ? { x: read.speed(motion.rapid.x), y: read.speed(motion.rapid.y), z: read.speed(motion.rapid.z) }
      : { x: read.speed(motion.rapid), y: read.speed(motion.rapid), z: read.speed(motion.rapid) };
  const maxFeed = { xy: read.speed(motion.max_feed.xy), z: read.speed(motion.max_feed.z) };
  const { controller, diagnostics } = resolveController(written.controller, written.units, maxFeed.xy);
  const mm = (value: number | string | undefined, otherwise: number) =>
    value === undefined ? otherwise : read.length(value);
  const solid = (s: { diameter: number | string; length: number | string } | undefined) =>
    s ? { diameter: read.length(s.diameter), length: read.length(s.length) } : null;
  const tilt = (t: { reading: number | string; over: number | string }) =>
    Math.atan2(read.length(t.reading), read.length(t.over));

  const machine: Machine = {
    id: written.id,
    title: written.title,
    units: written.units,
    travel: {
      x: read.range(written.travel.x),
      y: read.range(written.travel.y),
      z: read.range(written.travel.z),
    },
    motion: {
      rapid,
      maxFeed,
      acceleration: {
        xy: read.of('acceleration', motion.acceleration.xy),
        z: read.of('acceleration', motion.acceleration.z),
      },
      corner:
        motion.corner && (motion.corner.mode ?? 'tolerance') === 'tolerance'
          ? { mode: 'tolerance', tolerance: mm(motion.corner.tolerance, 0.05) }
          : { mode: 'exact-stop' },
    },
    spindle: {
      powerKw: spindle.power_kw,
      rpm: spindle.rpm,
      spinUp: spindle.spin_up_s,
      nose: solid(spindle.nose),
      collet: solid(spindle.collet),
    },
    controller,
    bed: {
      outline: bed.outline.polygon
        ? { kind: 'polygon', points: bed.outline.polygon.map(read.point) }
        : {
            kind: 'rect',
            at: read.point(bed.outline.at ?? [0, 0]),
            size: read.point(bed.outline.size ?? [0, 0]),
          },
      material: bed.material,
      thickness: read.length(bed.thickness),
      cutLimit: read.length(bed.cut_limit),
      floor: read.length(bed.floor),
      zones: bed.zones.map((z) => zone(z, read)),
      keepOuts: (bed.keep_outs ?? []).map((k) => ({
        id: k.id,
        shape: readShape(k, read) ?? { kind: 'polygon', points: [] },
        height: k.height === undefined ? null : read.length(k.height),
        metal: k.metal ?? k.height !== undefined,
      })),
      holes: (bed.holes ?? []).map((h) => ({
        id: h.id,
        at: read.point(h.at),
        diameter: read.length(h.diameter),
      })),
      slots: (bed.slots ?? []).map((s) => ({
        id: s.id,
        from: read.point(s.from),
        to: read.point(s.to),
        width: read.length(s.width),
      })),
    },
    datum: {
      mark: datum.mark ? read.point(datum.mark) : [0, 0],
      second: read.point(datum.second),
      made: datum.made,
      depth: mm(datum.depth, datum.made === 'cut' ? 0.4 : 0),
      workOffset: datum.work_offset ?? 1,
    },
    zZero: written.z_zero ?? 'bed',
    board: {
      stock: board.stock,
      at: read.point(board.at),
      size: read.point(board.size),
      leastThickness: read.length(board.least_thickness),
      undersideSkim: board.underside_skim === undefined ? null : read.length(board.underside_skim),
      trim: board.trim ?? false,
    },
    fixing: {
      use: fixing.use,
      layout: {
        pattern: fixing.layout.pattern,
        pitchMax: fixing.layout.pitch_max === undefined ? null : read.length(fixing.layout.pitch_max),
        edge: fixing.layout.edge ? read.range(fixing.layout.edge) : [60, 90],
        nudgeMax: mm(fixing.layout.nudge_max, 6),
        sites: (fixing.layout.sites ?? []).map((s) => ({ id: s.id, at: read.point(s.at) })),
      },
      nudges: Object.entries(fixing.nudges ?? {})
        .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
        .map(([site, n]) => ({ site, by: read.point(n.by), reason: n.reason })),
    },
    cutters: {
      drill: written.cutters.drill,
      pocket: written.cutters.pocket,
      surface: written.cutters.surface,
      mark: written.cutters.mark ?? written.cutters.drill,
      trim: written.cutters.trim ?? null,
    },
    clearHeight: read.length(written.clear_height),
    park: read.point(written.park),
    surfacing: {
      rows: surfacing?.rows ?? 'x',
      style: surfacing?.style ?? 'serpentine',
      stepover: surfacing?.stepover ?? 0.6,
      depthPerPass: mm(surfacing?.depth_per_pass, 0.5),
      overrun: mm(surfacing?.overrun, 0),
      margin: mm(surfacing?.margin, 0.1),
      perimeterPass: surfacing?.perimeter_pass ?? true,
      skim: {
        from: surfacing?.skim?.from ?? 'heights',
        depth: surfacing?.skim?.depth === undefined ? null : read.length(surfacing.skim.depth),
        plane: surfacing?.skim?.plane ?? 'level',
      },
    },
    vacuum: {
      altitude: read.length(vacuum.altitude) / 1000,
      gauge: read.of('pressure', vacuum.gauge),
      flow: vacuum.flow === undefined ? null : read.of('flow', vacuum.flow),
    },
    tram: tram ? { x: tilt(tram.x), y: tilt(tram.y) } : null,
    clamps: (written.clamps ?? []).map((c) => ({
      id: c.id,
      shape: readShape(c, read) ?? { kind: 'polygon', points: [] },
      height: read.length(c.height),
    })),
  };
  return { machine, controller: diagnostics };
}
