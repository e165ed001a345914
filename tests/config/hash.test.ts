import { describe, expect, it } from 'vitest';
import { canonicalJson, caseHash, inputHash, sha256 } from '../../src/config/hash.ts';

describe('canonicalJson', () => {
  it('does not depend on the order of keys, at any depth', () => {
    expect(canonicalJson({ b: 1, a: { d: [1, { y: 2, x: 1 }], c: null } })).toBe(
      '{"a":{"c":null,"d":[1,{"x":1,"y":2}]},"b":1}',
    );
  });

  it('leaves out what is undefined', () => {
    expect(canonicalJson({ a: undefined, b: 0 })).toBe('{"b":0}');
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
