import type { OperationName } from '@bedledger/fleet';
import { AIR_PASS } from './air-pass.ts';
import { BED_MARK } from './bed-mark.ts';
import { CLEARANCE_HOLES } from './clearance-holes.ts';
import { DATUM_MARK } from './datum-mark.ts';
import type { OperationDescriptor } from './descriptor.ts';
import { PATCH } from './patch.ts';
import { RIM_BREAK } from './rim-break.ts';
import { SOCKET_POCKETS } from './socket-pockets.ts';
import { SURFACE, UNDERSIDE_SKIM } from './surface.ts';
import { SURVEY_VISIT } from './survey-visit.ts';
import { TRIM } from './trim.ts';

/** Every operation, each with everything there is to know of it. */
export const OPERATIONS: Readonly<Record<OperationName, OperationDescriptor>> = {
  'survey-visit': SURVEY_VISIT,
  'datum-mark': DATUM_MARK,
  'air-pass': AIR_PASS,
  'bed-mark': BED_MARK,
  'underside-skim': UNDERSIDE_SKIM,
  'socket-pockets': SOCKET_POCKETS,
  'clearance-holes': CLEARANCE_HOLES,
  'rim-break': RIM_BREAK,
  trim: TRIM,
  patch: PATCH,
  surface: SURFACE,
};
