import { z } from 'zod';
import { insertFields, pocketFields, screwFields, someSites, source } from './built.ts';
import {
  choice,
  count,
  date,
  filePath,
  id,
  name,
  number,
  point,
  site,
  text,
  units,
  yesNo,
} from './common.ts';
import { quantity } from './quantity.ts';

function kind<const T extends string>(value: T, about: string) {
  return z.literal(value).meta({ description: `${about}. No unit.`, examples: [value] });
}

const day = () => date('Day it was done', '2026-03-14');

function thickness(about: string) {
  return z
    .array(
      z
        .union([
          quantity('length', 'Thickness measured somewhere', 18.04),
          z.strictObject({
            at: point('Where it was measured', [100, 100]),
            value: quantity('length', 'Thickness measured there', 18.04),
          }),
        ])
        .meta({
          description: 'One reading: a thickness, or at and value. Unit: length.',
          examples: [18.04, { at: [100, 100], value: 18.04 }],
        }),
    )
    .min(1)
    .max(200)
    .meta({
      description: `${about}, one reading for each place. Unit: length.`,
      examples: [[18.04, 18.0, 18.06]],
    });
}

const siteFact = {
  site: site('Name of the site', 'B3'),
  at: point('Where it was really done, in the surveyed bed frame', [402.5, 611.2]),
  at_from: source('Where the position is from'),
};

/** One physical fact, as written. */
export const factSchema = z
  .discriminatedUnion('fact', [
    z.strictObject({ fact: kind('mark', "A site's place was marked on the bed"), date: day(), ...siteFact }),
    z.strictObject({
      fact: kind('bore', 'A bore for an insert was made in the bed'),
      date: day(),
      ...siteFact,
      diameter: quantity('length', 'Diameter of the bore', 9.9),
      depth: quantity('length', 'Depth of the bore below the bed surface', 15.5),
      depth_from: source('Where diameter and depth are from'),
    }),
    z.strictObject({
      fact: kind('insert', 'An insert was glued into the bed'),
      date: day(),
      ...siteFact,
      insert: text('What was set', 'brass-m6', 60),
      ...insertFields(),
    }),
    z.strictObject({
      fact: kind('fill', 'The hole of a site was filled, its insert is out of the bed'),
      date: day(),
      site: siteFact.site,
      reason: text('Why', 'insert turned with the screw', 200),
    }),
    z.strictObject({
      fact: kind('board', 'A board was fitted'),
      date: day(),
      stock: id('Board stock, from shared/boards.yaml', 'mdf-18'),
      thickness: thickness('Thickness as measured'),
      skimmed: choice('Faces that were skimmed before', ['none', 'underside', 'top', 'both'], 'underside'),
      pocketed: yesNo('Are pockets and holes in it', true),
      ...pocketFields(),
    }),
    z.strictObject({
      fact: kind('skim', 'The board was surfaced'),
      date: day(),
      commanded: quantity('length', 'Depth that was commanded', 0.4),
      thickness: thickness('Thickness measured afterwards'),
      heights: filePath('Height map it was planned from', 'heights/2026-03-14.csv').optional(),
    }),
    z.strictObject({
      fact: kind('pocket', 'Pockets and holes were made in the fitted board'),
      date: day(),
      sites: someSites(),
      ...pocketFields(),
    }),
    z.strictObject({
      fact: kind('screws', 'The board was screwed down, or its screws were swapped for others'),
      date: day(),
      how: choice(
        'Were they driven into a board without screws, or swapped',
        ['driven', 'swapped'],
        'driven',
      ),
      sites: someSites(),
      ...screwFields(),
    }),
    z.strictObject({
      fact: kind('heights', 'A height map of the board was taken'),
      date: day(),
      file: filePath('The map', 'heights/2026-03-14.csv'),
    }),
    z.strictObject({
      fact: kind('vacuum', 'The vacuum gauge was read'),
      date: day(),
      zone: name('Zone that was open; leave it out for the whole bed', 'A').optional(),
      covered: quantity('pressure', 'Reading with the board sealed by a foil', '24 inHg'),
      uncovered: quantity('pressure', 'Reading with the board bare', '18 inHg').optional(),
    }),
    z.strictObject({
      fact: kind('moisture', "The board's moisture was read"),
      date: day(),
      percent: number('Reading', 'percent of dry mass', 7.5, 0, 40),
    }),
    z.strictObject({
      fact: kind('survey', 'The bed was surveyed'),
      date: day(),
      file: filePath('The readings', 'survey.csv'),
    }),
    z.strictObject({
      fact: kind('datum', 'Both datum marks were measured anew, after the machine was moved or rehomed'),
      date: day(),
      mark: point('Where the datum mark is found now, in the work offset in force', [0.12, -0.05]),
      second: point('Where the second mark is found now', [1200.1, 0.4]),
    }),
    z.strictObject({
      fact: kind('time', 'A program was run and timed'),
      date: day(),
      operation: id('Operation', 'surface'),
      minutes: number('Time it took', 'min', 31, 0.01, 100_000),
      predicted: number('Time that was predicted', 'min', 29.5, 0.01, 100_000),
    }),
    z.strictObject({
      fact: kind('vouch', 'The owner vouches for the drawing of the bed in place of a survey'),
      date: day(),
      deviation: quantity('length', 'Farthest that any feature may be from where the drawing has it', 1.5),
      by: text('Who vouches', 'the workshop manager', 60),
      reason: text('On what grounds', 'bed milled by us from this drawing', 200),
    }),
    z.strictObject({
      fact: kind('withdraw', 'An earlier fact turned out to be wrong'),
      date: day(),
      of: count('Which fact of this list, counted from 1', 12, 1, 30_000),
      kind: id('What that fact is, so that no other can be meant', 'board'),
      day: date('Day of that fact', '2026-03-14'),
      reason: text('Why it is wrong', 'thickness was read in the wrong unit', 200),
    }),
    z.strictObject({
      fact: kind('note', 'Something worth remembering'),
      date: day(),
      text: text('The note', 'port of zone C cleaned', 400),
    }),
  ])
  .meta({
    description: 'One physical fact. Unit: as each field says.',
    examples: [{ fact: 'note', date: '2026-03-14', text: 'port of zone C cleaned' }],
  });

/** `ledger.yaml` as written. */
export const ledgerSchema = z
  .strictObject({
    units: units(),
    facts: z
      .array(factSchema)
      .max(20_000)
      .meta({
        description: 'What physically happened, oldest first. Append only. Unit: as each field says.',
        examples: [[]],
      }),
  })
  .meta({
    title: 'Ledger',
    description: 'What physically happened to one machine. Unit: as `units` say.',
    examples: [{ units: 'mm', facts: [] }],
  });

export type LedgerWritten = z.infer<typeof ledgerSchema>;
export type FactWritten = z.infer<typeof factSchema>;
