/** Calls that `npm start` proposes; a test types each. */
export const HINTS = [
  ['status', 'heron'],
  ['explain', 'heron', 'A1'],
  ['record', 'heron', 'moisture', '--percent', '7.5', '--dry-run'],
];
