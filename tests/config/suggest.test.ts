import { describe, expect, it } from 'vitest';
import { editDistance, suggest } from '../../src/config/suggest.ts';

const CYCLES = ['wltc-class3b', 'wltc-class2', 'nedc', 'udds', 'hwfet', 'us06'];

describe('editDistance', () => {
  it.each([
    ['', '', 0],
    ['', 'abc', 3],
    ['abc', '', 3],
    ['nedc', 'nedc', 0],
    ['nedc', 'nefc', 1],
    ['nedc', 'nec', 1],
    ['nedc', 'needc', 1],
    ['nedc', 'necd', 1],
    ['kitten', 'sitting', 3],
    ['ab', 'ba', 1],
    ['abcd', 'badc', 2],
  ])('of %j and %j is %d', (a, b, distance) => {
    expect(editDistance(a, b)).toBe(distance);
    expect(editDistance(b, a)).toBe(distance);
  });
});

describe('suggest', () => {
  it.each([
    ['wltc-class3', 'wltc-class3b'],
    ['wltc_class2', 'wltc-class2'],
    ['NEDC', 'nedc'],
    ['ndec', 'nedc'],
    ['us6', 'us06'],
    [' udds ', 'udds'],
  ])('takes %j for %j', (typed, meant) => {
    expect(suggest(typed, CYCLES)).toBe(meant);
  });

  it('takes the beginning of a name for the first name that begins so', () => {
    expect(suggest('wltc', CYCLES)).toBe('wltc-class3b');
  });

  it('takes the nearer of two near names', () => {
    expect(suggest('speed_kph', ['speed_mps', 'speed_kmh'])).toBe('speed_kmh');
  });

  it.each(['', '  ', 'artemis', 'x'])('has nothing to offer for %j', (typed) => {
    expect(suggest(typed, CYCLES)).toBeUndefined();
  });

  it('has nothing to offer where there are no candidates', () => {
    expect(suggest('nedc', [])).toBeUndefined();
  });
});
