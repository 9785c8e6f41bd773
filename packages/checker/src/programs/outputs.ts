import type { Diagnostic } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import type { Case } from './case.ts';

/** Where the controller has an extraction, it runs whenever something is cut, and is off at the end. */
export function checkExtraction(c: Case): Diagnostic[] {
  const { controller } = c.record.machine;
  if (!Object.hasOwn(controller.auxiliary, 'extraction')) return [];
  const { trace, simulation } = c;
  const found: Diagnostic[] = [];
  let on = false;
  let at = 0;
  let reported = false;
  const follow = (before: number): void => {
    while (at < trace.events.length && trace.events[at]!.at <= before) {
      const e = trace.events[at++]!;
      if (e.kind === 'auxiliary' && e.text.startsWith('extraction ')) on = e.text === 'extraction on';
    }
  };
  for (let i = 0; i < trace.length; i++) {
    follow(i);
    if (!on && !reported && simulation.removed[i]! > 0.005) {
      reported = true;
      found.push(
        report({
          code: 'work/extraction',
          ...inFile(c.file, trace.line[i]!),
          message: 'this motion cuts while the extraction is off',
        }),
      );
    }
  }
  follow(Number.MAX_SAFE_INTEGER);
  if (on) {
    found.push(
      report({
        code: 'work/extraction',
        ...inFile(c.file),
        message: 'the program ends with the extraction running',
      }),
    );
  }
  return found;
}
