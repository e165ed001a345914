import { describe, expect, it } from 'vitest';
import { holdOutcome } from '../../src/cli/study-end.ts';
import type { Outcome } from '../../src/cli/study-results.ts';
import { Ranker } from '../../src/study/rank.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { doneRecord, failedRecord } from '../study/records.ts';

/** What is said at the end of a study with such records. */
function endOf(
  records: readonly StudyRecord[],
  options: { readonly out?: string; readonly merge?: readonly string[] },
): string {
  const ranker = new Ranker({ varied: [], cycleShares: null, tolerance: 1 });
  for (const record of records) ranker.add(record);
  const outcome = { ranking: ranker.ranking(), defects: 0 } as unknown as Outcome;
  try {
    holdOutcome(outcome, { tolerance: 1, ...options });
  } catch (error) {
    return String(error);
  }
  return '';
}

describe('the end of a study with failed cases', () => {
  const records = [
    doneRecord(),
    failedRecord({ strategy: 'mine', cycle: 'town' }, 'too late', 'input'),
    failedRecord({ strategy: 'mine', cycle: 'hills' }, 'too late', 'input'),
    failedRecord({ strategy: 'yours', cycle: 'road' }, 'gone', 'input'),
  ];

  it('names the first case of each reason', () => {
    const text = endOf(records, {});
    expect(text).toContain('3 of 4 cases failed:');
    expect(text).toContain(
      '  2 cases (first a, b, mine, town; case 0123456789abcdef): input: too late\n',
    );
    expect(text).toContain('  1 case (a, b, yours, road; case 0123456789abcdef): input: gone\n');
  });

  it('says what running it again does, with a folder, without one, and after a merge', () => {
    expect(endOf(records, { out: 'there' })).toContain(
      'The same command tries them again, and only them.',
    );
    const kept = endOf(records, {});
    expect(kept).toContain('Nothing is kept without `--out FOLDER`');
    expect(kept).not.toContain('only them');
    const merged = endOf(records, { out: 'there', merge: ['one', 'two'] });
    expect(merged).toContain('The whole study, run into the folder of this merge');
  });

  it('is silent where all is well', () => {
    expect(endOf([doneRecord()], {})).toBe('');
  });
});
