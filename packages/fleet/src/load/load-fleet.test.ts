import { fileURLToPath } from 'node:url';
import { renderDiagnosticsText } from '@bedledger/diagnostics';
import { expect, test } from 'vitest';
import { loadFleet } from './load-fleet.ts';

const ROOT = fileURLToPath(new URL('../../../../', import.meta.url));

test('the demo fleet loads without a finding of severity stop', () => {
  const { fleet, diagnostics } = loadFleet(ROOT);
  expect(renderDiagnosticsText(diagnostics.filter((d) => d.severity === 'stop'))).toBe('');
  expect(fleet?.machines.map((m) => m.machine.id)).toEqual(
    expect.arrayContaining(['curlew', 'egret', 'heron']),
  );
});
