/**
 * The entry of a closed list. The type makes a member without an entry a compile error; a member that came past the
 * compiler is a RangeError, never a silent default.
 */
export function entryOf<Member extends string, Entry>(
  table: Readonly<Record<Member, Entry>>,
  member: Member,
  list: string,
): Entry {
  if (!Object.hasOwn(table, member)) throw new RangeError(`unknown ${list} ${JSON.stringify(member)}`);
  return table[member];
}
