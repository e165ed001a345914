import { describe, expect, it } from 'vitest';
import { canonicalJson, caseHash, inputHash, sha256, unchanging } from '../../src/config/hash.ts';

describe('canonicalJson', () => {
  it('does not depend on the order of keys, at any depth', () => {
    expect(canonicalJson({ b: 1, a: { d: [1, { y: 2, x: 1 }], c: null } })).toBe(
      '{"a":{"c":null,"d":[1,{"x":1,"y":2}]},"b":1}',
    );
  });

  it('leaves out what is undefined', () => {
    expect(canonicalJson({ a: undefined, b: 0 })).toBe('{"b":0}');
  });

  it('writes values as JSON does', () => {
    const values = [-0, 1e21, 1e-7, 0.1 + 0.2, Number.NaN, undefined, 'ä"\\\n', true, null, [], {}];
    expect(canonicalJson(values)).toBe(JSON.stringify(values));
    expect(canonicalJson({ 'a"b': 1 })).toBe('{"a\\"b":1}');
  });

  it('is the same where parts of it are promised not to change', () => {
    const table = { z: [1, { b: 2, a: 3 }], x: 'y' };
    const text = canonicalJson({ table });
    unchanging(table);
    expect([canonicalJson({ table }), canonicalJson({ table })]).toEqual([text, text]);
    expect(canonicalJson([table, unchanging({ ...table, x: 'v' })])).toBe(
      '[{"x":"y","z":[1,{"a":3,"b":2}]},{"x":"v","z":[1,{"a":3,"b":2}]}]',
    );
  });

  it('takes one text for what does not change, which is not looked at again', () => {
    let looked = 0;
    const table = unchanging({
      get z() {
        looked++;
        return 1;
      },
    });
    for (let i = 0; i < 3; i++) canonicalJson([table, i]);
    expect(looked).toBe(1);
  });
});

describe('sha256', () => {
  it('gives the digest of the empty text', () => {
    // FIPS 180-4 test vector (from memory, and what every implementation gives).
    expect(sha256('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
  });
});

describe('inputHash', () => {
  it('does not depend on the order of keys', () => {
    expect(inputHash({ a: 1, b: 2 })).toBe(inputHash({ b: 2, a: 1 }));
    expect(inputHash({ a: 1, b: 2 })).not.toBe(inputHash({ a: 2, b: 1 }));
  });
});

describe('caseHash', () => {
  const inputs = { car: 'a', store: 'b', strategy: 'c', cycle: 'd' };

  it('is sixteen hexadecimal digits', () => {
    expect(caseHash(inputs, '1')).toMatch(/^[0-9a-f]{16}$/);
  });

  it('changes with any input and with the version of the model', () => {
    const hash = caseHash(inputs, '1');
    for (const kind of Object.keys(inputs)) {
      expect(caseHash({ ...inputs, [kind]: 'e' }, '1')).not.toBe(hash);
    }
    expect(caseHash({ ...inputs, car: 'b', store: 'a' }, '1')).not.toBe(hash);
    expect(caseHash(inputs, '2')).not.toBe(hash);
  });
});
