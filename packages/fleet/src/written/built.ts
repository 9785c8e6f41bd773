import { z } from 'zod';
import { choice, number, site, text, yesNo } from './common.ts';
import { quantity } from './quantity.ts';

/** Figures of things as they were made, kept in the ledger so that no later change of a shared file can reach them. */

/** A dimension and how far off it may be. */
const figure = (about: string, example: number, within: number) =>
  z
    .union([
      quantity('length', about, example),
      z.strictObject({
        value: quantity('length', about, example),
        within: quantity('length', 'Half width of what it may differ by', within, 'zero-or-more'),
      }),
    ])
    .meta({
      description: `${about}: a length, or value and within (its half width). Unit: length.`,
      examples: [example, { value: example, within }],
    });

const designation = (about: string) => text(`${about}, by its designation`, 'M6', 20);

/** Where a figure of a fact is from: what was planned, or what somebody measured. */
export const source = (about: string) => choice(about, ['planned', 'measured'], 'measured').optional();

/** Sites that a fact of the board is about. */
export const someSites = () =>
  z
    .array(site('One site', 'B3'))
    .min(1)
    .max(2000)
    .meta({
      description: 'Sites it is about; every site of the board when left out. No unit.',
      examples: [['A1', 'B3']],
    })
    .optional();

/** A screw with its washer, as driven. */
export const screwFields = () => ({
  fixing: text('Name of the fixing it was taken from', 'm6-hex-nylon', 40),
  thread: designation('Thread of the screw'),
  length: quantity('length', 'Length of the screw', 16),
  material: choice('Material of the screw', ['pa66', 'steel', 'brass', 'stainless'], 'pa66'),
  head: z
    .strictObject({
      form: text('Form of the head, by its identifier in the catalogue', 'iso4017-hex', 60),
      height: figure('Height of the head', 4, 0.15),
      diameter: figure('Greatest diameter of the head, across corners of a hexagon', 11, 0.2),
      bearing: figure('Diameter on which the head bears, across flats of a hexagon', 9.9, 0.1),
      angle: number('Full angle of a countersunk head', 'degrees', 90, 30, 150).optional(),
    })
    .meta({
      description: 'The head as it is. Unit: length.',
      examples: [{ form: 'iso4017-hex', height: { value: 4, within: 0.15 }, diameter: 11, bearing: 9.9 }],
    }),
  drive: z
    .strictObject({
      kind: choice('How it is driven', ['hex-outside', 'hex-socket', 'cross', 'slot'], 'hex-outside'),
      size: quantity('length', 'Size of the drive', 10),
    })
    .meta({
      description: 'Drive of the screw. Unit: length.',
      examples: [{ kind: 'hex-outside', size: 10 }],
    }),
  tensile: quantity('stress', 'Tensile strength of the screw', 80),
  shear: quantity('stress', 'Shear strength of the screw', 54),
  breaking: z
    .strictObject({
      load: quantity('force', 'Breaking load that a list of such screws prints', 860),
      torque: number('Torque printed beside it', 'N m', 1.27, 0.001, 1000).optional(),
    })
    .meta({ description: 'Published breaking load. Unit: N.', examples: [{ load: 860, torque: 1.27 }] })
    .optional(),
  washer: z
    .strictObject({
      inside: figure('Inside diameter', 6.4, 0.1),
      outside: figure('Outside diameter', 22, 0.1),
      thickness: figure('Thickness', 1.6, 0.1),
      cup: yesNo('Is it a cup washer that takes a countersunk head flush', false).optional(),
    })
    .meta({
      description: 'The washer under the head; left out where there is none. Unit: length.',
      examples: [{ inside: 6.4, outside: 22, thickness: 1.6 }],
    })
    .optional(),
  socket: figure('Outside diameter of the socket, wrench or bit holder that drives it', 14.6, 0.05),
});

/** An insert, as set. All left out in entries of old ledgers. */
export const insertFields = () => ({
  figures: z
    .strictObject({
      thread: designation('Inner thread'),
      outside: figure('Outside diameter', 9.52, 0.02),
      length: figure('Length', 13, 0.02),
      taper: number('Full taper of the outside; 0 is parallel', 'degrees', 0, 0, 60).optional(),
      material: choice('Material', ['brass', 'steel', 'stainless', 'zinc', 'pa66'], 'brass'),
      through: yesNo('Is the thread open at the bottom', false),
      shear: quantity('stress', 'Shear strength', 200),
    })
    .meta({
      description: 'The insert as it is. Unit: length.',
      examples: [{ thread: 'M6', outside: 9.52, length: 13, material: 'brass', through: false, shear: 200 }],
    })
    .optional(),
});

/** Pockets and holes, as cut. */
export const pocketFields = () => ({
  screw_length: quantity('length', 'Length of the screws they were made for', 16).optional(),
  pocket_floor: quantity(
    'length',
    'Height of the pocket floors above the bed, where all are alike',
    5.05,
  ).optional(),
  floors: z
    .record(site('Site', 'B3'), quantity('length', "Height of its pocket's floor above the bed", 5.05))
    .meta({
      description: 'Height of the pocket floor of each site, where they differ. Unit: length.',
      examples: [{ A1: 5.05, A2: 5.2 }],
    })
    .optional(),
  floor_from: source('Where the height of the floors is from'),
  pocket_diameter: quantity('length', 'Diameter of the pockets, where all are alike', 24).optional(),
  pockets: z
    .record(site('Site', 'B3'), quantity('length', 'Diameter of its pocket', 24))
    .meta({
      description: 'Diameter of the pocket of each site, where they differ. Unit: length.',
      examples: [{ A1: 24, A2: 25.2 }],
    })
    .optional(),
  hole_diameter: quantity('length', 'Diameter of the holes, where all are alike', 7.7).optional(),
  holes: z
    .record(site('Site', 'B3'), quantity('length', 'Diameter of its hole', 7.7))
    .meta({
      description: 'Diameter of the hole of each site, where they differ. Unit: length.',
      examples: [{ A1: 7.7, A2: 8.1 }],
    })
    .optional(),
  held: site('Site that holds the board, by a close hole', 'D2').optional(),
});
