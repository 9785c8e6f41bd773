import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';
import type { Proof } from './proof.ts';

/** Every proof by its name. */
const proofs = await Promise.all(
  readdirSync(import.meta.dirname)
    .filter((file) => file.endsWith('.proof.ts'))
    .map(async (file) => {
      const { proof } = (await import(join(import.meta.dirname, file))) as { proof: Proof };
      return [file.slice(0, -'.proof.ts'.length), proof] as const;
    }),
);

describe.each(proofs)('%s', (_, { about, sample, try: tryCase }) => {
  it(about, async () => {
    if ('test' in sample) {
      expect(existsSync(join(ROOT, sample.test)), sample.test).toBe(true);
      return;
    }
    expect(sample.cases).toBeGreaterThan(0);
    for (let number = 1; number <= sample.cases; number++) await tryCase(number);
  });
});

describe('npm run prove', () => {
  const prove = (...args: string[]) =>
    spawnSync(process.execPath, [join(ROOT, 'tools/prove.mjs'), ...args], { encoding: 'utf8' });

  it('lists every proof with what it claims', () => {
    const run = prove('--list');
    expect(run.stderr).toBe('');
    for (const [name, { about }] of proofs)
      expect(run.stdout).toMatch(new RegExp(`^${name} +${about}$`, 'm'));
  });

  it('tries so many cases from the number it is given', () => {
    const run = prove('round-trip', '--seed', '5', '--count', '2');
    expect(run.stdout).toMatch(/from case 5\n.*ok +round-trip: 2 cases/);
    expect(run.status).toBe(0);
    expect(prove('no-such-proof').status).toBe(2);
  });

  it('names the call that brings a failure back', () => {
    const folder = mkdtempSync(join(tmpdir(), 'bedledger-proofs-'));
    writeFileSync(
      join(folder, 'seven.proof.ts'),
      `export const proof = { about: 'no number ends in 7', sample: { cases: 1 },
         try: (n: number): void => { if (n % 10 === 7) throw new Error(\`\${n} does\`); } };\n`,
    );
    const run = prove('--folder', folder, '--seed', '4', '--count', '10');
    expect(run.status).toBe(1);
    expect(run.stdout).toMatch(/FAILED +seven: Error: 7 does/);
    expect(run.stdout).toContain('npm run prove -- seven --seed 7 --count 1');
    const again = prove('--folder', folder, 'seven', '--seed', '7', '--count', '1');
    expect(again.stdout).toMatch(/FAILED +seven: Error: 7 does/);
    rmSync(folder, { recursive: true });
  });
});
