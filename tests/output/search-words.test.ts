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
      factor: found?.value,
      from: 1.5,
      to: 6,
      tried: found?.tried,
    });
    expect(found?.value).toBeGreaterThan(1.5);
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
