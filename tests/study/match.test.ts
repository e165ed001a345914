import { describe, expect, it } from 'vitest';
import { matchCases } from '../../src/study/match.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { between, oneOf, seeded } from '../seeded.ts';
import { doneRecord, failedRecord, type Made } from './records.ts';
import { named, resultOf } from './results.ts';

const done = (...cases: readonly Made[]) => cases.map((made) => doneRecord(made));

async function matched(before: readonly StudyRecord[], after: readonly StudyRecord[]) {
  return matchCases(await resultOf(before), await resultOf(after));
}

describe('matching', () => {
  it('goes by names and varied numbers, in any order, and never by hash', async () => {
    const before = done(
      { cycle: 'udds', varied: { 'store.mass_kg': 60 } },
      { cycle: 'udds', varied: { 'store.mass_kg': 0.1 + 0.2 } },
      { cycle: 'nycc', varied: { 'store.mass_kg': 60 } },
    );
    const after = before.toReversed().map((record, k) => named(record, { hash: `${k}` }));
    const { pairs, changed, unmatched } = await matched(before, after);
    expect(changed).toEqual([]);
    expect(unmatched).toEqual([]);
    expect(pairs.map(({ after: row }) => row.names.cycle)).toEqual(['nycc', 'udds', 'udds']);
    for (const pair of pairs) {
      expect(pair.before.names).toEqual(pair.after.names);
      expect(pair.before.varied).toEqual(pair.after.varied);
    }
  });

  it('takes two single cases for one, whatever they are called, and says what was changed', async () => {
    const { pairs, changed } = await matched(
      done({ car: 'van', strategy: 'x', varied: { 'car.mass_kg': 1 } }),
      done({ car: 'bus', strategy: 'y' }),
    );
    expect(pairs).toHaveLength(1);
    expect(changed).toEqual([
      { name: 'car', before: 'van', after: 'bus' },
      { name: 'strategy', before: 'x', after: 'y' },
      { name: 'car.mass_kg', before: 1, after: undefined },
    ]);
  });

  it('leaves a dimension out that has one value on each side, and no other', async () => {
    const old = done({ strategy: 'x', cycle: 'udds' }, { strategy: 'x', cycle: 'nycc' });
    const now = done({ strategy: 'y', cycle: 'nycc' }, { strategy: 'y', cycle: 'ftp75' });
    const { pairs, changed, unmatched } = await matched(old, now);
    expect(changed.map(({ name }) => name)).toEqual(['strategy']);
    expect(pairs.map(({ after }) => after.names.cycle)).toEqual(['nycc']);
    expect(unmatched.map(({ side, row }) => `${side} ${row.names.cycle}`)).toEqual([
      'after ftp75',
      'before udds',
    ]);
  });

  it('does not match one strategy against two others', async () => {
    const { pairs, unmatched } = await matched(
      done({ strategy: 'x' }),
      done({ strategy: 'y' }, { strategy: 'z' }),
    );
    expect(pairs).toEqual([]);
    expect(unmatched).toHaveLength(3);
  });

  it('tells a number that is left as its file says from one that is not varied', async () => {
    const { pairs, unmatched } = await matched(
      done({ cycle: 'a', varied: { 'car.x': null } }, { cycle: 'a', varied: { 'car.x': 1 } }),
      done({ cycle: 'a', varied: { 'car.x': null } }, { cycle: 'b', varied: {} }),
    );
    expect(pairs).toHaveLength(1);
    expect(unmatched.map(({ side }) => side)).toEqual(['after', 'before']);
  });

  it('keeps failed and doubled cases apart', async () => {
    const { pairs, failed, unmatched, doubled } = await matched(
      [
        ...done({ cycle: 'a' }, { cycle: 'b' }, { cycle: 'c' }, { cycle: 'c' }),
        failedRecord({ cycle: 'd' }),
        failedRecord({ cycle: 'e' }),
      ],
      [
        ...done({ cycle: 'a' }, { cycle: 'c' }, { cycle: 'd' }),
        failedRecord({ cycle: 'b' }, 'no road'),
      ],
    );
    expect(pairs.map(({ after }) => after.names.cycle)).toEqual(['a']);
    expect(failed.map(({ after }) => [after.names.cycle, after.failure])).toEqual([
      ['d', null],
      ['b', 'no road'],
    ]);
    expect(unmatched.map(({ row }) => row.names.cycle)).toEqual(['e']);
    expect(doubled.map(({ side, row }) => `${side} ${row.names.cycle}`)).toEqual([
      'before c',
      'before c',
      'after c',
    ]);
  });

  it('puts every case of random results into exactly one list', async () => {
    const random = seeded(7);
    for (let round = 0; round < 20; round++) {
      const records = () =>
        Array.from({ length: Math.ceil(between(random, 0, 12)) }, () => {
          const made = {
            car: oneOf(random, ['a', 'b']),
            cycle: oneOf(random, ['u', 'v', 'w']),
            varied: { 'car.x': oneOf(random, [null, 1, 2]) },
          };
          return random() < 0.2 ? failedRecord(made) : doneRecord(made);
        });
      const before = await resultOf(records());
      const after = await resultOf(records());
      const { pairs, failed, unmatched, doubled } = matchCases(before, after);
      const both = [...pairs, ...failed];
      const listed = [
        ...both.flatMap((pair) => [pair.before, pair.after]),
        ...[...unmatched, ...doubled].map(({ row }) => row),
      ];
      expect(new Set(listed).size).toBe(listed.length);
      expect(listed.length).toBe(before.rows.length + after.rows.length);
    }
  });
});
