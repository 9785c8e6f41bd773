import { ID_PATTERN } from '../written/common.ts';

/**
 * Names that Windows keeps for devices, in small and capital letters and with anything after a dot (Microsoft, "Naming Files,
 * Paths, and Namespaces"); com0 and lpt0 as well, which only some of its versions keep.
 */
const DEVICE = /^(?:con|prn|aux|nul|com\d|lpt\d)$/;

/** What is wrong with the name of a machine and of its folder; null when nothing is. */
export function machineIdFault(id: string): 'pattern' | 'reserved' | null {
  if (!ID_PATTERN.test(id)) return 'pattern';
  return DEVICE.test(id) ? 'reserved' : null;
}
