import type { MachineRecord, ManifestProgram, OperationName } from '@bedledger/fleet';
import type { Setting } from '../scene/scene.ts';

/** What stands on the bed while an operation runs. */
export function settingOf(operation: OperationName, record: MachineRecord): Setting {
  const { board, inserts } = record.state;
  const inUse = board?.pocketed === true && inserts.length > 0;
  switch (operation) {
    case 'survey-visit':
    case 'datum-mark':
    case 'bed-mark':
      return { board: 'none', screws: false, clamps: false };
    case 'air-pass':
      return { board: board ? 'fitted' : 'none', screws: inUse, clamps: board !== null };
    case 'underside-skim':
    case 'socket-pockets':
    case 'clearance-holes':
      return { board: 'fitted', screws: false, clamps: true };
    case 'surface':
    case 'trim':
      return { board: 'fitted', screws: inUse, clamps: true };
  }
}

/** Operations in which nothing turns and nothing goes below the clear height. */
export function onlyVisits(operation: OperationName, record: MachineRecord): boolean {
  return (
    operation === 'survey-visit' ||
    operation === 'air-pass' ||
    (operation === 'datum-mark' && record.machine.datum.made === 'by-hand')
  );
}

/** Works on the board, so that the program's Z 0 may lie on its top. */
export function onBoard(operation: OperationName): boolean {
  return (
    operation === 'underside-skim' ||
    operation === 'socket-pockets' ||
    operation === 'clearance-holes' ||
    operation === 'surface' ||
    operation === 'trim'
  );
}

/** Height of a program's Z 0 above the bed, from the profile's habit and the ledger's board, mm. */
export function zeroHeightOf(
  operation: OperationName,
  entry: ManifestProgram,
  record: MachineRecord,
): number {
  const overBoard = onBoard(operation) || (operation === 'air-pass' && entry.zZero === 'board-top');
  return record.machine.zZero === 'board-top' && overBoard ? (record.state.board?.thickness ?? 0) : 0;
}

/** The cutter that the profile names for an operation; null when none may be in the spindle. */
export function dutyOf(operation: OperationName, record: MachineRecord): string | null {
  const { cutters } = record.machine;
  if (onlyVisits(operation, record)) return null;
  switch (operation) {
    case 'datum-mark':
    case 'bed-mark':
      return cutters.mark;
    case 'underside-skim':
    case 'surface':
      return cutters.surface;
    case 'socket-pockets':
      return cutters.pocket;
    case 'clearance-holes':
      return cutters.drill;
    case 'trim':
      return cutters.trim;
    default:
      return null;
  }
}
