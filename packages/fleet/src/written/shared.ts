import { z } from 'zod';
import { CUTTER_KINDS } from '../model/shared.ts';
import { choice, count, id, number, size, text, units, yesNo } from './common.ts';
import { quantity } from './quantity.ts';

const ID_KEY = z.string().regex(/^[a-z][a-z0-9-]{0,39}$/);

/** `shared/cutters.yaml`. */
export const cuttersSchema = z
  .strictObject({
    units: units(),
    cutters: z
      .record(
        ID_KEY,
        z
          .strictObject({
            title: text('Name people use', 'Up-cut spiral, 6 mm, two flutes'),
            kind: choice('What it is', CUTTER_KINDS, 'end-mill-up'),
            diameter: quantity('length', 'Cutting diameter', 6),
            cutting_length: quantity('length', 'Length of the cutting edges', 22),
            stick_out: quantity('length', "From the collet's face to the tip as usually set", 32).optional(),
            shank_diameter: quantity('length', 'Diameter of the shank', 6),
            flutes: count('Cutting edges', 2, 1, 12),
            can_plunge: yesNo('Is it made to go straight down', true),
            max_rpm: number(
              'Greatest speed, as marked on the cutter; leave it out when not marked',
              'rpm',
              24000,
              100,
              100_000,
            ).optional(),
            point_angle: number('Full angle of the point; 180 is flat', 'deg', 180, 10, 180).optional(),
            chip_load: z
              .record(
                ID_KEY,
                z.tuple([quantity('length', 'Least', 0.08), quantity('length', 'Greatest', 0.2)]).meta({
                  description: 'Chip per tooth. [least, greatest]. Unit: length.',
                  examples: [[0.08, 0.2]],
                }),
              )
              .meta({
                description: 'Chip per tooth by material. Unit: length.',
                examples: [{ mdf: [0.08, 0.2] }],
              }),
            number: count('Tool number where the controller wants one', 1, 0, 999),
          })
          .meta({ description: 'One cutter. Unit: length.', examples: [{ title: 'Up-cut spiral' }] }),
      )
      .meta({ description: 'Cutters by identifier. Unit: length.', examples: [{}] }),
  })
  .meta({
    title: 'Cutters',
    description: 'Every cutter of the house. Unit: as `units` say.',
    examples: [{ units: 'mm', cutters: {} }],
  });

/** `shared/boards.yaml`. */
export const boardsSchema = z
  .strictObject({
    units: units(),
    boards: z
      .record(
        ID_KEY,
        z
          .strictObject({
            title: text('Name people use', 'MDF 18 mm'),
            material: id('Material, as the chip loads of the cutters name it', 'mdf'),
            thickness: quantity('length', 'Thickness on the label', 18),
            sheet: size('Sheet as bought', [1250, 2500]),
            modulus: quantity('modulus', 'Bending modulus', 2.4),
            poisson: number("Poisson's ratio", 'none', 0.25, 0, 0.5),
            density: quantity('density', 'Density', 740),
            permeability: quantity(
              'permeability',
              'Permeability across the face; leave it out when never calibrated',
              1e-13,
            ).optional(),
          })
          .meta({ description: 'One board stock. Unit: length.', examples: [{ title: 'MDF 18 mm' }] }),
      )
      .meta({ description: 'Board stocks by identifier. Unit: length.', examples: [{}] }),
  })
  .meta({
    title: 'Boards',
    description: 'Every board stock of the house. Unit: as `units` say.',
    examples: [{ units: 'mm', boards: {} }],
  });

const severity = (about: string) => choice(about, ['stop', 'warn', 'note'], 'warn');

/** `shared/house.yaml`. */
export const houseSchema = z
  .strictObject({
    units: units(),
    stack: z
      .strictObject({
        web_min: quantity('length', 'Least board left under a head', 5),
        cover_min: quantity('length', 'Least board above a head', 1.5),
        safety_factor: number(
          'Safety on punching through the web and on stripping the thread',
          'none',
          2,
          1,
          20,
        ),
        board_shear: quantity('stress', 'Shear strength of the board across its face', 2.5),
        pull: quantity('force', 'Pull one site must hold', 400),
        pocket_clearance: quantity(
          'length',
          'Diametral clearance of socket, head or washer in its pocket',
          1.5,
        ),
        bore_reserve: quantity('length', 'Bore deeper than the insert by this much', 2.5, 'zero-or-more'),
        adhesive_gap: quantity('length', "Bore wider than the insert's outside, diametral", 0.4),
        adhesive_spare: number('Extra adhesive', 'share, 0.2 is 20 %', 0.2, 0, 2),
        entry_loss: quantity('length', "Thread at the insert's mouth that does not count", 1, 'zero-or-more'),
        end_gap: quantity(
          'length',
          'Least gap between the end of the screw and the bottom of the bore',
          0.5,
          'zero-or-more',
        ),
        moisture_swing: number('Moisture swing of the shop', 'percentage points', 3, 0, 15),
        growth_per_percent: number(
          'Growth in the plane for each percentage point of moisture',
          'share',
          0.0005,
          0,
          0.01,
        ),
        bearing_min: quantity(
          'length',
          'Least ring on which head or washer bears outside the clearance hole, radial',
          0.8,
        ),
        skim: quantity('length', 'One surfacing takes this much off, for the life figure', 0.4),
        refit_skin: quantity('length', 'Refit holes stop this far above the bed', 1),
        growth: choice(
          "What happens to the board's growth: holes absorb it, or the board is held and what the bearing does not leave is stated",
          ['absorb', 'restrain'],
          'absorb',
        ).optional(),
      })
      .meta({
        description: 'Rules of the stack. Unit: length where a length is meant.',
        examples: [{ web_min: 5 }],
      }),
    insert_wall: number(
      'Wall the bed keeps round an insert, in outside diameters of the insert',
      'diameters',
      1,
      0.2,
      5,
    ),
    land_margin: quantity(
      'length',
      'Extra distance kept from grooves, ports and keep-outs',
      1,
      'zero-or-more',
    ),
    lift: z
      .strictObject({
        pressure: quantity('pressure', 'Lifting load on the board', '5 kPa'),
        deflection: quantity('length', 'Allowed deflection under it', 0.1),
      })
      .meta({
        description: 'Load case of the default pitch. Unit: pressure and length.',
        examples: [{ pressure: '5 kPa', deflection: 0.1 }],
      }),
    survey: z
      .strictObject({
        sigma: quantity('length', 'Standard deviation of one measured coordinate', 0.15),
        limit: quantity('length', 'Largest residual that is accepted', 0.6),
        stretch: number(
          'Largest difference of scale between bed and drawing that is believed of a survey; 2000 when left out',
          'parts per million',
          2000,
          1,
          20_000,
        ).optional(),
        skew: number(
          'Largest deviation from square that is believed of a survey; 2 when left out',
          'mm in 1000 mm, the same in in per 1000 in',
          2,
          0.001,
          20,
        ).optional(),
      })
      .meta({
        description: 'What a survey is worth. Unit: length.',
        examples: [{ sigma: 0.15, limit: 0.6 }],
      }),
    thickness_uncertainty: quantity('length', 'Half width of a thickness measurement', 0.05, 'zero-or-more'),
    z_zero_error: quantity(
      'length',
      'How far Z 0 may lie from the bed surface when it has been set with care; taken off the cut limit. 0.1 mm when left out',
      0.1,
      'zero-or-more',
    ).optional(),
    bed_unevenness: quantity(
      'length',
      'How far the bed surface may lie above or below the place where Z 0 was set; taken off the cut limit. 0.2 mm when left out',
      0.2,
      'zero-or-more',
    ).optional(),
    drills: z
      .array(quantity('length', 'One size', 7))
      .min(1)
      .max(200)
      .meta({
        description:
          'Drills for holes in boards that are opened by hand: these are rounded up to the next of them, four sizes a board at most. A machine takes those written in its own units. Default: a set from 1 to 13 mm by 0.5 mm, or from 1/16 to 1/2 in by 1/64 in. Unit: length.',
        examples: [[6.5, 7, 8, 9, 10]],
      })
      .optional(),
    feed: z
      .strictObject({
        plunge_share: number('Plunge feed as a share of the cutting feed', 'share', 0.5, 0.05, 1),
        ramp_angle: quantity('angle', 'Steepest ramp or helix', 3),
        power_share: number('Share of the rated power that is used', 'share', 0.8, 0.05, 1),
        specific_force: quantity('stress', 'Cutting force per chip section', 35),
      })
      .meta({ description: 'Feeds and power. Unit: as each says.', examples: [{ plunge_share: 0.5 }] }),
    surfacing: z
      .strictObject({
        max_tilt: number('Steepest plane a surfacing may follow, rise over run', 'none', 0.0005, 0, 0.05),
      })
      .meta({ description: 'Surfacing. No unit.', examples: [{ max_tilt: 0.0005 }] }),
    hand_time: z
      .record(ID_KEY, number('Time for one such step', 'min', 2, 0, 10_000))
      .meta({ description: 'Hand time by kind of step. Unit: min.', examples: [{ 'drill-hole': 2 }] }),
    spares: number('Spares in the bill of materials', 'share, 0.1 is 10 %', 0.1, 0, 5),
    friction: number('Friction of work on the board', 'none', 0.3, 0.05, 1),
    raise: z
      .record(z.string().regex(/^[a-z]+\/[a-z0-9-]+$/), severity('Severity the house gives the rule'))
      .meta({
        description: 'Rules whose severity the house raises, by rule id. No unit.',
        examples: [{ 'program/rim-speed': 'stop' }],
      })
      .optional(),
  })
  .meta({
    title: 'House rules',
    description: 'Rules and habits of the house. Unit: as `units` say.',
    examples: [{ units: 'mm' }],
  });

export type CuttersFile = z.infer<typeof cuttersSchema>;
export type BoardsFile = z.infer<typeof boardsSchema>;
export type HouseFile = z.infer<typeof houseSchema>;
