import type { Hazard } from '../job-row.ts';

export const BLIND: readonly Hazard[] = [];
