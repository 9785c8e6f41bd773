import { expect, test } from 'vitest';
import { post } from './index.ts';
import { ALL } from './testing/controllers.ts';
import { programOf, TWO_SITES } from './testing/programs.ts';

test('the same operation is one file in every dialect, ended by its end word', () => {
  for (const controller of ALL) {
    const files = post(programOf(TWO_SITES), controller);
    expect(files).toHaveLength(1);
    const lines = files[0]!.text.trimEnd().split(/\r?\n/);
    expect(files[0]!.claims.lines).toBe(lines.length);
    expect(lines.at(controller.end.percent ? -2 : -1)).toMatch(/M(2|02|30)$/);
  }
});
