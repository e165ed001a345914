import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { DefectError } from '../../src/config/problem.ts';
import { summaryCsv } from '../../src/output/csv.ts';
import { csvCell } from '../../src/output/csv-cell.ts';
import { jsonText } from '../../src/output/json.ts';
import { summaryMarkdown } from '../../src/output/markdown.ts';
import { problemsText } from '../../src/output/problems.ts';
import { wrap } from '../../src/output/wrap.ts';
import { fixed, rounded } from '../../src/summary/numbers.ts';
import { plainSummary } from './plain-case.ts';

describe('JSON', () => {
  it('reads back as the very same document', () => {
    expect(JSON.parse(jsonText(plainSummary))).toEqual(plainSummary);
  });

  it('is indented by two blanks and ends with one line end', () => {
    expect(jsonText({ a: [0.1, -0] })).toBe('{\n  "a": [\n    0.1,\n    0\n  ]\n}\n');
  });

  it('refuses a number that it has no form for, instead of printing null', () => {
    expect(() => jsonText({ deep: { fuel_kJ: Number.NaN } })).toThrow(DefectError);
    expect(() => jsonText({ deep: { fuel_kJ: Number.NaN } })).toThrow('`fuel_kJ` is NaN');
  });
});

describe('CSV of a summary', () => {
  const [header, row, ...more] = parse(summaryCsv(plainSummary)) as string[][];
  const value = (name: string) => row?.[header?.indexOf(name) ?? -1];

  it('is a header and one row of as many cells', () => {
    expect(more).toEqual([]);
    expect(row).toHaveLength(header?.length ?? 0);
    expect(new Set(header).size).toBe(header?.length);
  });

  it('names every number with its group and its unit', () => {
    expect(header).toEqual(header?.map((name) => name.replace(/[^A-Za-z0-9_]/g, '')));
    expect(value('fuel_store_L_per_100km')).toBe(String(plainSummary.fuel.store_L_per_100km));
    expect(value('saving_vs_baseline_pct')).toBe(String(plainSummary.saving.vs_baseline_pct));
    expect(value('missed_recovery_brake_share_kJ')).toBe(
      String(plainSummary.missed_recovery_kJ.brake_share),
    );
    expect(value('counts_limit_full_s')).toBe(String(plainSummary.counts.limit_s.full));
    expect(value('ledger_store_rotor_drag_kJ')).toBe(
      String(plainSummary.ledger.store.rotor_drag_kJ),
    );
    expect(header?.some((name) => name.startsWith('references'))).toBe(false);
  });

  it('writes numbers that read back as the same double', () => {
    const { fuel } = plainSummary.ledger;
    for (const [key, energy] of Object.entries(fuel)) {
      expect(Number(value(`ledger_fuel_${key}`))).toBe(energy);
    }
  });

  it('leaves a cell without a value empty', () => {
    expect(value('saving_balance_slope')).toBe('');
  });
});

describe('a CSV cell', () => {
  it.each([
    [0.1 + 0.2, '0.30000000000000004'],
    [-0, '0'],
    [1e21, '1e+21'],
    [null, ''],
    ['plain', 'plain'],
    ['a,b', '"a,b"'],
    ['say "so"', '"say ""so"""'],
    ['two\nlines', '"two\nlines"'],
  ])('of %j is %s', (value, text) => {
    expect(csvCell(value)).toBe(text);
  });

  it('cannot be a number that is none', () => {
    expect(() => csvCell(Number.NaN)).toThrow(DefectError);
    expect(() => csvCell(Number.NEGATIVE_INFINITY)).toThrow(DefectError);
  });
});

describe('Markdown of a summary', () => {
  const text = summaryMarkdown(plainSummary);

  it('names what balances the charge, which is no slope where a mean of laps does', () => {
    expect(text).toMatch(/^\| Fuel that counts \| in \| charge balance \|/m);
    expect(text).not.toContain('slope');
  });

  it('has tables whose rows have as many cells as their header', () => {
    const tables = text.split('\n\n').filter((part) => part.startsWith('|'));
    expect(tables.length).toBe(4);
    for (const table of tables) {
      const widths = table.split('\n').map((line) => line.match(/(?<!\\)\|/g)?.length);
      expect(new Set(widths).size).toBe(1);
    }
  });

  it('leads with fuel and saving and ends with cautions', () => {
    expect(text).toMatch(/^## plain-car · plain-store · plain-strategy · udds\n/);
    expect(text.indexOf('saving with the store')).toBeLessThan(text.indexOf('### Ledger'));
    expect(text).toContain(plainSummary.fuel.store_L_per_100km.toFixed(3));
    expect(text).toMatch(/### Cautions\n\n- These are estimates/);
  });

  it('takes the characters of a name for no markup', () => {
    const named = { ...plainSummary, case: { ...plainSummary.case, car: 'a|b*c' } };
    expect(summaryMarkdown(named)).toContain('## a\\|b\\*c ·');
  });
});

describe('numbers for people', () => {
  it('have fixed decimals and never a negative zero', () => {
    expect([fixed(1.005, 1), fixed(-0.04, 1), fixed(-0.06, 1), fixed(null, 1)]).toEqual([
      '1.0',
      '0.0',
      '-0.1',
      '–',
    ]);
  });

  it('have three figures in a sentence, without an exponent', () => {
    expect([1234.5, 12.345, 1.2345, 0.12345, 0.0001, -0.0001, 0].map(rounded)).toEqual([
      '1235',
      '12.3',
      '1.23',
      '0.123',
      '<0.001',
      '-<0.001',
      '0.000',
    ]);
  });
});

describe('wrapped text', () => {
  it('breaks at blanks, within the width, and lets a long word stick out', () => {
    expect(wrap('one two three', 7)).toEqual(['one two', 'three']);
    expect(wrap('one two three', 9, '  ')).toEqual(['  one two', '  three']);
    expect(wrap('a incomprehensible b', 5)).toEqual(['a', 'incomprehensible', 'b']);
  });
});

describe('problems of an input', () => {
  it('say where, what was found, what was expected and how to mend it', () => {
    const text = problemsText([
      {
        code: 'out-of-range',
        file: 'car.json',
        line: 12,
        path: 'engine.idle_speed_rpm',
        found: '75000',
        expected: '300 to 2000',
        hint: 'is it in 1/min?',
      },
      { code: 'missing-key', file: 'car.json', path: 'mass_kg', expected: 'a number' },
      { code: 'bad', expected: 'something else' },
    ]);
    expect(text).toBe(
      'car.json:12: engine.idle_speed_rpm: found 75000, expected 300 to 2000\n' +
        '  hint: is it in 1/min?\n' +
        'car.json: mass_kg: expected a number\n' +
        'expected something else\n',
    );
  });

  it('show control characters of a file instead of sending them to the terminal', () => {
    const text = problemsText([{ code: 'x', file: 'a.csv', found: '\u001b[2J\r', expected: 'y' }]);
    expect(text).toBe('a.csv: found \\u001b[2J\\u000d, expected y\n');
  });
});
