import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { parseCycle } from '../../src/cycle/read.ts';
import { altitudeChange, distance, type Trace } from '../../src/cycle/trace.ts';
import { seeded } from '../seeded.ts';
import { problemsOf } from './problems.ts';

const source = { file: 'logs/monday.csv', name: 'monday' };

function parse(...lines: string[]): Trace {
  return parseCycle(lines.join('\n'), source);
}

function problems(...lines: string[]): readonly Problem[] {
  return problemsOf(() => parse(...lines));
}

/** Line, code, column and cell of each problem. */
function refusals(...lines: string[]): unknown[] {
  return problems(...lines).map(({ line, code, path, found }) => [line, code, path, found]);
}

describe('a cycle in its plain form', () => {
  it('is read in km/h, mph, m/s and knots, however the header spells them', () => {
    for (const [header, speed] of [
      ['speed_kmh', 36],
      ['speed_mph', 36 / 1.609344],
      ['speed_m_per_s', 10],
      ['speed_mps', 10],
      ['speed_kn', 36 / 1.852],
      ['v_km/h', 36],
      ['Speed (mph)', 36 / 1.609344],
      ['Velocity [m/s]', 10],
    ]) {
      const trace = parse(`time_s,${header}`, '0,0', `1.5,${speed}`, `2,${speed}`);
      expect(trace.name).toBe('monday');
      expect([...trace.time]).toEqual([0, 1.5, 2]);
      expect(trace.speed[0]).toBe(0);
      expect(trace.speed[2]).toBeCloseTo(10, 13);
    }
  });

  it('may have its columns in any order, and a grade or an altitude', () => {
    const hill = parse('grade_pct,speed_m_per_s,time_s', '5,10,0', '5,10,10');
    // sin(arctan 0.05) · 100 m
    expect(altitudeChange(hill)).toBeCloseTo(4.993_761_694, 8);
    const pass = parse('altitude_m,time_s,speed_kmh', '800,0,36', '805,10,36', '803,20,36');
    expect(altitudeChange(pass)).toBe(3);
  });

  it('may have a byte order mark, CRLF, comments, empty lines, blanks and quotation marks', () => {
    const text =
      '\uFEFF# a note\r\n time_s , speed_kmh \r\n\r\n0, 0\r\n# half way\r\n"1","36"\r\n2,36\r\n\r\n';
    expect([...parseCycle(text, source).time]).toEqual([0, 1, 2]);
    expect(distance(parseCycle(text, source))).toBeCloseTo(15, 12);
  });

  it('gives the same trace whether or not its cells stand in quotation marks', () => {
    const text = readFileSync(new URL('../../cycles/udds.csv', import.meta.url), 'utf8');
    const quoted = text.replace(/^([^#,\n]+),(.+)$/gm, '"$1","$2"');
    expect(quoted).toContain('"1369","0.0"');
    expect(parseCycle(quoted, source)).toEqual(parseCycle(text, source));
  });
});

describe('a cycle file that cannot be used is refused:', () => {
  it('an empty one, or one of comments only', () => {
    for (const text of ['', '\uFEFF', '\n\n', '# nothing\n']) {
      const [problem, ...others] = problemsOf(() => parseCycle(text, source));
      expect(problem).toMatchObject({ code: 'empty-file', file: 'logs/monday.csv', line: 1 });
      expect(others).toEqual([]);
    }
  });

  it('one with a header only, or with one row', () => {
    expect(refusals('# note', 'time_s,speed_kmh')).toEqual([
      [2, 'too-few-rows', undefined, '0 rows'],
    ]);
    expect(refusals('time_s,speed_kmh', '0,0')).toEqual([[1, 'too-few-rows', undefined, '1 row']]);
  });

  it('one without a header', () => {
    expect(refusals('0,0', '1,10')).toEqual([[1, 'missing-header', undefined, '0,0']]);
  });

  it('one with semicolons or tabs, saying how to read it', () => {
    for (const [separator, word, flag] of [
      [';', 'semicolons', "';'"],
      ['\t', 'tabs', 'tab'],
    ] as const) {
      const [problem, ...others] = problems(
        `time_s${separator}speed_kmh`,
        `0${separator}0,0`,
        `1${separator}3,6`,
      );
      expect(problem).toMatchObject({ code: 'wrong-delimiter', line: 1 });
      expect(problem?.expected).toContain('separated by commas');
      expect(problem?.hint).toContain(word);
      expect(problem?.hint).toContain(`--delimiter ${flag}`);
      expect(problem?.hint).toContain('--decimal ,');
      expect(others).toEqual([]);
    }
  });

  it('one with decimal commas, which look like a cell too many', () => {
    const found = problems('time_s,speed_kmh', '0,0', '1,3,6', '2,"7,2"');
    expect(found.map(({ line, code }) => [line, code])).toEqual([
      [3, 'cell-count'],
      [4, 'not-a-number'],
    ]);
    expect(found[0]?.hint).toContain('decimal point');
    expect(found[1]).toMatchObject({ path: 'speed_kmh', found: '7,2' });
    expect(found[1]?.expected).toContain('decimal point');
  });

  it.each([
    ['tmie_s', 'speed_kmh', 'tmie_s', 'unknown-column', 'tmie_s', '`time_s`'],
    ['time_s', 'sped_kmh', 'sped_kmh', 'unknown-column', 'sped_kmh', '`speed_kmh`'],
    ['time_s', 'Spead [mph]', 'Spead [mph]', 'unknown-column', 'Spead [mph]', '`speed_mph`'],
    ['time_s', 'speed_ms', 'speed_ms', 'unknown-unit', 'ms', '`speed_m_per_s`'],
    ['time_s', 'speed [kmj]', 'speed [kmj]', 'unknown-unit', 'kmj', '`speed_kmh`'],
  ])(
    'one with the columns %s and %s, with a suggestion',
    (time, speed, path, code, found, meant) => {
      const [problem, ...others] = problems(`${time},${speed}`, '0,0', '1,10');
      expect(problem).toMatchObject({ code, line: 1, path, found });
      expect(problem?.hint).toContain(`did you mean ${meant}`);
      expect(others).toEqual([]);
    },
  );

  it('one whose speed has no unit, naming all that there are', () => {
    const found = problems('time_s,speed', '0,0', '1,10');
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ code: 'missing-unit', line: 1, path: 'speed' });
    expect(found[0]?.hint).toBe(
      "name the unit: speed_kmh, speed_mph, speed_m_per_s, speed_kn; or say it as in `--columns speed='speed:kmh'`",
    );
  });

  it('one whose times are numbers of no known unit', () => {
    const found = problems('time,speed_kmh', '0,0', '1,10');
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ code: 'missing-unit', line: 1, path: 'time', found: '0' });
    expect(found[0]?.hint).toContain('time_s, time_ms');
  });

  it('one with missing, doubled, conflicting and unknown columns, all at once', () => {
    expect(
      refusals('speed_kmh,speed_mph,speed_kmh,grade_pct,altitude_m,,pressure', '1,1,1,1,1,1,1'),
    ).toEqual([
      [1, 'conflicting-columns', 'speed_mph', 'speed_mph'],
      [1, 'duplicate-column', 'speed_kmh', 'speed_kmh'],
      [1, 'conflicting-columns', 'altitude_m', 'altitude_m'],
      [1, 'unknown-column', 'column 6', ''],
      [1, 'unknown-column', 'pressure', 'pressure'],
      [1, 'missing-column', 'time_s', undefined],
    ]);
    expect(refusals('time_s,altitude_m', '0,1', '1,2')).toEqual([
      [1, 'missing-column', 'speed_kmh', undefined],
    ]);
  });

  it('one of positions, which are no cycle before they are cleaned', () => {
    expect(refusals('time_s,lat,lon', '0,48,9', '1,48,9.1')).toEqual([
      [1, 'unknown-column', 'lat', 'lat'],
      [1, 'unknown-column', 'lon', 'lon'],
      [1, 'missing-column', 'speed_kmh', undefined],
    ]);
  });

  it('a GPX file, with the way to read it', () => {
    const [problem, ...others] = problemsOf(() => parseCycle('<?xml version="1.0"?><gpx>', source));
    expect(problem).toMatchObject({ code: 'not-a-table', line: 1 });
    expect(problem?.hint).toContain('spinledger cycle');
    expect(others).toEqual([]);
  });

  it('one with a wrong column and wrong cells, both of which are told', () => {
    expect(refusals('time_s,speed_kmh,gear', '0,0,1', '1,x,1')).toEqual([
      [1, 'unknown-column', 'gear', 'gear'],
      [3, 'not-a-number', 'speed_kmh', 'x'],
    ]);
  });

  it.each(['', 'abc', 'NaN', '12abc', '0x10', 'Infinity', '1e999'])('a speed of %j', (cell) => {
    expect(refusals('time_s,speed_kmh', '0,0', `1,${cell}`, '2,20')).toEqual([
      [3, 'not-a-number', 'speed_kmh', cell],
    ]);
  });

  it('time that stands still or runs backward, with both values', () => {
    const found = problems('time_s,speed_kmh', '0,0', '1.5,10', '1.50,10', '1.25,10', '2,10');
    expect(found).toHaveLength(2);
    expect(found[0]).toMatchObject({ line: 4, code: 'time-order', path: 'time_s', found: '1.50' });
    expect(found[0]?.expected).toContain('later than 1.5');
    expect(found[0]?.hint).toContain('twice');
    expect(found[1]).toMatchObject({ line: 5, code: 'time-order', path: 'time_s', found: '1.25' });
    expect(found[1]?.hint).toContain('backward');
  });

  it('times that do not go forward, in the way in which the file writes them', () => {
    const inMs = problems('time_ms,speed_kmh', '1001,5', '1001,5');
    expect(inMs[0]?.expected).toBe('a time later than 1001, the one before it');
    const dated = problems(
      'time,speed_kmh',
      '2024-05-01T08:00:05Z,5',
      '2024-05-01T10:00:05+02:00,5',
    );
    expect(dated[0]).toMatchObject({ line: 3, code: 'time-order' });
    expect(dated[0]?.expected).toBe(
      'a time later than 2024-05-01T08:00:05.000Z, the one before it',
    );
    const clock = problems('time,speed_kmh', '8:00:05,5', '8:00:04.5,5');
    expect(clock[0]?.expected).toBe('a time later than 0 s after the first row, the one before it');
  });

  it('speeds that are negative or beyond 500 km/h, in the unit of the file', () => {
    expect(refusals('time_s,speed_kmh', '0,-0.1', '1,500', '2,501')).toEqual([
      [2, 'negative-speed', 'speed_kmh', '-0.1'],
      [4, 'out-of-range', 'speed_kmh', '501'],
    ]);
    expect(refusals('time_s,speed_mph', '0,310', '1,311')).toEqual([
      [3, 'out-of-range', 'speed_mph', '311'],
    ]);
    const [problem] = problems('time_s,speed_m_per_s', '0,0', '1,139');
    expect(problem?.hint).toContain('unit');
  });

  it('rows with too few or too many cells', () => {
    const found = problems('time_s,speed_kmh', '0', '1,10,20', '2;10');
    expect(found.map(({ line, code, found: cells }) => [line, code, cells])).toEqual([
      [2, 'cell-count', '1 cell'],
      [3, 'cell-count', '3 cells'],
      [4, 'cell-count', '1 cell'],
    ]);
    expect(found[2]?.hint).toContain('semicolons');
  });

  it('grades beyond 35 %', () => {
    expect(refusals('time_s,speed_kmh,grade_pct', '0,10,35', '1,10,-35', '2,10,35.1')).toEqual([
      [4, 'out-of-range', 'grade_pct', '35.1'],
    ]);
  });

  it('altitudes that jump, with line, column and what to do', () => {
    const found = problems('time_s,speed_kmh,altitude_m', '0,36,100', '1,36,110', '2,36,110.2');
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({
      line: 3,
      code: 'too-steep',
      path: 'altitude_m',
      found: '110',
    });
    expect(found[0]?.hint).toContain('grade_pct');
  });

  it('a car that never moves', () => {
    expect(refusals('# note', 'time_s,speed_kmh', '0,0', '1,0', '2,0.0')).toEqual([
      [2, 'never-moves', 'speed_kmh', undefined],
    ]);
  });

  it('quotation marks that do not match, after the problems before them', () => {
    expect(refusals('time_s,speed_kmh', '0,x', '1,"10', '2,20')).toEqual([
      [2, 'not-a-number', 'speed_kmh', 'x'],
      [3, 'broken-quotes', undefined, undefined],
    ]);
  });

  it('hundreds of bad rows, of which 20 are listed and the rest counted', () => {
    const rows = Array.from({ length: 300 }, (_, k) => `${k},900`);
    const found = problems('time_s,speed_kmh', ...rows);
    expect(found).toHaveLength(21);
    expect(found[19]).toMatchObject({ line: 21, code: 'out-of-range' });
    expect(found[20]).toMatchObject({ code: 'more-problems', found: '280 more' });
  });

  it('with its file name in every problem, and no more of a huge cell than fits a message', () => {
    const found = problems('time_s,speed_kmh', '0,0', `1,${'9'.repeat(5000)}`, '2,x');
    expect(found).toHaveLength(2);
    expect(found[0]?.found?.length).toBeLessThanOrEqual(41);
    for (const problem of found) expect(problem.file).toBe('logs/monday.csv');
  });
});

describe('whatever bytes a file holds', () => {
  /** Whether the text made a trace; a trace must be sound, and all else an InputError. */
  function isCycle(text: string): boolean {
    let trace: Trace;
    try {
      trace = parseCycle(text, source);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      expect(error.problems.length).toBeGreaterThan(0);
      expect(error.problems.length).toBeLessThanOrEqual(21);
      let line = 1;
      for (const problem of error.problems) {
        expect(problem.file).toBe('logs/monday.csv');
        expect(problem.expected).not.toBe('');
        // In file order; the count of further problems has no line of its own.
        if (problem.line !== undefined) expect(problem.line).toBeGreaterThanOrEqual(line);
        line = problem.line ?? line;
      }
      return false;
    }
    expect(distance(trace)).toBeGreaterThanOrEqual(1);
    for (const column of [trace.time, trace.speed, trace.climb, trace.level]) {
      expect(column.every(Number.isFinite)).toBe(true);
    }
    expect(trace.speed.every((speed) => speed >= 0)).toBe(true);
    return true;
  }

  const VALID = [
    'time_s,speed_kmh\n0,0\n1.5,36\n2.5,40\n3.5,20\n4.5,0\n5.5,0\n',
    'time_s,speed_mph,altitude_m\r\n0,0,10\r\n1,36,10.5\r\n2,40,11\r\n3,20,12\r\n4,0,12\r\n',
  ];

  it('either makes a sound trace or is refused: random bytes', () => {
    const random = seeded(1);
    for (let trial = 0; trial < 2000; trial++) {
      const bytes = Uint8Array.from({ length: Math.floor(200 * random()) }, () => 256 * random());
      expect(isCycle(new TextDecoder().decode(bytes))).toBe(false);
    }
  });

  it('either makes a sound trace or is refused: the characters of tables, shuffled', () => {
    const random = seeded(2);
    const alphabet = [
      'time_s',
      'speed_kmh',
      'grade_pct',
      'altitude_m',
      ...'0123456789.,;-+eE"#\r\n\t ',
    ];
    for (let trial = 0; trial < 3000; trial++) {
      let text = random() < 0.5 ? 'time_s,speed_kmh\n' : '';
      for (let piece = 0; piece < 60 * random(); piece++) {
        text += alphabet[Math.floor(alphabet.length * random())]!;
      }
      isCycle(text);
    }
  });

  it('either makes a sound trace or is refused: a good file with a few bytes changed', () => {
    const random = seeded(3);
    const trials = 4000;
    let cycles = 0;
    for (let trial = 0; trial < trials; trial++) {
      const bytes = new TextEncoder().encode(VALID[trial % 2]);
      const changes = 1 + Math.floor(3 * random());
      for (let change = 0; change < changes; change++) {
        const at = Math.floor(bytes.length * random());
        const digit = 48 + Math.floor(10 * random());
        bytes[at] = random() < 0.7 ? digit : Math.floor(256 * random());
      }
      if (isCycle(new TextDecoder().decode(bytes))) cycles++;
    }
    // Some changes only make another number of a number; if none did, nothing was tested.
    expect(cycles).toBeGreaterThan(trials / 50);
    expect(cycles).toBeLessThan(trials / 2);
    for (const text of VALID) expect(isCycle(text)).toBe(true);
  });
});
