import { z } from 'zod';
import { type Duty, LAYOUT_PATTERNS, SURFACING_STYLES, Z_ZEROS } from '../model/machine.ts';
import {
  choice,
  count,
  id,
  name,
  number,
  point,
  polygon,
  shapeFields,
  site,
  size,
  text,
  units,
  yesNo,
} from './common.ts';
import { controllerSchema } from './controller.ts';
import { quantity } from './quantity.ts';

function range(about: string, example: readonly [number, number]) {
  return z
    .tuple([
      quantity('length', 'Least', example[0], 'any'),
      quantity('length', 'Greatest', example[1], 'any'),
    ])
    .meta({ description: `${about}. [least, greatest]. Unit: length.`, examples: [example] });
}

const grooves = z
  .strictObject({
    pitch: size('Distance of groove centre lines of a grid', [50, 50]).optional(),
    width: quantity('length', 'Width of the grooves of a grid', 9).optional(),
    depth: quantity('length', 'Depth of the grooves of a grid', 8).optional(),
    offset: point(
      'First centre lines of a grid, from the lower left corner of the zone; default: centred',
      [25, 25],
    ).optional(),
    channels: z
      .array(
        z
          .strictObject({
            points: z
              .array(point('One point of the centre line', [100, 100]))
              .min(2)
              .max(500)
              .meta({
                description: 'Centre line of the channel. Unit: length.',
                examples: [
                  [
                    [100, 100],
                    [500, 100],
                  ],
                ],
              }),
            width: quantity('length', 'Width of the channel', 9),
            depth: quantity('length', 'Depth of the channel', 8),
          })
          .meta({
            description: 'One channel. Unit: length.',
            examples: [
              {
                points: [
                  [100, 100],
                  [500, 100],
                ],
                width: 9,
                depth: 8,
              },
            ],
          }),
      )
      .min(1)
      .max(500)
      .meta({
        description: 'Channels written out one by one, instead of a grid. Unit: length.',
        examples: [[]],
      })
      .optional(),
  })
  .meta({
    description:
      'Grooves of the zone: a grid (pitch, width, depth) or channels; leave it out when there are none. Unit: length.',
    examples: [{ pitch: [50, 50], width: 9, depth: 8 }],
  });

const zone = z
  .strictObject({
    id: name('Name of the zone', 'A'),
    ...shapeFields(),
    grooves: grooves.optional(),
    ports: z
      .array(
        z
          .strictObject({
            at: point('Centre of the port', [300, 400]),
            diameter: quantity('length', 'Diameter of the port at the bed surface', 50),
          })
          .meta({
            description: 'One vacuum port. Unit: length.',
            examples: [{ at: [300, 400], diameter: 50 }],
          }),
      )
      .max(100)
      .meta({
        description: 'Vacuum ports of the zone. Unit: length.',
        examples: [[{ at: [300, 400], diameter: 50 }]],
      })
      .optional(),
    gasket: z
      .strictObject({
        path: polygon().optional(),
        inset: quantity(
          'length',
          "Centre line this far inside the zone's outline",
          8,
          'zero-or-more',
        ).optional(),
        width: quantity('length', 'Width of the channel', 6),
        depth: quantity('length', 'Depth of the channel', 4),
        cord: z
          .strictObject({
            form: choice('Section of the cord', ['round', 'square'], 'round'),
            size: quantity('length', 'Diameter or side of the cord', 6),
          })
          .meta({
            description: 'Gasket cord in the channel. Unit: length.',
            examples: [{ form: 'round', size: 6 }],
          })
          .optional(),
      })
      .meta({
        description: 'Gasket channel round the zone. Unit: length.',
        examples: [{ inset: 8, width: 6, depth: 4 }],
      })
      .optional(),
  })
  .meta({
    description: 'One vacuum zone: exactly one of rect, circle, polygon, and what is in it. Unit: length.',
    examples: [{ id: 'A', rect: { at: [0, 0], size: [600, 800] } }],
  });

const bed = z
  .strictObject({
    outline: z
      .strictObject({
        at: point('Corner nearest the origin, of a rectangular bed', [-10, -10]).optional(),
        size: size('Width and depth of a rectangular bed', [1250, 2470]).optional(),
        polygon: polygon().optional(),
      })
      .meta({
        description: 'Outline of the bed: at and size, or polygon. Unit: length.',
        examples: [{ at: [-10, -10], size: [1250, 2470] }],
      }),
    material: text('What the bed is made of', 'phenolic-laminate', 60),
    thickness: quantity('length', 'Thickness of the bed', 25.4),
    cut_limit: quantity('length', 'Deepest any program may go below the bed surface', 2.5, 'zero-or-more'),
    floor: quantity('length', 'Least bed left under a hand-drilled hole', 5, 'zero-or-more'),
    zones: z
      .array(zone)
      .min(1)
      .max(100)
      .meta({
        description: 'Vacuum zones. Unit: length.',
        examples: [[{ id: 'A', rect: { at: [0, 0], size: [600, 800] } }]],
      }),
    keep_outs: z
      .array(
        z
          .strictObject({
            id: name('Name of the keep-out', 'tool-setter'),
            ...shapeFields(),
            height: quantity(
              'length',
              'Height above the bed of what stands there; leave it out when the place is flat',
              40,
            ).optional(),
            metal: yesNo('Is there metal', true).optional(),
          })
          .meta({
            description: 'A place nothing may enter: exactly one of rect, circle, polygon. Unit: length.',
            examples: [{ id: 'tool-setter', circle: { at: [1240, 2450], diameter: 70 } }],
          }),
      )
      .max(200)
      .meta({
        description: 'Places nothing may enter. Unit: length.',
        examples: [[{ id: 'tool-setter', circle: { at: [1240, 2450], diameter: 70 } }]],
      })
      .optional(),
    holes: z
      .array(
        z
          .strictObject({
            id: name('Name of the hole', 'H1'),
            at: point('Centre', [20, 20]),
            diameter: quantity('length', 'Diameter', 9),
          })
          .meta({
            description: 'A hole that is in the bed already. Unit: length.',
            examples: [{ id: 'H1', at: [20, 20], diameter: 9 }],
          }),
      )
      .max(1000)
      .meta({
        description: 'Holes that are in the bed already. Unit: length.',
        examples: [[{ id: 'H1', at: [20, 20], diameter: 9 }]],
      })
      .optional(),
    slots: z
      .array(
        z
          .strictObject({
            id: name('Name of the slot', 'S1'),
            from: point('One end of the centre line', [0, 100]),
            to: point('Other end of the centre line', [1200, 100]),
            width: quantity('length', 'Width', 14),
          })
          .meta({
            description: 'A slot or clamping rail in the bed. Unit: length.',
            examples: [{ id: 'S1', from: [0, 100], to: [1200, 100], width: 14 }],
          }),
      )
      .max(200)
      .meta({
        description: 'Slots and clamping rails in the bed. Unit: length.',
        examples: [[{ id: 'S1', from: [0, 100], to: [1200, 100], width: 14 }]],
      })
      .optional(),
  })
  .meta({ description: 'The permanent table. Unit: length.', examples: [{}] });

const layout = z
  .strictObject({
    pattern: choice(
      'How sites are placed: rows and columns, least sites that still cover, or positions written out',
      LAYOUT_PATTERNS,
      'aligned',
    ),
    pitch_max: quantity(
      'length',
      'Greatest distance of rows and of columns; default: from the plate formula',
      400,
    ).optional(),
    edge: z
      .tuple([
        quantity('length', "Least distance of the outer rows from the board's edge", 60, 'zero-or-more'),
        quantity('length', "Greatest distance of the outer rows from the board's edge", 90),
      ])
      .meta({
        description: "Distance of the outer rows from the board's edge. [least, greatest]. Unit: length.",
        examples: [[60, 90]],
      })
      .optional(),
    nudge_max: quantity(
      'length',
      'How far the layout may move a site off its row and column',
      6,
      'zero-or-more',
    ).optional(),
    sites: z
      .array(
        z
          .strictObject({ id: site('Name of the site', 'A1'), at: point('Nominal position', [60, 70]) })
          .meta({ description: 'One site. Unit: length.', examples: [{ id: 'A1', at: [60, 70] }] }),
      )
      .max(2000)
      .meta({
        description: 'Sites written out, with pattern given. Unit: length.',
        examples: [[{ id: 'A1', at: [60, 70] }]],
      })
      .optional(),
  })
  .meta({
    description: 'Where the board is fixed. Unit: length.',
    examples: [{ pattern: 'aligned', pitch_max: 400 }],
  });

/** `machine.yaml` as people write it. */
export const machineSchema = z
  .strictObject({
    id: id('Identifier of the machine, the same as its folder', 'heron'),
    title: text('Name people use', 'Heron, panel router by the north door'),
    units: units(),
    travel: z
      .strictObject({
        x: range('Travel of the spindle centre along X', [-25, 1265]),
        y: range('Travel of the spindle centre along Y', [-20, 2475]),
        z: range('Travel of the cutter tip along Z, 0 on the bed surface', [-12, 190]),
      })
      .meta({
        description: 'Where the spindle centre can go, in the bed frame. Unit: length.',
        examples: [{ x: [-25, 1265], y: [-20, 2475], z: [-12, 190] }],
      }),
    motion: z
      .strictObject({
        rapid: z
          .union([
            quantity('speed', 'Rapid of every axis', 18000),
            z.strictObject({
              x: quantity('speed', 'Rapid of X', 18000),
              y: quantity('speed', 'Rapid of Y', 18000),
              z: quantity('speed', 'Rapid of Z', 9000),
            }),
          ])
          .meta({
            description: 'Rapid speed: one for all axes, or x, y and z. Unit: speed.',
            examples: [18000, { x: 18000, y: 18000, z: 9000 }],
          }),
        max_feed: z
          .strictObject({
            xy: quantity('speed', 'Largest feed along X and Y', 12000),
            z: quantity('speed', 'Largest feed along Z', 4000),
          })
          .meta({ description: 'Largest feeds. Unit: speed.', examples: [{ xy: 12000, z: 4000 }] }),
        acceleration: z
          .strictObject({
            xy: quantity('acceleration', 'Acceleration of X and Y', 900),
            z: quantity('acceleration', 'Acceleration of Z', 450),
          })
          .meta({ description: 'Accelerations. Unit: acceleration.', examples: [{ xy: 900, z: 450 }] }),
        corner: z
          .strictObject({
            mode: choice(
              'Does the controller round corners within a tolerance, or stop at each',
              ['tolerance', 'exact-stop'],
              'tolerance',
            ).optional(),
            tolerance: quantity('length', 'How far the path may leave a corner', 0.05).optional(),
          })
          .meta({
            description: 'What happens at corners. Default: exact-stop. Unit: length.',
            examples: [{ tolerance: 0.05 }],
          })
          .optional(),
      })
      .meta({
        description: 'Speeds and accelerations. Unit: speed and acceleration.',
        examples: [{ rapid: 18000 }],
      }),
    spindle: z
      .strictObject({
        power_kw: number('Rated power', 'kW', 6, 0.05, 60),
        rpm: z
          .tuple([
            number('Least speed', 'rpm', 6000, 1, 100_000),
            number('Greatest speed', 'rpm', 18000, 1, 100_000),
          ])
          .meta({ description: 'Speed range. [least, greatest]. Unit: rpm.', examples: [[6000, 18000]] }),
        spin_up_s: number('Time to reach full speed', 's', 6, 0, 120),
        nose: z
          .strictObject({
            diameter: quantity('length', 'Diameter', 90),
            length: quantity('length', 'Length', 60),
          })
          .meta({
            description: 'Spindle nose above the collet nut, for collisions. Unit: length.',
            examples: [{ diameter: 90, length: 60 }],
          })
          .optional(),
        collet: z
          .strictObject({
            diameter: quantity('length', 'Diameter', 50),
            length: quantity('length', 'Length', 35),
          })
          .meta({
            description: 'Collet nut above the cutter, for collisions. Unit: length.',
            examples: [{ diameter: 50, length: 35 }],
          })
          .optional(),
      })
      .meta({
        description: 'Spindle. Unit: kW, rpm, s.',
        examples: [{ power_kw: 6, rpm: [6000, 18000], spin_up_s: 6 }],
      }),
    controller: controllerSchema,
    bed,
    datum: z
      .strictObject({
        mark: point('The mark that defines X0 Y0; default 0, 0', [0, 0]).optional(),
        second: point('The second mark, which defines direction', [1200, 0]),
        made: choice('How the marks are made', ['by-hand', 'cut'], 'by-hand'),
        depth: quantity('length', 'Depth of a cut mark', 0.4).optional(),
        work_offset: count('Work offset that holds X0 Y0; 1 is the first', 1, 1, 9).optional(),
      })
      .meta({
        description: 'Datum marks. Unit: length.',
        examples: [{ mark: [0, 0], second: [1200, 0], made: 'by-hand' }],
      }),
    z_zero: choice('Where programs have their Z 0', Z_ZEROS, 'bed').optional(),
    board: z
      .strictObject({
        stock: id('Board stock, from shared/boards.yaml', 'mdf-18'),
        at: point('Corner nearest the origin', [-5, -5]),
        size: size('Width and depth', [1240, 2460]),
        least_thickness: quantity('length', 'The board is replaced before it gets thinner than this', 9),
        underside_skim: quantity('length', 'Skim this much off the underside before fitting', 0.3).optional(),
        trim: yesNo('Are the edges trimmed to size on the machine', false).optional(),
        rim_break: quantity(
          'length',
          'Width, seen from above, of the chamfer on the rims of pockets and holes, where cut board swells first; left out: rims stay sharp',
          0.8,
        ).optional(),
        patch: z
          .strictObject({
            at: point('Corner nearest the origin', [300, 420]),
            size: size('Width and depth', [120, 80]),
            depth: quantity(
              'length',
              'Below the thinnest place measured: the depth of the damage, or of the inlay',
              3,
            ),
          })
          .meta({
            description:
              'A rectangle of the board to be cut down to a flat floor, to skim damage away there alone or to let an inlay in; taken out again when it is done. Unit: length.',
            examples: [{ at: [300, 420], size: [120, 80], depth: 3 }],
          })
          .optional(),
      })
      .meta({
        description: 'The sacrificial board. Unit: length.',
        examples: [{ stock: 'mdf-18', at: [-5, -5], size: [1240, 2460], least_thickness: 9 }],
      }),
    fixing: z
      .strictObject({
        use: id('Fixing, from shared/fixings.yaml', 'm6-hex-nylon'),
        held: site(
          'Site that holds the board, by a close hole; every other hole grows with the distance from it. Default: the site nearest the middle of the board',
          'D2',
        ).optional(),
        layout,
        nudges: z
          .record(
            z.string().regex(/^[A-Z]{1,2}[1-9][0-9]{0,2}$/),
            z
              .strictObject({
                by: point('How far', [2.5, -1]),
                reason: text('What was found there', 'grazes the port ring on the air pass of 2026-02-03'),
              })
              .meta({
                description: 'One nudge. Unit: length.',
                examples: [{ by: [2.5, -1], reason: 'grazes the port ring' }],
              }),
          )
          .meta({
            description: 'Sites moved by hand after an air pass, by site, with the reason. Unit: length.',
            examples: [{ B3: { by: [2.5, -1], reason: 'grazes the port ring' } }],
          })
          .optional(),
      })
      .meta({
        description: 'How the board is fixed. Unit: length.',
        examples: [{ use: 'm6-hex-nylon', layout: { pattern: 'aligned' } }],
      }),
    cutters: z
      .strictObject({
        drill: id('Cutter for holes, from shared/cutters.yaml', 'upcut-6'),
        pocket: id('Cutter for socket pockets', 'upcut-6'),
        surface: id('Cutter for surfacing', 'flattener-63'),
        mark: id('Cutter for marks; default: the one for holes', 'vee-90').optional(),
        trim: id("Cutter for trimming the board's edges; default: none", 'upcut-6').optional(),
        rim: id('Pointed cutter for the rims of the pockets; default: none', 'vee-90').optional(),
      } satisfies Record<Duty, z.ZodType>)
      .meta({
        description: 'Cutters by duty. No unit.',
        examples: [{ drill: 'upcut-6', pocket: 'upcut-6', surface: 'flattener-63' }],
      }),
    clear_height: quantity('length', 'Height above the bed at which nothing stands in the way', 60),
    park: point('Where a program leaves the spindle', [0, 2400]),
    home: z
      .strictObject({
        at: point('X and Y of the spindle there; left out: only Z goes home', [1240, 2440]).optional(),
        z: quantity('length', 'Height of the tip above the bed there, with the longest cutter in use', 180),
      })
      .meta({
        description:
          'Where the machine stands at home: machine coordinate 0 of its axes, and the place that G28 goes to. Left out: a program that goes anywhere in machine coordinates but straight up cannot be proven. Unit: length.',
        examples: [{ at: [1240, 2440], z: 180 }],
      })
      .optional(),
    surfacing: z
      .strictObject({
        rows: choice('Rows run along', ['x', 'y'], 'x').optional(),
        style: choice('Order of the rows', SURFACING_STYLES, 'serpentine').optional(),
        stepover: number(
          "Step between rows as a share of the cutter's diameter",
          'share, 0.05 to 0.95',
          0.6,
          0.05,
          0.95,
        ).optional(),
        depth_per_pass: quantity('length', 'Deepest cut in one pass', 0.5).optional(),
        overrun: quantity(
          'length',
          "How far the rim runs over the board's edge",
          4,
          'zero-or-more',
        ).optional(),
        margin: quantity(
          'length',
          'Taken off below the lowest measured point',
          0.1,
          'zero-or-more',
        ).optional(),
        perimeter_pass: yesNo(
          'Add a pass round the edge that clears the triangles between row ends',
          true,
        ).optional(),
        skim: z
          .strictObject({
            from: choice(
              'What a skim starts from: the current height map where there is one, or always the stated depth',
              ['heights', 'depth'],
              'heights',
            ).optional(),
            depth: quantity(
              'length',
              "Taken off below the thinnest place measured, when no height map is used; the house's skim if left out",
              0.4,
            ).optional(),
            plane: choice(
              "Target of a skim from heights: level, or the plane that takes off least within the house's tilt limit",
              ['level', 'best'],
              'level',
            ).optional(),
          })
          .meta({
            description: 'What the next skim takes off. Unit: length where a length is meant.',
            examples: [{ from: 'depth', depth: 0.4 }],
          })
          .optional(),
      })
      .meta({
        description: 'Surfacing habits. Unit: length where a length is meant.',
        examples: [{ rows: 'x', stepover: 0.6 }],
      })
      .optional(),
    vacuum: z
      .strictObject({
        altitude: quantity('length', 'Height above sea level', '40 m', 'any'),
        gauge: quantity('pressure', 'Reading of the gauge that work is planned with', '20 inHg'),
        flow: quantity('flow', 'Free air the pump moves at that reading', '250 m3/h').optional(),
      })
      .meta({
        description: 'Vacuum. Unit: length, pressure, flow.',
        examples: [{ altitude: '40 m', gauge: '20 inHg' }],
      }),
    tram: z
      .strictObject({ x: tramReading('X'), y: tramReading('Y') })
      .meta({
        description:
          'Tilt of the spindle as found with an indicator swung round it; leave it out when never measured. Unit: length.',
        examples: [{ x: { reading: 0.05, over: 200 }, y: { reading: -0.02, over: 200 } }],
      })
      .optional(),
    clamps: z
      .array(
        z
          .strictObject({
            id: name('Name of the clamp', 'fence'),
            ...shapeFields(),
            height: quantity('length', 'Height above the bed', 45),
          })
          .meta({
            description:
              'A solid that stands on the board or bed while the board is machined: exactly one of rect, circle, polygon. Unit: length.',
            examples: [{ id: 'fence', rect: { at: [0, 2440], size: [400, 20] }, height: 45 }],
          }),
      )
      .max(100)
      .meta({
        description: 'Solids that stand on the board or bed while the board is machined. Unit: length.',
        examples: [[{ id: 'fence', rect: { at: [0, 2440], size: [400, 20] }, height: 45 }]],
      })
      .optional(),
  })
  .meta({
    title: 'Machine profile',
    description:
      'One router: its bed, its board, its controller, how the board is fixed. Unit: as `units` say.',
    examples: [{ id: 'heron' }],
  });

function tramReading(axis: string) {
  return z
    .strictObject({
      reading: quantity(
        'length',
        `Indicator difference, positive when the spindle leans towards +${axis}`,
        0.05,
        'any',
      ),
      over: quantity('length', 'Distance of the two readings', 200),
    })
    .meta({ description: `Tram along ${axis}. Unit: length.`, examples: [{ reading: 0.05, over: 200 }] });
}

export type MachineWritten = z.infer<typeof machineSchema>;
