import type { Move, NeutralProgram } from '@bedledger/bedwork';

/** A program with the given moves, a drill of 6 mm in the spindle and an 18.12 mm board. */
export function programOf(moves: readonly Move[], changes: Partial<NeutralProgram> = {}): NeutralProgram {
  return {
    operation: 'clearance-holes',
    form: 'first-fit',
    name: 'clearance-holes-first-fit',
    header: {
      machineId: 'heron',
      machine: 'Heron, panel router',
      title: 'Clearance holes, first fit',
      revision: '1.0.0',
      cutter: { id: 'upcut-6', title: 'Upcut 6 mm', number: 1, diameter: 6 },
      zZero: 'bed',
      zeroHeight: 0,
      keyIn: 18.12,
      workOffset: 1,
      minutes: 3.2,
      before: ['Vacuum on, board flat'],
      after: ['Sweep the chips out'],
      cautions: ['Eyes and ears protected'],
      sites: ['A1', 'A2'],
    },
    clearHeight: 40,
    park: [0, 0],
    spinUp: 6,
    moves,
    ...changes,
  };
}

/** Two sites: a helical pocket with a full circle, and drilled holes. */
export const TWO_SITES: readonly Move[] = [
  { kind: 'spindle', rpm: 16000 },
  { kind: 'auxiliary', name: 'extraction', on: true },
  { kind: 'section', title: 'SITE A1', restart: true },
  { kind: 'spindle', rpm: 16000 },
  { kind: 'rapid-xy', x: 106, y: 50 },
  { kind: 'rapid-z', z: 20.12 },
  { kind: 'feed', x: 106, y: 50, z: 18.5, feed: 600 },
  { kind: 'arc', clockwise: false, x: 106, y: 50, z: 17, cx: 100, cy: 50, feed: 900 },
  { kind: 'arc', clockwise: false, x: 106, y: 50, z: 17, cx: 100, cy: 50, feed: 1200 },
  { kind: 'rapid-z', z: 40 },
  { kind: 'section', title: 'SITE A2', restart: true },
  { kind: 'drill', x: 300, y: 50, link: 40, above: 20.12, bottom: 6.2, peck: 6, feed: 500 },
  { kind: 'drill', x: 332, y: 50, link: 40, above: 20.12, bottom: 6.2, peck: 6, feed: 500 },
  { kind: 'spindle-off' },
  { kind: 'stop', message: 'Blow the holes out', optional: false },
  { kind: 'spindle', rpm: 16000 },
  { kind: 'drill', x: 364, y: 50, link: 40, above: 20.12, bottom: 6.2, peck: null, feed: 500 },
];
