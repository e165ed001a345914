import { describe, expect, it } from 'vitest';
import { summaryMarkdown } from '../../src/output/markdown.ts';
import { plainPaint } from '../../src/output/paint.ts';
import { searchWords } from '../../src/output/search-words.ts';
import { summaryTable } from '../../src/output/table.ts';
import { runCase } from '../../src/simulate/case.ts';
import { leastCost } from '../../src/strategy/least-cost.ts';
import { flatSummary } from '../../src/summary/flat.ts';
import { FLAT_COLUMNS } from '../../src/summary/flat-columns.ts';
import { cycleNamed } from '../fixtures.ts';
import { stopAndGo } from '../simulate/drives.ts';
import { plainCase, plainSummary, summaryOf } from './plain-case.ts';

const makeStrategy = leastCost('least cost', {
  factor: 'search',
  startPrice: 0,
  startHorizon: 2,
  stopHorizon: 15,
});
const trace = cycleNamed('nycc');
const result = runCase({ ...plainCase, trace, makeStrategy });
const summary = summaryOf(result, trace);

describe('a factor that was searched', () => {
  it('stands in the summary with where it was searched', () => {
    const { found } = result.withStore;
    expect(summary.search).toEqual({
      factor: found?.numbers[0]?.value,
      from: 1.5,
      to: 6,
      tried: found?.tried,
    });
    expect(found?.numbers[0]?.value).toBeGreaterThan(1.5);
    expect(summary.warnings.join()).not.toContain('No least was found');
  });

  it('is told in the table and in Markdown, in lines of 80 columns', () => {
    const factor = summary.search?.factor.toFixed(3);
    const table = summaryTable(summary, plainPaint);
    expect(table).toContain(`Stored energy counts for ${factor} J of fuel a joule`);
    for (const line of table.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(summaryMarkdown(summary)).toContain(searchWords(summary.search)[0]);
  });

  it('has a column of its own, which is empty where none was searched', () => {
    const cell = FLAT_COLUMNS.find(({ name }) => name === 'search_factor');
    expect(cell?.of(summary)).toBe(summary.search?.factor);
    expect(cell?.of(plainSummary)).toBeNull();
    expect(flatSummary(summary)).toHaveProperty('search_factor', summary.search?.factor);
    expect(Object.keys(flatSummary(summary))).toEqual(FLAT_COLUMNS.map(({ name }) => name));
  });

  it('is told with what else was searched, in words and in columns of their own', () => {
    const search = { ...summary.search!, gain: 0.5, start_price_kJ: 25, tried: 75 };
    expect(searchWords({ ...search, factor: 2.62 })).toEqual([
      'Stored energy counts for 2.620 J of fuel a joule, and for 0.50 J less in a full store than in an empty one. An engine start counts for 25.0 kJ of fuel beyond what it takes. Of 75 sets of these numbers, with factors from 1.5 to 6, this is the one with the least balanced fuel. It was found with the whole cycle known.',
    ]);
    expect(searchWords({ ...search, gain: 0 })[0]).not.toContain('full store');
    const flat = flatSummary({ ...summary, search });
    expect(flat).toMatchObject({ search_gain: 0.5, search_start_price_kJ: 25 });
    expect(flatSummary(summary)).toMatchObject({ search_gain: null, search_start_price_kJ: null });
    for (const name of ['search_gain', 'search_start_price_kJ']) {
      const column = FLAT_COLUMNS.find((one) => one.name === name);
      expect(column?.of({ ...summary, search })).toBe(flat[name]);
    }
  });

  it('is no word where none was searched', () => {
    expect(plainSummary).not.toHaveProperty('search');
    expect(searchWords(plainSummary.search)).toEqual([]);
    expect(summaryTable(plainSummary, plainPaint)).not.toContain('Stored energy counts');
  });

  it('comes with a warning where it lies at an end of the range', () => {
    const town = stopAndGo(3);
    const useless = { ...plainCase.store, powerLimit: 0 };
    const outcome = runCase({ ...plainCase, store: useless, trace: town, makeStrategy });
    const { search, warnings } = summaryOf(outcome, town);
    expect(search?.factor).toBe(1.5);
    expect(warnings.filter((words) => words.startsWith('No least was found'))).toHaveLength(1);
  });
});
