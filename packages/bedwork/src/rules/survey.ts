import type { RuleTable } from '@bedledger/diagnostics';

/** Where one of these is found the survey is refused: no position that was reckoned with it means anything. */
export const SURVEY_REFUSED = [
  'survey/unusable',
  'survey/units',
  'survey/mirrored',
  'survey/swapped',
  'survey/residual',
  'survey/shape',
  'survey/turned',
] as const satisfies readonly (keyof typeof SURVEY_RULES)[];

/** What was measured of the bed, and what it is worth. */
export const SURVEY_RULES = {
  'survey/none': {
    severity: 'warn',
    title: 'nobody has measured the bed',
    why: 'Beds do not match their drawings: features are found 2.5 to 5 mm (0.1 to 0.2 in) off (common practice). A bore that is placed by the drawing may open a groove.',
    remedy:
      'run the survey-visit program, write what it finds into survey.csv and regenerate; until then nothing is issued that cuts the bed',
  },
  'survey/vouched': {
    severity: 'note',
    title: 'the owner vouches for the drawing of the bed',
    why: 'Nobody has measured the bed; somebody answers for it lying as drawn, to the deviation that the ledger has. Every clearance to grooves, ports and keep-outs is kept larger by that deviation.',
    remedy: 'survey the bed when the machine is free: a survey is worth more than anybody’s word',
  },
  'survey/unusable': {
    severity: 'stop',
    title: 'the survey cannot be fitted to the drawing',
    why: 'Without a fit nobody knows where the bed lies under the spindle, and every bore would be a guess.',
    remedy: 'correct the row of survey.csv that is named here',
  },
  'survey/units': {
    severity: 'stop',
    title: 'the survey was written in other units than it says',
    why: 'Inches read as millimetres send every bore to another place on the bed.',
    remedy: 'write the readings in the unit of the machine, as its display shows them',
  },
  'survey/mirrored': {
    severity: 'stop',
    title: 'the survey is a mirror image of the drawing',
    why: 'A sign or two columns were exchanged: the sites would be bored on the wrong side of the bed.',
    remedy:
      'check the sign of X and Y on the machine and the order of the columns, then measure two marks again',
  },
  'survey/swapped': {
    severity: 'stop',
    title: 'the readings of two marks are exchanged',
    why: 'A fit through exchanged readings turns and stretches the bed: bores would open grooves.',
    remedy: 'exchange the measured values of the two marks, or visit both again',
  },
  'survey/residual': {
    severity: 'stop',
    title: 'a mark is farther from the fit than the house allows',
    why: 'One misread mark pulls all sites out of place. The bores come out beside their lands, and a bed cannot be un-drilled.',
    remedy: 'measure the mark again',
  },
  'survey/suspect': {
    severity: 'warn',
    title: 'one mark fits worse than the others',
    why: 'A misread mark within the limit still moves the sites near it by a part of its error.',
    remedy: 'measure the mark again before the bed is marked',
  },
  'survey/not-checkable': {
    severity: 'warn',
    title: 'nothing contradicts the survey because nothing could',
    why: 'With so few marks a misread one goes through the fit unseen, and every site moves with it.',
    remedy: 'measure at least four marks, far apart, so that one misread mark can be found',
  },
  'survey/little-check': {
    severity: 'warn',
    title: 'the marks check each other only in part',
    why: 'Of two marks one that was misread sideways turns the whole bed and does not show in their distance. Up to five marks lie on a stretched and skewed bed when two of them were misread alike, and every site moves with them.',
    remedy:
      'measure more marks, far from these: four for a bed that is true to its drawing, six for one that is not',
  },
  'survey/spread': {
    severity: 'warn',
    title: 'the marks scatter more than the house reckons with',
    why: 'The clearances around every site are reckoned from the deviation that the house states, and a mark is called misread by it. When the true one is greater, good marks look misread; until it is mended the uncertainty of every site is reckoned from what was found.',
    remedy:
      'measure more carefully, or raise `survey.sigma` in the house rules so that clearances grow with it',
  },
  'survey/shape': {
    severity: 'stop',
    title: 'the marks make a bed that no machine has',
    why: 'Drives and frames are true to a part in some thousands. A bed that seems longer or more skewed than that is two marks that were misread alike, both read at one edge of a groove for instance; sites would stand beside their lands and open grooves.',
    remedy:
      'measure the marks at both ends again, and more of them; when the machine really is so, state it as `survey.stretch` or `survey.skew` in the house rules',
  },
  'survey/turned': {
    severity: 'stop',
    title: 'the bed lies turned against the axes of the machine',
    why: 'Boards are laid and surfaced along the axes. On a turned bed the sites would be far from where they belong on the board. Most often X and Y were exchanged, or readings stand beside the wrong mark.',
    remedy:
      'check that X and Y are not exchanged and that each reading stands beside its own mark, or turn the drawing',
  },
  'survey/far': {
    severity: 'warn',
    title: 'the bed lies far from where its drawing has it',
    why: 'The sites move as far on a board that is laid by the datum mark, so its edge may come too near to its outer screws. Often the marks were read in another work offset.',
    remedy:
      'check the work offset that the marks were read in; when the bed really lies there, lay the board by its sites and not by its corner',
  },
} as const satisfies RuleTable;
