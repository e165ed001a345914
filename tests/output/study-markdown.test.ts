import { describe, expect, it } from 'vitest';
import { studyMarkdown } from '../../src/output/study-markdown.ts';
import { studyReport } from '../../src/output/study-report.ts';
import { Ranker } from '../../src/study/rank.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { doneRecord, failedRecord } from '../study/records.ts';

const ENERGY = 'store.rotor.energy_at_max_kJ';

function markdown(records: readonly StudyRecord[], name = 'sizes'): string {
  const ranker = new Ranker({ varied: [ENERGY], cycleShares: null, tolerance: 0.5 });
  for (const record of records) ranker.add(record);
  return studyMarkdown(studyReport(name, 'spinledger 9.9.9', ranker.ranking()));
}

/** Twenty cars with a name that Markdown could take for markup, five sizes each. */
const records = Array.from({ length: 20 }, (_, car) =>
  [100, 200, 300, 400, 500].flatMap((energy, k) =>
    ['x', 'y'].map((cycle) =>
      doneRecord({
        car: `a|b_${car}`,
        cycle,
        varied: { [ENERGY]: energy },
        fuel: [5, 4.8, 5 - [0, 0.3, 0.4, 0.45, 0.475][k]! + car / 1000],
      }),
    ),
  ),
).flat();

describe('Markdown of a study', () => {
  const text = markdown([...records, failedRecord({ car: 'z', cycle: 'x' })]);

  it('has tables whose rows have as many cells as their header', () => {
    const tables = text.split('\n\n').filter((part) => part.startsWith('|'));
    expect(tables).toHaveLength(2);
    for (const table of tables) {
      const widths = table.split('\n').map((line) => line.match(/(?<!\\)\|/g)?.length);
      expect(new Set(widths).size).toBe(1);
    }
  });

  it('takes the characters of a name for no markup, and clips none', () => {
    expect(text).toContain('| a\\|b\\_0 |');
    expect(markdown(records, 'a*b\n# c')).toMatch(/^## a\\\*b\\\\u000a# c\n/);
  });

  it('has the same parts as the table, and the cautions', () => {
    const titles = text.split('\n').filter((line) => line.startsWith('#'));
    expect(titles).toEqual([
      '## sizes',
      '### The best of them on each cycle',
      '### Where more store brings less',
      '### Cautions',
    ]);
    expect(text).toContain('| … | 88 more |');
    expect(text).toContain('- f: 1 case failed.');
    expect(text).toContain('knee at 200 kJ');
    expect(text).toMatch(/```\n {3}9\.50 │[^`]*◆[^`]*```/);
  });
});
