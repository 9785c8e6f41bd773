import { reporter } from '@bedledger/diagnostics';
import { CLI_RULES, type CliCode } from './rules/cli-rules.ts';

/** The builder of the command's own findings. */
export const report = reporter<CliCode>(CLI_RULES);
