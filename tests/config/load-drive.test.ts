import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCycle } from '../../src/config/load.ts';
import { loadDrive } from '../../src/config/load-drive.ts';
import { KMH } from '../../src/config/units.ts';
import { DEFAULT_RULES } from '../../src/cycle/clean-rules.ts';
import { altitudeChange, distance } from '../../src/cycle/trace.ts';
import { EXAMPLES, folderWith, problemsOf } from './drafts.ts';
import { loadText, tableOf } from './drive-files.ts';

const HILLS = join(EXAMPLES, 'cycles/town-hills.csv');

/** Seconds 0 … n at a steady speed [km/h], with what else a row may have. */
function steady(n: number, speed: number, more: (k: number) => number | string): string {
  const rows = Array.from({ length: n + 1 }, (_, k) => [k, speed, more(k)]);
  return tableOf(
    'time_s,speed_kmh,altitude_m,x',
    rows.map((row) => [...row, 0]),
  );
}

describe('what is loaded', () => {
  it('is a built-in cycle by its name, never cleaned', async () => {
    const { form, parts, cleaning } = await loadDrive('udds', { clean: true });
    expect(form).toBe('built-in');
    expect(parts.map(({ time }) => time.length)).toEqual([1370]);
    expect(cleaning).toBeUndefined();
  });

  it('is a cycle in the plain form as it stands, but cleaned on request', async () => {
    const plain = await loadDrive(HILLS);
    expect([plain.form, plain.name, plain.file]).toEqual(['plain', 'town-hills', HILLS]);
    expect(plain.cleaning).toBeUndefined();
    expect(plain.altitude).toBeUndefined();
    const cleaned = await loadDrive(HILLS, { clean: true });
    expect(cleaned.form).toBe('plain');
    expect(cleaned.cleaning?.after.rows).toBe(1019);
    expect(cleaned.reading?.rows).toBe(1019);
    expect(cleaned.parts[0]?.speed).toEqual(plain.parts[0]?.speed);
    expect(cleaned.parts[0]?.climb).not.toEqual(plain.parts[0]?.climb);
  });

  it('is a log where there is anything else, cleaned unless that is refused', async () => {
    const text = 'time_s,speed_kmh,rpm\n0,0,1\n1,3.6,1\n1,3.6,1\n2,36,1\n';
    const { form, cleaning, parts } = await loadText(text);
    expect(form).toBe('log');
    expect(cleaning?.counts['duplicate-time']).toBe(1);
    expect([...parts[0]!.time]).toEqual([0, 1, 2]);
    const problems = await problemsOf(loadText(text, { clean: false }));
    expect(problems).toMatchObject([
      { code: 'time-order', file: 'logs/monday.csv', line: 4, path: 'time_s', found: '1 s' },
    ]);
  });

  it.each([
    ['a delimiter', { read: { delimiter: ',' as const } }],
    ['a decimal sign', { read: { decimal: '.' as const } }],
    ['headers', { read: { columns: { speed: 'speed_kmh' } } }],
  ])('is a log where %s is given', async (_, options) => {
    expect((await loadText('time_s,speed_kmh\n0,0\n1,36\n', options)).form).toBe('log');
    const none = { read: { delimiter: undefined, columns: { speed: undefined } } };
    expect((await loadText('time_s,speed_kmh\n0,0\n1,36\n', none)).form).toBe('plain');
  });
});

describe('a cycle in the plain form that is refused', () => {
  it.each([
    ['time goes backward', 'time_s,speed_kmh\n0,0\n2,9\n1,9\n', 4],
    ['a speed is below zero', 'time_s,speed_kmh\n0,0\n1,-0.5\n', 3],
    ['a value is missing', 'time_s,speed_kmh\n0,0\n1,\n2,3\n', 3],
    ['the road is too steep', 'time_s,speed_kmh,altitude_m\n0,9,0\n1,9,9\n', 3],
  ])('is told how to be cleaned where %s', async (_, text, line) => {
    const problems = await problemsOf(loadText(text));
    expect(problems).toMatchObject([{ file: 'logs/monday.csv', line }]);
    expect(problems[0]?.hint).toMatch(/if this is a logged drive, add `--clean`, or make/);
  });

  it('is told so once, below the last thing that cleaning mends', async () => {
    const problems = await problemsOf(
      loadText('time_s,speed_kmh\n0,0\n1,-1\n2,-1\n3,x\n4,1,1\n5,900\n'),
    );
    expect(problems.map(({ line }) => line)).toEqual([3, 4, 5, 6, 7]);
    expect(problems.map(({ hint }) => hint?.includes('--clean') ?? false)).toEqual([
      false,
      true,
      false,
      false,
      false,
    ]);
  });

  it('is an empty file, named as such', async () => {
    const folder = folderWith({ 'drive.csv': '' });
    const file = join(folder, 'drive.csv');
    expect(await problemsOf(loadDrive(file))).toEqual([
      {
        code: 'empty-file',
        file,
        found: 'an empty file',
        expected: 'a drive: a table of time and speed, or a GPX track',
      },
    ]);
  });
});

describe('the altitude of a log', () => {
  it('is smoothed over distance, and its ends are kept', async () => {
    // 1000 m at 10 m/s, rising by 20 m, read with an error of a metre up and down.
    const text = steady(100, 36, (k) => 20 * (k / 100) + (k % 2 === 0 ? 0 : 1));
    const { altitude, parts } = await loadText(text);
    // Fifty rises of 1.2 m; then 20 m, less what the noise of the last 200 m tilts it.
    expect(altitude?.gainBefore).toBeCloseTo(50 * 1.2, 9);
    expect(altitude?.gainAfter).toBeGreaterThan(19);
    expect(altitude?.gainAfter).toBeLessThan(21.5);
    expect(altitudeChange(parts[0]!)).toBeCloseTo(20, 9);
  });

  it('is left out where the log has none, with a word on it', async () => {
    const { altitude, oddParts, parts } = await loadText(steady(100, 36, () => ''));
    expect(altitude).toBeUndefined();
    expect(oddParts).toEqual([{ kind: 'no-road', from: 0, to: 100, distance: 1000 }]);
    expect(altitudeChange(parts[0]!)).toBe(0);
  });

  it('is taken for flat where a short drive makes a cliff of its noise', async () => {
    const { oddParts, parts } = await loadText(steady(3, 9, (k) => 1.5 * k));
    expect(oddParts).toEqual([{ kind: 'too-steep', from: 0, to: 3, distance: 7.5 }]);
    expect(altitudeChange(parts[0]!)).toBe(0);
  });

  it('is refused where a long drive climbs as no road does', async () => {
    // 1000 m with altitudes in feet under a header that says metres: 48 %.
    const problems = await problemsOf(loadText(steady(100, 36, (k) => 4.8 * k)));
    expect(problems[0]).toMatchObject({
      code: 'too-steep',
      file: 'logs/monday.csv',
      line: 3,
      path: 'altitude_m',
    });
    expect(problems[0]?.hint).toMatch(/right unit of altitude/);
    expect(problems.length).toBe(21);
  });

  it('gives way to a grade, which is what a run needs', async () => {
    const rows = Array.from({ length: 101 }, (_, k) => [k, 36, 5, 10 * k]);
    const { altitude, parts } = await loadText(
      tableOf('time_s,speed_kmh,grade_pct,altitude_m', rows),
    );
    expect(altitude).toBeUndefined();
    expect(altitudeChange(parts[0]!)).toBeCloseTo((1000 * 0.05) / Math.sqrt(1 + 0.05 ** 2), 9);
  });
});

describe('the parts of a log', () => {
  const gap = (row: string) =>
    `time_s,speed_kmh,x\n${Array.from({ length: 11 }, (_, k) => `${k},${row},0`).join('\n')}\n60,36,0\n61,36,0\n62,36,0\n`;

  it('are traces of their own', async () => {
    const { parts, cleaning } = await loadText(gap('36'));
    expect(parts.map(({ time }) => [time[0], time.at(-1)])).toEqual([
      [0, 10],
      [60, 62],
    ]);
    expect(parts.map(distance).map((metres) => Math.round(metres))).toEqual([100, 20]);
    expect(cleaning?.counts['gap-split']).toBe(1);
  });

  it('become one when the gap is bridged', async () => {
    const rules = { gaps: { least: 1, steps: 1.5, bridge: 50 } };
    expect((await loadText(gap('36'), { rules })).parts).toHaveLength(1);
  });

  it('in which the car hardly moves are left out, and named', async () => {
    const { parts, oddParts } = await loadText(gap('1'));
    expect(parts).toHaveLength(1);
    expect(oddParts).toEqual([
      { kind: 'left-out', from: 0, to: 10, distance: expect.closeTo(10 / 3.6, 9) },
    ]);
  });

  it('are refused if none of them goes anywhere', async () => {
    const text = gap('1').replaceAll(',36,', ',1,');
    expect(await problemsOf(loadText(text))).toMatchObject([
      {
        code: 'never-moves',
        file: 'logs/monday.csv',
        line: 1,
        found: '2 parts, all shorter than 5 m',
      },
    ]);
  });

  it('are named when a run needs one drive', async () => {
    const folder = folderWith({ 'log.csv': gap('36') });
    const file = join(folder, 'log.csv');
    const problems = await problemsOf(loadCycle(file));
    expect(problems).toMatchObject([
      {
        code: 'several-parts',
        file,
        found: '2 parts: 0 to 10 s, 60 to 62 s',
      },
    ]);
    expect(problems[0]?.hint).toMatch(/`--bridge SECONDS`.*cycle split.*cycle cut/);
    const rules = { gaps: { least: 1, steps: 1.5, bridge: 50 } };
    expect((await loadCycle(file, { rules })).value.time).toHaveLength(14);
  });
});

describe('a log that cannot be used', () => {
  it.each([
    [
      'a speed that no car has',
      'time_s,v [km/h]\n0,580\n1,495\n2,490\n',
      { code: 'out-of-range', line: 2, path: 'v [km/h]', found: '580 km/h' },
    ],
    [
      'a speed below what a sensor may show at rest',
      'time_s,v [mph]\n0,0\n1,-5\n2,0\n',
      { code: 'negative-speed', line: 3, path: 'v [mph]', found: '-8.04672 km/h' },
    ],
    [
      'a grade that no road has',
      'time_s,v [km/h],grade [-]\n0,9,0.5\n1,9,0\n',
      { code: 'out-of-range', line: 2, path: 'grade [-]', found: '50 %' },
    ],
    [
      'a car that never moves',
      'time_s,v [km/h]\n0,0\n1,0\n2,0\n',
      { code: 'never-moves', line: 1, path: 'v [km/h]' },
    ],
    [
      'time that only runs backward',
      'time_s,v [km/h]\n20,9\n10,9\n0,9\n',
      { code: 'nothing-left', path: 'time' },
    ],
  ])('says where there is %s', async (_, text, problem) => {
    const problems = await problemsOf(loadText(text));
    expect(problems).toMatchObject([{ file: 'logs/monday.csv', ...problem }]);
  });

  it('says which step is uneven where smoothing counts samples, and what to add', async () => {
    const text = 'time_s,v [km/h]\n0,9\n1,9\n2,9\n3.5,9\n4.5,9\n';
    const [problem] = await problemsOf(loadText(text, { rules: { smoothing: 'five-point-mean' } }));
    expect(problem).toMatchObject({
      code: 'uneven-sampling',
      file: 'logs/monday.csv',
      line: 5,
      hint: expect.stringContaining('add `--resample SECONDS`'),
    });
  });

  it('says so before the file is opened where its options exclude each other', async () => {
    const problems = await problemsOf(loadDrive('no-such.csv', { read: { decimal: ',' } }));
    expect(problems).toMatchObject([{ code: 'conflicting-options', file: 'no-such.csv' }]);
  });
});

describe('the rules of cleaning', () => {
  it('are the defaults but for those that are given', async () => {
    // A creep of 0.9 km/h for 3 s at the start; 60 is a spike.
    const text = 'time_s,v [km/h]\n0,0.9\n1,0.9\n2,0.9\n3,0.9\n4,9\n5,60\n6,9\n7,9\n';
    const asUsual = await loadText(text);
    expect([...asUsual.parts[0]!.speed].map((v) => Math.round(v / KMH))).toEqual([
      1, 1, 1, 1, 9, 9, 9, 9,
    ]);
    const { standstill } = DEFAULT_RULES;
    if (standstill === 'off') throw new Error('the default has changed');
    const rules = { standstill: { ...standstill, drives: 'all' as const }, spikes: 'off' as const };
    const { parts } = await loadText(text, { rules });
    expect([...parts[0]!.speed].map((v) => Math.round(v / KMH))).toEqual([0, 0, 0, 0, 9, 60, 9, 9]);
  });
});
