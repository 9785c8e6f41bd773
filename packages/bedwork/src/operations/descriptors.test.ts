import { OPERATION_NAMES } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { boardWork } from '../base/board-work.ts';
import { OPERATION_FACTS, OPERATIONS_IN_ORDER } from '../base/operation-facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { machineOf, recordOf } from '../testing/records.ts';
import { makeContext } from '../work/context.ts';
import { OPERATIONS } from './index.ts';

test('every operation has its place in the order of work', () => {
  expect([...OPERATIONS_IN_ORDER].sort()).toEqual([...OPERATION_NAMES].sort());
});

describe.each(OPERATION_NAMES)('%s', (name) => {
  const operation = OPERATIONS[name];
  test('its descriptor is its own, and says what every layer knows of it', () => {
    expect(operation).toMatchObject({ ...OPERATION_FACTS[name], name });
  });
  test('on an empty bed each form is a program of that name and form, or withheld with a reason', () => {
    const record = recordOf(machineOf({}, [600, 500]));
    const layout = gridLayout(record, 2, 2);
    const context = makeContext({
      record,
      layout,
      stacks: new Map(),
      standing: new Map(),
      work: boardWork(record, layout.sites),
      findings: [],
    });
    for (const form of operation.forms) {
      const outcome = operation.make(context, form);
      if ('withheld' in outcome) {
        expect(outcome.withheld).toMatchObject({ operation: name, form });
        expect(outcome.withheld.reason).toMatch(/^[^A-Z].{15,}[^.]$/);
      } else {
        expect(outcome.program).toMatchObject({ operation: name, form });
      }
    }
  });
});
