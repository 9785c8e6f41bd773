import { screwLength } from '@bedledger/diagnostics';
import { type MachineRecord, pocketAt } from '@bedledger/fleet';
import type { SiteStack } from './stack-input.ts';

/** The commands that tell what nobody recorded of the screws and pockets at some sites, with what is on record filled in. */
export function tellUnknown(
  record: MachineRecord,
  standing: ReadonlyMap<string, SiteStack>,
  all: readonly string[],
): string {
  const { id, fixing } = record.machine;
  const unknown = (what: 'screw' | 'floor'): string[] =>
    all.filter((site) => {
      const stack = standing.get(site);
      return stack?.kind === 'unknown' && stack.unknown.includes(what);
    });
  const named = (sites: readonly string[]): string =>
    sites.length === all.length ? '' : ` ${sites.join(' ')}`;
  const [screws, floors] = [unknown('screw'), unknown('floor')];
  const parts: string[] = [];
  if (floors.length > 0) {
    parts.push(
      `measure the pockets, then \`bedledger record ${id} pocket${named(floors)} --pocket-depth DEPTH\``,
    );
  }
  if (screws.length > 0) {
    const lengths = new Set(screws.map((site) => pocketAt(record.state, site)?.screwLength ?? null));
    const [length = null] = lengths;
    const known = lengths.size === 1 && length !== null;
    const typed = known ? `"${screwLength(record.planned.screw.thread.designation, length)}"` : 'LENGTH';
    parts.push(
      `look at the screws, and record what they are: \`bedledger record ${id} screws${named(screws)} --fixing ${fixing.use} --length ${typed}\`${known ? ', the length that the pockets were cut for' : ''}`,
    );
  }
  return parts.join('; then ');
}
