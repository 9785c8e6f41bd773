import type { RuleTable } from '@bedledger/diagnostics';

/** `survey.csv` and `heights/*.csv`. */
export const TABLE_RULES = {
  'csv/quote': {
    severity: 'stop',
    title: 'a table has quotes',
    why: 'No cell needs them here; a quote that is not closed swallows the lines that follow.',
    remedy: 'leave the quotes out',
  },
  'csv/separator': {
    severity: 'stop',
    title: 'the columns of a table are not separated by commas',
    why: 'Programs that write semicolons write decimal commas as well, and the numbers would be read wrong.',
    remedy: 'save the table with commas between the columns and decimal points in the numbers',
  },
  'csv/unknown-column': {
    severity: 'stop',
    title: 'a table has a column that is not known',
    why: 'A mistyped heading would hide the readings below it.',
    remedy: 'correct the heading, or take the column out',
  },
  'csv/repeated-column': {
    severity: 'stop',
    title: 'a table has a column twice',
    why: 'Only one of the two can be meant.',
    remedy: 'remove one of them',
  },
  'csv/missing-column': {
    severity: 'stop',
    title: 'a column of a table is missing',
    why: 'Its readings cannot be assumed.',
    remedy: 'add the column',
  },
  'csv/cells': {
    severity: 'stop',
    title: 'a row of a table has too many or too few cells',
    why: 'Readings would be taken for those of another column; a decimal comma is the usual cause.',
    remedy: 'write one cell for each column, with decimal points',
  },
  'csv/too-long': {
    severity: 'stop',
    title: 'a table has far too many rows',
    why: 'No map needs that many readings, and everything that uses it would take minutes.',
    remedy: 'thin the readings out',
  },
  'csv/empty': {
    severity: 'stop',
    title: 'a table is empty',
    why: 'Its content was probably lost.',
    remedy: 'begin with the header line',
  },
  'csv/no-units': {
    severity: 'stop',
    title: 'a table of measured lengths does not say their unit',
    why: 'A bore read in the wrong unit lies somewhere else, and is 25 times too deep or not there at all.',
    remedy:
      'begin the table with the line `# units: mm` or `# units: in`, or write the unit into the headings: `x_mm` for millimetres, `x_in` for inches',
  },
  'csv/wrong-cell': {
    severity: 'stop',
    title: 'a cell of a table of bores is wrong',
    why: 'A place or a size that is guessed would be taken for one that somebody measured.',
    remedy: 'correct the cell, or leave it empty where nothing was measured',
  },
  'csv/repeated-row': {
    severity: 'stop',
    title: 'a table has two rows for one site',
    why: 'Only one of the two can be meant.',
    remedy: 'remove one of the rows',
  },
  'survey/name': {
    severity: 'stop',
    title: 'a surveyed feature has no proper name',
    why: 'Findings and drawings name the feature.',
    remedy: 'rename the feature',
  },
  'survey/repeated': {
    severity: 'stop',
    title: 'a feature stands twice in the survey',
    why: 'Two readings of one feature cannot both be right, and a fit would take them for two features.',
    remedy: 'give each feature one row',
  },
  'survey/number': {
    severity: 'stop',
    title: 'a cell of the survey is not a number',
    why: 'A coordinate that has to be guessed at moves holes.',
    remedy: 'write a plain decimal number',
  },
  'survey/half': {
    severity: 'stop',
    title: 'a feature has only one measured coordinate',
    why: 'A place needs both; the missing one would be taken from the drawing.',
    remedy: 'write both, or leave both empty',
  },
  'heights/number': {
    severity: 'stop',
    title: 'a cell of a height map is not a number',
    why: 'The lowest point of the map decides how deep a skim goes.',
    remedy: 'write a plain decimal number',
  },
  'heights/repeated': {
    severity: 'stop',
    title: 'a place stands twice in a height map',
    why: 'Two readings of one place cannot both be right.',
    remedy: 'keep one reading for each place',
  },
  'heights/empty': {
    severity: 'stop',
    title: 'a height map has no points',
    why: 'A skim cannot start from it.',
    remedy: 'add the readings, or delete the file',
  },
  'heights/unit': {
    severity: 'stop',
    title: 'the heights are not those of this board',
    why: 'Heights in the other unit, or measured from the top of the board, would send the cutter deep into it.',
    remedy: 'check the unit, and that Z 0 was on the bed and not on the board',
  },
  'heights/elsewhere': {
    severity: 'stop',
    title: 'no point of the height map lies on the board',
    why: 'The places were taken from another zero: the map says nothing about this board.',
    remedy: 'give the places in the bed frame, from the datum mark',
  },
  'heights/beside-board': {
    severity: 'warn',
    title: 'points of the height map lie beside the board',
    why: 'The lowest point of the map decides how deep the skim goes, on the board or off it.',
    remedy: 'correct their places, or take them out',
  },
  'heights/sparse': {
    severity: 'warn',
    title: 'the points of the height map lie on one line',
    why: 'The rest of the board may stand higher than the first pass expects.',
    remedy: 'measure at least the four corners and the middle',
  },
  'heights/odd': {
    severity: 'warn',
    title: 'a height does not go with those around it',
    why: 'A board bows, it does not jump: a reading that stands alone is a slip of the pen or a gouge. The lowest one decides how deep the whole board is skimmed, so no skim is issued from it.',
    remedy:
      'measure that place again and correct the row; when it is so, add a second reading a finger beside it, or fill the gouge and measure the filling',
  },
  'heights/disagrees': {
    severity: 'warn',
    title: 'a height differs much from the thickness that is recorded',
    why: 'It is a slip, a gouge or a board that stands off the bed; the skim goes by it all the same.',
    remedy: 'measure that place again',
  },
} satisfies RuleTable;
