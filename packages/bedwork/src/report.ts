import { reporter } from '@bedledger/diagnostics';
import { BEDWORK_RULES } from './rules/index.ts';

/** The one builder of this package's findings. */
export const report = reporter(BEDWORK_RULES);
