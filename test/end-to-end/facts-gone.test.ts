import { rmSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { git as gitIn } from '../support/git.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * A merge that is resolved to one side loses the facts of the other: lines of a ledger that a commit had are missed by name.
 * In a real repository.
 */

let fleet: SmallFleet;

const git = (...args: string[]): string => gitIn(fleet.root, ...args);

const LEDGER = 'machines/avocet/ledger.yaml';

beforeAll(() => {
  fleet = smallFleet('avocet', 'plover');
  git('init', '-q', '-b', 'main');
  git('add', '-A');
  git('commit', '-q', '-m', 'base');
});
afterEach(() => git('checkout', '-q', '--force', 'main'));
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

describe('facts that a ledger had', () => {
  it('inserts that a merge has lost stop check and diff, by name', () => {
    fleet.write(LEDGER, fleet.read(LEDGER).replace(/^.*fact: insert, .*site: [CD]\d.*\n/gm, ''));
    const check = fleet.run('check', 'avocet', '--base', 'main');
    expect(check.status).toBe(1);
    expect(check.stderr).toMatch(
      /ledger\.yaml: stop ledger\/facts-gone: 8 entries `insert` that the ledger had at main are gone: C1, C2, C3, C4, D1, D2, D3, D4/,
    );
    expect(check.stderr).toContain('withdrawn with `bedledger record <machine> withdraw`');
    const diff = fleet.run('diff', 'main');
    expect(diff.status).toBe(1);
    expect(diff.stdout).toMatch(/^2 machines: 1 stopped, 1 the same\n(?:.*\n)?stop {6}avocet: stopped/);
    expect(diff.stdout).toContain('8 entries `insert`');
  }, 60_000);

  it('a fact that is withdrawn is not gone, nor is one that was added, nor another order of lines', () => {
    const text = fleet.read(LEDGER);
    fleet.write(
      LEDGER,
      `${text}  - { fact: note, date: 2026-11-20, text: "a note more" }\n  - { fact: withdraw, date: 2026-11-20, of: 1, kind: survey, day: 2025-09-30, reason: "of another bed" }\n`,
    );
    expect(fleet.run('check', 'avocet', '--base', 'main').stderr).not.toContain('facts-gone');
  }, 60_000);

  it('a whole ledger passes, and a base that does not exist is a wrong call', () => {
    expect(fleet.run('check', '--base', 'main').status).toBe(0);
    expect(fleet.run('check', '--base', 'no-such').status).toBe(2);
  }, 60_000);
});
