import { describe, expect, it } from 'vitest';
import { randomNumbers } from '../../src/optimum/random.ts';
import { selectNth } from '../../src/optimum/select-nth.ts';

describe('the value at a place among sorted values', () => {
  it.each([1, 2, 7, 500])('is found among %i values, equal ones among them', (count) => {
    const random = randomNumbers(count);
    const values = Float64Array.from({ length: count + 3 }, () => Math.floor(20 * random()));
    values.fill(-1, count);
    const sorted = values.slice(0, count).sort();
    for (let place = 0; place < count; place++) {
      expect(selectNth(values.slice(), count, place)).toBe(sorted[place]);
    }
  });

  it('is found among infinite values', () => {
    const values = Float64Array.of(Number.POSITIVE_INFINITY, 3, Number.POSITIVE_INFINITY, 1);
    expect(selectNth(values.slice(), 4, 1)).toBe(3);
    expect(selectNth(values.slice(), 4, 3)).toBe(Number.POSITIVE_INFINITY);
  });
});
