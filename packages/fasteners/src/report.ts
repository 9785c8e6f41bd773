import { reporter } from '@bedledger/diagnostics';
import { FASTENER_RULES } from './rules/index.ts';

/** The one builder of this package's findings. */
export const report = reporter(FASTENER_RULES);
