import { toPlain } from '@bedledger/diagnostics';
import type { MachineOutcome } from '../machine-task.ts';

/** A machine's outcome for `--json`. Keys only ever grow. */
export function machineObject(outcome: MachineOutcome): object {
  const { id, title, verdict, changes, findings, withheld, programs, next, recovered, fault } = outcome;
  return {
    id,
    title,
    verdict,
    programs,
    changes: changes.map(({ path, change, difference }) => ({
      path: `machines/${id}/issued/${path}`,
      change,
      ...(difference === null ? {} : { difference }),
    })),
    withheld,
    next,
    recovered,
    findings: findings.map(toPlain),
    ...(fault === null ? {} : { fault }),
  };
}
