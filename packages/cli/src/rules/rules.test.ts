import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type Diagnostic, didYouMean, heavier, raised, type Severity } from '@bedledger/diagnostics';
import { describe, expect, it } from 'vitest';
import { AREAS, codesByArea, RULES } from './index.ts';

const PACKAGES = fileURLToPath(new URL('../../../', import.meta.url));
/** Of the JSON Schemas; looks like a code. */
const FOLDER = 'shared/schemas';
const SEVERITIES: readonly Severity[] = ['note', 'warn', 'stop'];

describe('every rule', () => {
  it.each(Object.entries(RULES))('%s has a title, a reason, and one thing to do', (code, rule) => {
    expect(code).toMatch(/^[a-z]+\/[a-z0-9-]+$/);
    // Lower case, unless the sentence begins with a word of a program: G41, M5.
    expect(rule.title).toMatch(/^([^A-Z].{7}|[A-Z][A-Z0-9]* .{6}).*[^.]$/s);
    expect(rule.why).toMatch(/^\S.{14,}\.$/s);
    expect(rule.remedy).toMatch(/^([^A-Z].{4}|[A-Z][A-Z0-9]* .{3}).*[^.]$/s);
    for (const other of rule.also ?? []) {
      expect(other.severity).not.toBe(rule.severity);
      expect(other.when).toMatch(/^[^A-Z].*[^.]$/);
    }
  });

  it.each(Object.entries(RULES))('%s can be raised and not be lowered', (code, rule) => {
    for (const own of [rule.severity, ...(rule.also ?? []).map((o) => o.severity)]) {
      const finding: Diagnostic = { code, severity: own, message: 'found' };
      for (const wanted of SEVERITIES)
        expect(raised([finding], { [code]: wanted })).toEqual([
          { ...finding, severity: heavier(own, wanted) },
        ]);
    }
  });

  it('follows from rules that exist, and never from itself through others', () => {
    const causes = (code: string): readonly string[] => RULES[code]?.follows ?? [];
    for (const code of Object.keys(RULES)) {
      for (const cause of causes(code)) expect(Object.keys(RULES)).toContain(cause);
      const reached = new Set<string>();
      const open = [...causes(code)];
      for (let next = open.pop(); next !== undefined; next = open.pop()) {
        if (!reached.has(next)) open.push(...causes(next));
        reached.add(next);
      }
      expect(reached.has(code), `${code} follows from itself`).toBe(false);
    }
  });

  it('is in one area, and every area has rules', () => {
    const byArea = codesByArea();
    expect([...byArea.keys()]).toEqual(Object.keys(AREAS));
    expect([...byArea.values()].every((codes) => codes.length > 0)).toBe(true);
    expect([...byArea.values()].flat().sort()).toEqual(Object.keys(RULES).sort());
    for (const { title, about } of Object.values(AREAS)) {
      expect(title).toMatch(/^[A-Z].*[^.]$/);
      expect(about).toMatch(/^[A-Z].*\.$/);
    }
  });
});

/** Sources of one package without tests and helpers of tests, by path below the package. */
function sources(name: string): Map<string, string> {
  const src = `${PACKAGES}${name}/src`;
  const found = new Map<string, string>();
  for (const path of readdirSync(src, { recursive: true, encoding: 'utf8' })) {
    const plain = path.replace(/\\/g, '/');
    if (/\.ts$/.test(plain) && !/\.(test|bench)\.ts$/.test(plain) && !/(^|\/)testing\//.test(plain))
      found.set(plain, readFileSync(`${src}/${path}`, 'utf8'));
  }
  return found;
}

describe('the code of the packages', () => {
  // A package with tables of rules makes findings of those rules.
  const packages = readdirSync(PACKAGES).filter((name) => existsSync(`${PACKAGES}${name}/src/rules`));

  it.each(packages)('%s finds nothing that is no rule', (name) => {
    const unknown: string[] = [];
    for (const [path, text] of sources(name)) {
      // A code that is put together of parts is held against its table by the compiler.
      for (const [, code] of text.matchAll(/\bcode: ['"`]([^'"`$]+)['"`]/g))
        if (code!.includes('/') && !Object.hasOwn(RULES, code!)) unknown.push(`${path}: ${code}`);
      for (const [, code] of text.matchAll(/['"`]([a-z]+\/[a-z0-9-]+)['"`]/g))
        if (code!.split('/')[0]! in AREAS && !Object.hasOwn(RULES, code!) && code !== FOLDER)
          unknown.push(`${path}: ${code}`);
    }
    expect(unknown).toEqual([]);
  });

  it('can find every rule', () => {
    const text = packages
      .flatMap((name) => [...sources(name).values()])
      .join('\n')
      // Without the tables themselves.
      .replace(/^ {2}'[^']+': \{$/gm, '');
    const stands = (words: string) => new RegExp(`['"\`]${words}['"\`]`).test(text);
    // What every YAML file can get wrong is put together from the kind of file and a word: `profile/` and `unknown-key`.
    const [ofProfile, ofLedger, ofShared] = ['profile', 'ledger', 'shared'].map((area) =>
      Object.keys(RULES).filter((code) => code.startsWith(`${area}/`)),
    );
    const words = ofProfile!.map((code) => code.slice('profile/'.length));
    const ofEveryFile = words.filter((word) =>
      [ofLedger!, ofShared!].every((codes) => codes.some((code) => code.endsWith(`/${word}`))),
    );
    const found = (code: string) => {
      const word = code.slice(code.indexOf('/') + 1);
      return stands(code) || (ofEveryFile.includes(word) && stands(word));
    };
    expect(Object.keys(RULES).filter((code) => !found(code))).toEqual([]);
  });
});

describe('a mistyped code', () => {
  it.each([
    ['program/travl', 'program/travel'],
    ['house/unknown_rule', 'house/unknown-rule'],
    ['Layout/No-Land', 'layout/no-land'],
  ])('%s: %s is suggested', (typed, meant) => {
    expect(didYouMean(typed, Object.keys(RULES))).toContain(`\`${meant}\``);
  });

  it('far from every code: nothing is', () => {
    expect(didYouMean('no/such', Object.keys(RULES))).toBeNull();
  });
});
