import { z } from 'zod';
import { choice, text, units, yesNo } from './common.ts';
import { quantity } from './quantity.ts';

const THREAD = /^(?:M\d{1,2}(?:\.\d)?(?:x\d(?:\.\d{1,2})?)?|(?:#\d{1,2}|\d{1,2}\/\d{1,2})-\d{1,2})$/;

const thread = (about: string) =>
  z
    .string()
    .regex(THREAD, { error: () => 'expected a thread such as `M6`, `1/4-20` or `#10-24`' })
    .meta({ description: `${about}. No unit.`, examples: ['M6', '1/4-20'] });

const catalogueId = (about: string, example: string) =>
  z
    .string()
    .regex(/^[a-z0-9][a-z0-9.-]{0,59}$/, {
      error: () => `expected an identifier of the catalogue such as \`${example}\``,
    })
    .meta({ description: `${about}, by its identifier in the catalogue. No unit.`, examples: [example] });

/** How a dimension was taken: part of every block of own measurements. */
const measuring = () => ({
  by: text('Instrument', 'caliper', 40),
  uncertainty: quantity('length', 'Half width of the measurement', 0.03),
});

/** One entry of `shared/fixings.yaml`. */
export const fixingSchema = z
  .strictObject({
    title: text('Name people use', 'M6 nylon hexagon screw in a brass bush'),
    thread: thread('Thread of the screw'),
    screw: z
      .strictObject({
        head: catalogueId('Head form', 'iso4017-hex'),
        material: choice('Material of the screw', ['pa66', 'steel', 'brass', 'stainless'], 'pa66').optional(),
        lengths: z
          .array(quantity('length', 'One length', 20))
          .min(1)
          .max(60)
          .meta({
            description: 'Lengths in stock, instead of all published ones. Unit: length.',
            examples: [[16, 20, 25]],
          })
          .optional(),
        measured: z
          .strictObject({
            ...measuring(),
            head_diameter: quantity(
              'length',
              'Diameter of the head, across corners when it is a hexagon',
              11.0,
            ).optional(),
            head_height: quantity('length', 'Height of the head', 4.1).optional(),
          })
          .meta({
            description: 'Own screw under the own caliper, in place of the published head. Unit: length.',
            examples: [{ by: 'caliper', uncertainty: 0.03, head_height: 4.1 }],
          })
          .optional(),
        strength: z
          .strictObject({
            tensile: quantity('stress', 'Tensile strength', 53),
            shear: quantity('stress', 'Shear strength', 54),
            source: text('Where the figures are from', 'data sheet of the supplier'),
          })
          .meta({
            description: 'Strength of the own screws. Unit: N/mm2.',
            examples: [{ tensile: 53, shear: 54, source: 'data sheet' }],
          })
          .optional(),
      })
      .meta({
        description: 'The screw. Unit: length.',
        examples: [{ head: 'iso4017-hex', material: 'pa66' }],
      }),
    insert: z
      .strictObject({
        kind: choice(
          'A bush with own dimensions, or a wood insert of the catalogue',
          ['bush', 'din7965'],
          'bush',
        ).optional(),
        size: thread("Inner thread, when it is to be checked against the screw's").optional(),
        material: choice(
          'Material of the insert',
          ['brass', 'steel', 'stainless', 'zinc', 'pa66'],
          'brass',
        ).optional(),
        outside: quantity('length', 'Nominal outside diameter of a bush', 9.5).optional(),
        length: quantity('length', 'Nominal length of a bush', 13).optional(),
        taper: quantity('angle', 'Full taper of the outside; 0 is parallel', 0, 'zero-or-more').optional(),
        through: yesNo('Is the thread open at the bottom, so that a long screw passes', true).optional(),
        measured: z
          .strictObject({
            ...measuring(),
            outside: quantity('length', 'Outside diameter', 9.52).optional(),
            length: quantity('length', 'Length', 13).optional(),
            taper: quantity('angle', 'Full taper of the outside', 0, 'zero-or-more').optional(),
          })
          .meta({
            description: 'Own insert under the own caliper. Unit: length and angle.',
            examples: [{ by: 'caliper', uncertainty: 0.03, outside: 9.52, length: 13 }],
          })
          .optional(),
        strength: z
          .strictObject({
            shear: quantity('stress', 'Shear strength', 200),
            source: text('Where the figure is from', 'data sheet of the supplier'),
          })
          .meta({
            description: 'Strength of the own inserts. Unit: N/mm2.',
            examples: [{ shear: 200, source: 'data sheet' }],
          })
          .optional(),
      })
      .meta({
        description: 'The insert in the bed. Unit: length.',
        examples: [{ kind: 'bush', outside: 9.5, length: 13 }],
      }),
    washer: z
      .union([
        z.enum(['none', 'iso7089', 'asme-b18.21.1-narrow', 'asme-b18.21.1-wide']),
        z.strictObject({
          inside: quantity('length', 'Inside diameter', 6.4),
          outside: quantity('length', 'Outside diameter', 12),
          thickness: quantity(
            'length',
            'Thickness; of a cup washer its height above the floor of the pocket',
            1.6,
          ),
          uncertainty: quantity(
            'length',
            'Half width of the three dimensions',
            0.05,
            'zero-or-more',
          ).optional(),
          by: text('Instrument', 'caliper', 40).optional(),
          cup: yesNo('Is it a cup washer that takes a countersunk head flush', false).optional(),
        }),
      ])
      .meta({
        description:
          'The washer: one of none, iso7089, asme-b18.21.1-narrow, asme-b18.21.1-wide, or own dimensions. Default: none. Unit: length.',
        examples: ['iso7089', { inside: 6.4, outside: 12, thickness: 1.6 }],
      })
      .optional(),
    socket: z
      .strictObject({
        size: quantity('length', "Width across flats; default: the screw's", 10).optional(),
        kind: choice(
          'What drives the screw; default: by its drive',
          ['socket', 'ring', 'bit'],
          'socket',
        ).optional(),
        outside: quantity('length', 'Outside diameter of what enters the pocket', 15).optional(),
        measured: z
          .strictObject({
            ...measuring(),
            outside: quantity('length', 'Outside diameter of what enters the pocket', 14.8),
          })
          .meta({
            description: 'Own socket under the own caliper. Unit: length.',
            examples: [{ by: 'caliper', uncertainty: 0.03, outside: 14.8 }],
          })
          .optional(),
      })
      .meta({
        description: 'What drives the screw and must enter the pocket. Unit: length.',
        examples: [{ kind: 'socket' }],
      }),
    clearance: choice('Series of the clearance hole', ['close', 'medium', 'loose'], 'medium').optional(),
  })
  .meta({
    description: 'One named combination: insert, screw, washer or none, driving socket. Unit: length.',
    examples: [{ title: 'M6 nylon hexagon' }],
  });

/** `shared/fixings.yaml`. */
export const fixingsSchema = z
  .strictObject({
    units: units(),
    fixings: z
      .record(z.string().regex(/^[a-z][a-z0-9-]{0,39}$/), fixingSchema)
      .meta({ description: 'Fixings by identifier. Unit: length.', examples: [{}] }),
  })
  .meta({
    title: 'Fixings',
    description: 'Named combinations of insert, screw, washer and socket. Unit: as `units` say.',
    examples: [{ units: 'mm', fixings: {} }],
  });

export type FixingsFile = z.infer<typeof fixingsSchema>;
export type FixingEntry = z.infer<typeof fixingSchema>;
