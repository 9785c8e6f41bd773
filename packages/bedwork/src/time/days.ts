/** Days of an ISO calendar date since 1970-01-01 (proleptic Gregorian); no clock, no time zone. */
export function dayNumber(date: string): number {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
  if (!match) throw new RangeError(`a date must be written YYYY-MM-DD, found ${JSON.stringify(date)}`);
  const month = Number(match[2]);
  const day = Number(match[3]);
  if (month < 1 || month > 12 || day < 1 || day > 31) throw new RangeError(`there is no date ${date}`);
  // Years that begin in March put the leap day last.
  const year = Number(match[1]) - (month <= 2 ? 1 : 0);
  const era = Math.floor(year / 400);
  const ofEra = year - era * 400;
  const ofYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  return era * 146_097 + ofEra * 365 + Math.floor(ofEra / 4) - Math.floor(ofEra / 100) + ofYear - 719_468;
}

/** Mean length of a month, days. */
export const DAYS_PER_MONTH = 365.25 / 12;
