import { planMachine } from '@bedledger/bedwork';
import { fixed } from '@bedledger/diagnostics';
import { post } from '@bedledger/posts';
import { describe, expect, it } from 'vitest';
import { demoRecords, withMachine } from '../../../../test/support/demo-records.ts';
import { machinePictures } from '../machine-pictures.ts';
import { runSheet } from './run-sheet.ts';
import { sentence } from './sentence.ts';

it.each([
  ['clear the burrs on the underside', 'Clear the burrs on the underside.'],
  ['28 stops: press start at each', '28 stops: press start at each.'],
  ['upcut-6 is blunt', 'upcut-6 is blunt.'],
  ['X0 Y0 is the first mark', 'X0 Y0 is the first mark.'],
  ['stop!', 'Stop!'],
  ['', ''],
])('%j reads %j', (line, expected) => {
  expect(sentence(line)).toBe(expected);
});

describe.each(demoRecords().map((r) => [r.machine.id, r] as const))('%s', (_, record) => {
  const plan = planMachine(record);
  const posted = plan.programs.flatMap((p) => post(p, record.machine.controller));
  const html = runSheet(plan, posted, machinePictures(plan));
  const steps = html
    .split('<li class="')
    .slice(1)
    .filter((s) => /^(hand|program)/.test(s));

  it('has every step, every program and every picture', () => {
    expect(steps.length).toBe(plan.steps.length);
    for (const { name } of posted) expect(html).toContain(`programs/${name}</span>`);
    for (const { file } of machinePictures(plan)) expect(html).toContain(`src="${file}"`);
    expect(html).not.toMatch(/undefined|NaN|\[object/);
  });

  it('says at each step what can hurt before what to do, and the number before the start', () => {
    for (const [i, step] of plan.steps.entries()) {
      const text = steps[i] as string;
      const at = (needle: string): number => text.indexOf(needle);
      if (step.cautions.length > 0) {
        expect(at('class="caution"')).toBeGreaterThan(0);
        expect(at('class="caution"')).toBeLessThan(
          step.program === null ? at('<ul class="do"') : at('Load '),
        );
      }
      if (step.keyIn !== null) {
        // After the first part is loaded, before the second.
        expect(at('class="key-in"')).toBeGreaterThan(at('Load '));
        const second = text.indexOf('Load ', at('Load ') + 1);
        if (second > 0) expect(at('class="key-in"')).toBeLessThan(second);
      }
      for (const { label } of step.record) expect(text).toContain(sentence(label).replace(/\.$/, ''));
    }
  });

  it('gives the key-in number as the programs have it', () => {
    for (const { claims } of posted) {
      if (claims.keyIn === null) continue;
      const inches = record.machine.units === 'in';
      // Half away from zero on the decimal value, as the programs round: 18.0425 is 18.043 there and must be here.
      const shown = inches ? fixed(claims.keyIn / 25.4, 4) : fixed(claims.keyIn, 3);
      expect(html).toContain(`<b>${shown}</b> ${record.machine.units}`);
    }
  });

  it('takes any title as words', () => {
    const nasty = `</h1><script>x</script>&"'`;
    const named = runSheet(planMachine(withMachine(record, { title: nasty })), posted, []);
    expect(named).not.toContain('<script');
    expect(named).toContain('&lt;/h1&gt;&lt;script&gt;');
  });
});
