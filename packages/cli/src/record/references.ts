import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { suggest } from '@bedledger/diagnostics';
import { type FactWritten, loadShared, type MachineRecord, SURVEY_FILE } from '@bedledger/fleet';
import { UsageError } from '../arguments.ts';

/**
 * What a new fact names must exist. An old ledger may well speak of a stock or a zone that is gone by now and only gets a warning for it;
 * a fact of today that does so is a slip.
 *
 * @throws UsageError for a stock, zone or file that does not exist.
 */
export function checkReferences(root: string, record: MachineRecord, fact: FactWritten): void {
  const { machine } = record;
  const folder = join(root, 'machines', machine.id);
  switch (fact.fact) {
    case 'board':
      known('stock', fact.stock, [...(loadShared(root).boards?.keys() ?? [])], 'shared/boards.yaml');
      break;
    case 'vacuum':
      if (fact.zone !== undefined)
        known(
          'zone',
          fact.zone,
          machine.bed.zones.map((z) => z.id),
          machine.id,
        );
      break;
    case 'heights':
      known('file', fact.file, mapsOf(record), `machines/${machine.id}/heights`);
      break;
    case 'skim':
      if (fact.heights !== undefined)
        known('heights', fact.heights, mapsOf(record), `machines/${machine.id}/heights`);
      break;
    case 'survey':
      if (fact.file !== SURVEY_FILE)
        throw new UsageError(
          `the readings of a survey are taken from ${SURVEY_FILE} and from no other file, found \`${fact.file}\``,
          `copy them into machines/${machine.id}/${SURVEY_FILE}, then record the survey without --file`,
        );
      if (!existsSync(join(folder, SURVEY_FILE)))
        throw new UsageError(
          `machines/${machine.id} has no file \`${fact.file}\``,
          'write the readings into survey.csv first',
        );
      break;
    default:
      break;
  }
}

function mapsOf(record: MachineRecord): string[] {
  return record.heights.map((h) => h.file);
}

function known(option: string, value: string, all: readonly string[], where: string): void {
  if (all.includes(value)) return;
  const near = suggest(value, all);
  throw new UsageError(
    `${where} has no ${option === 'stock' || option === 'zone' ? option : 'file'} \`${value}\``,
    near.length > 0
      ? `did you mean --${option} ${near[0]}?`
      : all.length > 0
        ? `there are ${all.join(', ')}`
        : 'put it there first, then record it',
  );
}
