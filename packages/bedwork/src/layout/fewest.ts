import type { MachineRecord } from '@bedledger/fleet';
import type { Lands } from '../lands/lands.ts';
import type { BedFit } from '../survey/bed-fit.ts';
import type { Draft } from './draft.ts';
import type { PitchRule } from './pitch.ts';
import { profilePlace } from './place.ts';

export function fewestLayout(record: MachineRecord, _fit: BedFit, _lands: Lands, _pitch: PitchRule): Draft {
  return {
    sites: [],
    rows: [],
    columns: [],
    bound: { lower: 0, proven: false, by: 'no layout' },
    symmetric: 'none',
    findings: [
      {
        place: profilePlace(record),
        code: 'layout/pattern',
        severity: 'stop',
        message: 'pattern fewest cannot be laid out yet',
        help: 'use pattern aligned',
      },
    ],
  };
}
