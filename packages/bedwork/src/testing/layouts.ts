import type { MachineRecord } from '@bedledger/fleet';
import { siteNeeds } from '../lands/needs.ts';
import type { Layout, Site } from '../layout/model.ts';

/** A layout made by hand: rows and columns of sites, `edge` in from the board's edge. No lands are looked at. */
export function gridLayout(record: MachineRecord, rows: number, columns: number, edge = 40): Layout {
  const { at, size } = record.machine.board;
  const sites: Site[] = [];
  for (let r = 0; r < rows; r += 1) {
    for (let c = 0; c < columns; c += 1) {
      const id = `${String.fromCharCode(65 + r)}${c + 1}`;
      const place = [
        at[0] + edge + ((size[0] - 2 * edge) * c) / Math.max(1, columns - 1),
        at[1] + edge + ((size[1] - 2 * edge) * r) / Math.max(1, rows - 1),
      ] as const;
      const known = record.state.sites.get(id);
      sites.push({
        id,
        row: r,
        column: c + 1,
        nominal: place,
        actual: known?.at ?? place,
        placedBy: known ? 'ledger' : 'layout',
        nudges: [],
        land: 'outer',
        zone: null,
        uncertainty: 0.2,
        clearances: [],
        reasons: [],
        state: known?.state ?? 'none',
      });
    }
  }
  return {
    units: 'mm',
    pattern: 'aligned',
    sites,
    rows: [],
    columns: [],
    pitch: { limit: 400, from: 'by hand' },
    coverage: { radius: 300, at: [0, 0], allowed: 300 },
    bound: { lower: sites.length, proven: true, by: 'by hand' },
    lands: [],
    registration: null,
    order: sites.map((_, i) => i),
    symmetric: 'both',
    deflection: { inner: 0.1, corner: 0.2 },
    needs: siteNeeds(record, 0.2),
    uncertainty: 0.2,
    boardLie: { runOut: { overWidth: 0, overDepth: 0 }, text: 'its front edge along the marks' },
    remedies: [],
    findings: [],
  };
}
