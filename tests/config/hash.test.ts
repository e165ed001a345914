import { describe, expect, it } from 'vitest';
import { canonicalJson, caseHash, sha256 } from '../../src/config/hash.ts';

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

describe('caseHash', () => {
  const identities = { car: { mass_kg: 1 }, cycle: 'a' };

  it('is sixteen hexadecimal digits', () => {
    expect(caseHash(identities, '1')).toMatch(/^[0-9a-f]{16}$/);
  });

  it('changes with any input and with the version of the model, and with nothing else', () => {
    const hash = caseHash(identities, '1');
    expect(caseHash({ cycle: 'a', car: { mass_kg: 1 } }, '1')).toBe(hash);
    expect(caseHash({ ...identities, car: { mass_kg: 2 } }, '1')).not.toBe(hash);
    expect(caseHash(identities, '2')).not.toBe(hash);
  });
});
