import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { validateYaml } from './validate.ts';

const schema = z.strictObject({ list: z.array(z.strictObject({ a: z.number() })) });
const TEXT = 'list:\n  - { a: 1 }\n';

describe('a text that is read again', () => {
  it('is the same data, which nobody can change for the others', () => {
    const first = validateYaml(schema, 'a.yaml', TEXT, 'profile');
    const again = validateYaml(schema, 'a.yaml', TEXT, 'profile');
    expect(again.written).toBe(first.written);
    const { list } = again.written as { list: { a: number }[] };
    expect(() => {
      list[0]!.a = 2;
    }).toThrow(TypeError);
    expect(() => list.push({ a: 3 })).toThrow(TypeError);
    expect(validateYaml(schema, 'a.yaml', TEXT, 'profile').written).toEqual({ list: [{ a: 1 }] });
  });

  it('under another name, with another character, against another schema is read for itself', () => {
    const wrong = 'list:\n  - { a: one }\n';
    const places = ['a.yaml', 'b.yaml'].map(
      (file) => validateYaml(schema, file, wrong, 'profile').diagnostics[0]?.place,
    );
    expect(places).toMatchObject([
      { file: 'a.yaml', line: 2 },
      { file: 'b.yaml', line: 2 },
    ]);
    expect(validateYaml(schema, 'a.yaml', TEXT.replace('1', '2'), 'profile').written).toEqual({
      list: [{ a: 2 }],
    });
    const other = z.strictObject({ list: z.string() });
    expect(validateYaml(other, 'a.yaml', TEXT, 'profile').written).toBeNull();
  });
});
