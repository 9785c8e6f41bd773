import type { MachineRecord, ManifestProgram } from '@bedledger/fleet';

/** Why an operation may not be issued today, by the ledger alone; null when it may. */
export function forbidden(
  entry: Pick<ManifestProgram, 'operation' | 'form' | 'sites'>,
  record: MachineRecord,
): string | null {
  const { state, machine } = record;
  const { board } = state;
  switch (entry.operation) {
    case 'survey-visit':
    case 'air-pass':
      return null;
    case 'datum-mark':
      return machine.datum.made === 'cut' && state.inserts.length > 0
        ? 'inserts are in the bed, so its datum marks are made already'
        : null;
    case 'bed-mark': {
      const set = entry.sites.find((site) => state.inserts.some((insert) => insert.site === site));
      return set === undefined ? null : `site ${set} has its insert`;
    }
    case 'clearance-holes':
      if (entry.form === 'first-fit' && state.inserts.length > 0) {
        return `the ledger has ${state.inserts.length} insert(s) in the bed, so holes are no longer bored through`;
      }
      if (!board) return 'the ledger has no fitted board with a measured thickness';
      return board.pocketed ? 'the board is pocketed and bored already' : null;
    case 'socket-pockets':
      if (!board) return 'the ledger has no fitted board with a measured thickness';
      return board.pocketed ? 'the board is pocketed and bored already' : null;
    case 'underside-skim':
      if (!board) return 'the ledger has no fitted board with a measured thickness';
      return board.pocketed ? 'the board is pocketed, so its underside lies on the bed' : null;
    case 'surface':
      if (!board) return 'the ledger has no fitted board with a measured thickness';
      return null;
    case 'trim':
      return board ? null : 'the ledger has no fitted board with a measured thickness';
  }
}
