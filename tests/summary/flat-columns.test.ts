import { describe, expect, it } from 'vitest';
import { flatSummary } from '../../src/summary/flat.ts';
import { FLAT_COLUMNS } from '../../src/summary/flat-columns.ts';
import { plainResult, plainSummary, summaryOf } from '../output/plain-case.ts';

describe('the columns of a summary', () => {
  it('are those of its row, in the same order', () => {
    expect(FLAT_COLUMNS.map(({ name }) => name)).toEqual(Object.keys(flatSummary(plainSummary)));
  });

  it('hold what its row holds', () => {
    const warned = summaryOf({ ...plainResult, baseline: { ...plainResult.baseline, fuel: 0 } });
    expect(warned.warnings).not.toEqual([]);
    for (const summary of [plainSummary, warned]) {
      const read = FLAT_COLUMNS.map(({ name, of }) => [name, of(summary)]);
      expect(Object.fromEntries(read)).toEqual(flatSummary(summary));
    }
  });
});
