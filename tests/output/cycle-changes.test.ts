import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { CHANGE, CHANGE_KINDS, ChangeList } from '../../src/cycle/clean-report.ts';
import { writeChanges } from '../../src/output/cycle-changes.ts';

function table(list: ChangeList): Record<string, string>[] {
  const pieces: string[] = [];
  writeChanges(list.changes(), (text) => pieces.push(text));
  return parse(pieces.join(''), { columns: true });
}

/** The cells of a row that are not empty. */
const filled = (row: Record<string, string> | undefined) =>
  Object.fromEntries(Object.entries(row ?? {}).filter(([, value]) => value !== ''));

describe('the list of changes', () => {
  it('has the values of each kind in the columns of their quantity, with its unit', () => {
    const list = new ChangeList(100);
    list.add(CHANGE.spike, 4, 6, 180 * KMH, 45 * KMH);
    list.add(CHANGE.noSpeed, 5, 7, Number.NaN, Number.NaN);
    list.add(CHANGE.gapBridged, 6, 8, 6, 8.5);
    list.add(CHANGE.altitudeFilled, 9, 9, Number.NaN, 231.5);
    list.add(CHANGE.gradeFilled, 10, 10, Number.NaN, 0.03);
    list.add(CHANGE.resampled, 0, 11, 700, 350);
    const rows = table(list);
    expect(rows.map(filled)).toEqual([
      { time_s: '4', line: '6', kind: 'spike', speed_before_kmh: '180', speed_after_kmh: '45' },
      { time_s: '5', line: '7', kind: 'no-speed' },
      { time_s: '6', line: '8', kind: 'gap-bridged', clock_before_s: '6', clock_after_s: '8.5' },
      { time_s: '9', line: '9', kind: 'altitude-filled', altitude_filled_m: '231.5' },
      { time_s: '10', line: '10', kind: 'grade-filled', grade_filled_pct: '3' },
      { time_s: '0', line: '11', kind: 'resampled', rows_before: '700', rows_after: '350' },
    ]);
  });

  it('leaves empty what a row did not have, even its time', () => {
    const list = new ChangeList(10);
    list.add(CHANGE.noTime, Number.NEGATIVE_INFINITY, 3, 0, Number.NaN);
    expect(table(list).map(filled)).toEqual([
      { line: '3', kind: 'no-time', speed_before_kmh: '0' },
    ]);
  });

  it('knows every kind, and is only a header where nothing was changed', () => {
    const list = new ChangeList(100);
    for (const kind of CHANGE_KINDS.keys()) list.add(kind, 1, kind + 1, 1, 2);
    expect(table(list)).toMatchObject(CHANGE_KINDS.map((kind) => ({ kind })));
    expect(table(new ChangeList(100))).toEqual([]);
  });

  it('is written whole however long it is', () => {
    const list = new ChangeList(Number.POSITIVE_INFINITY);
    for (let k = 0; k < 30_000; k++) list.add(CHANGE.smoothed, k, k + 2, 10, 11);
    expect(table(list)).toHaveLength(30_000);
  });
});
