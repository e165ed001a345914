import { describe, expect, it } from 'vitest';
import type { ReadOptions } from '../../src/cycle/read.ts';
import { parseDrive, readDrive } from '../../src/cycle/read.ts';
import { between, seeded } from '../seeded.ts';
import { piecesOf, problemsIn, readLines } from './pieces.ts';

const source = { file: 'logs/monday.csv', name: 'monday' };

async function drive(lines: readonly string[], options?: ReadOptions) {
  return (await readLines(lines, options)).drive;
}

/** Line, code, column and cell of each problem. */
async function refusals(lines: readonly string[], options?: ReadOptions): Promise<unknown[]> {
  const problems = await problemsIn(lines, options);
  return problems.map(({ line, code, path, found }) => [line, code, path, found]);
}

describe('the columns of a log', () => {
  it.each([
    ['speed_kmh', 36],
    ['Speed [km/h]', 36],
    ['SPEED (KM/H)', 36],
    ['v_km/h', 36],
    ['v / km/h', 36],
    ['velocity kph', 36],
    ['Vehicle Speed [mph]', 36 / 1.609344],
    ['vehicle_speed_mi/h', 36 / 1.609344],
    ['speed (m/s)', 10],
    ['speed.m_per_s', 10],
    ['speed-mps', 10],
    ['speed [kts]', 36 / 1.852],
  ])('may call the speed %s', async (header, value) => {
    const { speed } = await drive([`time_s,${header}`, `0,${value}`, `1,${value}`]);
    expect(speed[1]).toBeCloseTo(10, 12);
  });

  it.each([
    ['altitude_m', 100, 'altitude', 100],
    ['alt [ft]', 1000, 'altitude', 304.8],
    ['Elevation (feet)', 1000, 'altitude', 304.8],
    ['ele m', 100, 'altitude', 100],
    ['grade_pct', 5, 'grade', 0.05],
    ['Slope [%]', 5, 'grade', 0.05],
    ['grade [-]', 0.05, 'grade', 0.05],
    ['gradient_ratio', 0.05, 'grade', 0.05],
  ] as const)('may have the road as %s', async (header, value, quantity, expected) => {
    const logged = await drive([`time_s,speed_kmh,${header}`, `0,36,${value}`, `1,36,${value}`]);
    expect(logged[quantity]?.[1]).toBeCloseTo(expected, 12);
  });

  it('may have both an altitude and a grade, in any order, and others that are passed over', async () => {
    const { drive: logged, report } = await readLines([
      '# bench 2',
      'rpm,grade_pct,,time_s,alt_m,speed_kmh,rpm,note',
      '900,1,,0,100,0,900,"a, b"',
      '',
      '950,2,,1,101,36,900,',
      ',,,,,,,',
    ]);
    expect([...logged.time]).toEqual([0, 1]);
    expect([...logged.altitude!]).toEqual([100, 101]);
    expect([...logged.grade!]).toEqual([0.01, 0.02]);
    expect([...logged.line]).toEqual([3, 5]);
    expect(report).toEqual({
      form: 'csv',
      rows: 2,
      headerLine: 2,
      columns: [
        { quantity: 'time', header: 'time_s', unit: 'seconds', missing: 0 },
        { quantity: 'speed', header: 'speed_kmh', unit: 'km/h', missing: 0 },
        {
          quantity: 'grade',
          header: 'grade_pct',
          unit: '% of the horizontal distance',
          missing: 0,
        },
        { quantity: 'altitude', header: 'alt_m', unit: 'metres above the sea', missing: 0 },
      ],
      ignored: ['rpm', 'column 3', 'rpm', 'note'],
      comments: 1,
      blanks: 2,
      noFix: 0,
    });
  });

  it('may have their units in a row of their own', async () => {
    const { drive: logged, report } = await readLines([
      'time,speed,alt,slope,torque',
      's,[km/h],ft,-,Nm',
      '0,36,1000,0.05,1',
      '1,36,1000,0.05,1',
    ]);
    expect(logged.speed[0]).toBeCloseTo(10, 12);
    expect(logged.altitude?.[0]).toBeCloseTo(304.8, 12);
    expect(logged.grade?.[0]).toBe(0.05);
    expect(report.unitsLine).toBe(2);
    expect(report.ignored).toEqual(['torque']);
    const again = await drive(['time_s,speed_kmh', 's,km/h', '0,36', '1,36']);
    expect(again.time.length).toBe(2);
  });

  it('with units that contradict each other or are unknown are refused', async () => {
    expect(await refusals(['time_s,speed_kmh', 's,m/s', '0,36', '1,x'])).toEqual([
      [2, 'conflicting-units', 'speed_kmh', 'm/s'],
      [4, 'not-a-number', 'speed_kmh', 'x'],
    ]);
    expect(await refusals(['time,speed', 's,furlong', '0,36', '1,36'])).toEqual([
      [2, 'unknown-unit', 'speed', 'furlong'],
    ]);
    // A row of which nothing is a unit is a row of numbers gone wrong.
    expect(await refusals(['time_s,speed_kmh', 'start,stop', '0,36', '1,36'])).toEqual([
      [2, 'not-a-number', 'time_s', 'start'],
      [2, 'not-a-number', 'speed_kmh', 'stop'],
    ]);
  });

  it('that are misspelt or lack their unit are refused, all at once, with a suggestion', async () => {
    const problems = await problemsIn(['time_s,sped_kmh,altitude,grad_pct,rpm', '0,36,1,1,1']);
    expect(problems.map(({ code, path }) => [code, path])).toEqual([
      ['unknown-column', 'sped_kmh'],
      ['missing-unit', 'altitude'],
      ['unknown-column', 'grad_pct'],
    ]);
    expect(problems[0]?.hint).toContain('did you mean `speed_kmh`');
    expect(problems[0]?.hint).toContain('--columns');
    expect(problems[1]?.hint).toBe(
      "name the unit: altitude_m, altitude_ft; or say it as in `--columns altitude='altitude:m'`",
    );
    expect(problems[2]?.hint).toContain('did you mean `grade_pct`');
  });

  it('with bare numbers for times are refused, with the option that reads them', async () => {
    const lines = ['time,speed_kmh', '0,36', '1,36'];
    const [problem, ...others] = await problemsIn(lines);
    expect(others).toEqual([]);
    expect(problem).toMatchObject({ code: 'missing-unit', path: 'time', found: '0' });
    expect(problem?.hint).toContain("`--columns time='time:s'`");
    const { drive: logged } = await readLines(lines, { columns: { time: 'time:s' } });
    expect([...logged.time]).toEqual([0, 1]);
  });

  it.each([
    'speed_setpoint',
    'sped_kmh',
    'speed',
    'speed [rpm]',
    'v [V]',
    't [°C]',
    'time_of_day',
    'timestamp',
    'lat',
    'lattitude',
    'load_pct',
    'attitude_deg',
    'altitude_accuracy',
    'alt_std',
    'long_acc',
    'pressure',
  ])('that are not needed, such as %s beside time and speed, do not matter', async (header) => {
    const { drive: logged, report } = await readLines([
      `time_s,speed_kmh,${header}`,
      '0,36,x',
      '1,36,',
    ]);
    expect(logged.time.length).toBe(2);
    expect(logged.altitude).toBeUndefined();
    expect(report.ignored).toEqual([header]);
  });

  it('that say the same twice are refused, and the flag that chooses is named', async () => {
    const problems = await problemsIn(['time_s,speed_kmh,v [mph],alt_m,alt_m', '0,1,1,1,1']);
    expect(problems.map(({ code, path }) => [code, path])).toEqual([
      ['conflicting-columns', 'v [mph]'],
      ['duplicate-column', 'alt_m'],
    ]);
    expect(problems[0]?.hint).toContain("--columns speed='speed_kmh'");
  });

  it('without time or speed are refused with the columns that there are', async () => {
    const problems = await problemsIn(['Zeit,Geschw.[km/h]', '0,36', '1,36']);
    expect(problems.map(({ line, code, path }) => [line, code, path])).toEqual([
      [1, 'missing-column', 'time_s'],
      [1, 'missing-column', 'speed_kmh'],
    ]);
    expect(problems[0]?.hint).toContain('--columns time=NAME');
    expect(problems[0]?.hint).toContain('Zeit, Geschw.[km/h]');
  });
});

describe('columns asked for by their headers', () => {
  const rows = ['0,36,100,5', '1,36,101,5'];

  it('take their unit from the header, from the option or from the row of units', async () => {
    const columns = { time: 'Zeit:s', speed: 'Geschw.[km/h]', altitude: 'Höhe' };
    const { drive: logged, report } = await readLines(
      ['Zeit,Geschw.[km/h],Höhe,grade_pct', ',,m,', ...rows],
      { columns },
    );
    expect([...logged.time]).toEqual([0, 1]);
    expect(logged.speed[0]).toBeCloseTo(10, 12);
    expect([...logged.altitude!]).toEqual([100, 101]);
    // Asked for some, the others are passed over, though their names are known.
    expect(logged.grade).toBeUndefined();
    expect(report.ignored).toEqual(['grade_pct']);
  });

  it('are joined by time and speed under their own names, if these are not asked for', async () => {
    const lines = ['time_s,speed_kmh,p [bar],grade_pct', '0,36,1,5', '1,36,2,5'];
    const options = { columns: { altitude: 'p [bar]:m' } };
    const logged = await drive(lines, options);
    expect(logged.speed[0]).toBeCloseTo(10, 12);
    expect([...logged.altitude!]).toEqual([1, 2]);
    expect(logged.grade).toBeUndefined();
  });

  it('may have a colon in their header', async () => {
    const lines = ['CAN:t,CAN:v', '0,10', '1,10'];
    const logged = await drive(lines, { columns: { time: 'CAN:t:s', speed: 'CAN:v:m/s' } });
    expect([...logged.speed]).toEqual([10, 10]);
  });

  it('choose between two of the same, and positions before a speed', async () => {
    const two = ['time_s,speed_kmh,v [mph]', '0,1,10', '1,1,10'];
    expect((await drive(two, { columns: { speed: 'v [mph]' } })).speed[0]).toBeCloseTo(4.4704, 12);
    const both = ['time_s,speed_kmh,lat,lon', '0,1,48,9', '1,1,48,9'];
    const options = { columns: { latitude: 'lat', longitude: 'lon' } };
    expect((await drive(both, options)).speedFrom).toBe('positions');
    expect((await drive(both)).speedFrom).toBe('column');
  });

  it('are refused where they are not there, stand twice or have no unit', async () => {
    const options = { columns: { time: 'Ziet:s', speed: 'vFzg', altitude: 'h', grade: 'i:foo' } };
    const problems = await problemsIn(['Zeit,vFzg,h,h,i', '0,1,1,1,1', '1,1,1,1,1'], options);
    expect(problems.map(({ code, path, found }) => [code, path, found])).toEqual([
      ['missing-column', '--columns time', 'Ziet:s'],
      ['duplicate-column', 'h', 'h'],
      ['missing-unit', 'vFzg', 'vFzg'],
      ['missing-unit', 'h', 'h'],
      ['unknown-unit', 'i', 'foo'],
    ]);
    expect(problems[0]?.hint).toContain('Zeit');
    expect(problems[2]?.hint).toContain("--columns speed='vFzg:kmh'");
  });

  it('are refused where two of them are one', async () => {
    const options = { columns: { time: 'a:s', speed: 'a:kmh' } };
    expect((await problemsIn(['a,b', '0,1', '1,1'], options)).map(({ code }) => code)).toContain(
      'conflicting-columns',
    );
  });

  it('with characters that are lost tell of the encoding', async () => {
    const bytes = Uint8Array.from('Zeit,H\xf6he\n0,1\n1,1\n', (character) =>
      character.charCodeAt(0),
    );
    const options = { columns: { time: 'Zeit:s', altitude: 'Höhe:m' } };
    await expect(readDrive(piecesOf([bytes]), source, options)).rejects.toMatchObject({
      problems: [
        { path: '--columns altitude', hint: expect.stringContaining('UTF-8') },
        { path: 'speed_kmh' },
      ],
    });
  });
});

describe('dialects', () => {
  it.each([
    [';', ','],
    [';', '.'],
    ['\t', ','],
    ['\t', '.'],
    [',', '.'],
  ] as const)(
    'with %j between cells and %j within numbers give the same drive',
    async (delimiter, decimal) => {
      const rows = [
        ['time_s', 'speed_mps', 'note'],
        ['0.5', '10.25', '"a"'],
        ['1.5', '-1.5e1', ''],
      ];
      const lines = rows.map((row, index) =>
        row.map((cell) => (index === 0 ? cell : cell.replace('.', decimal))).join(delimiter),
      );
      for (const text of [lines.join('\n'), `\uFEFF${lines.join('\r\n')}\r\n`]) {
        const { drive: logged } = parseDrive(text, source, { delimiter, decimal });
        expect([...logged.time]).toEqual([0.5, 1.5]);
        expect([...logged.speed]).toEqual([10.25, -15]);
        expect([...logged.line]).toEqual([2, 3]);
      }
    },
  );

  it('that are guessed wrong are refused, and the hint names the flag', async () => {
    const lines = ['time_s;speed_kmh;note', '0;3,6;a', '1;7,2;b'];
    const [delimiter, ...others] = await problemsIn(lines);
    expect(delimiter).toMatchObject({ code: 'wrong-delimiter', line: 1 });
    expect(delimiter?.hint).toContain("--delimiter ';'");
    expect(others).toEqual([]);
    const decimals = await problemsIn(lines, { delimiter: ';' });
    expect(decimals.map(({ line, code, found }) => [line, code, found])).toEqual([
      [2, 'not-a-number', '3,6'],
      [3, 'not-a-number', '7,2'],
    ]);
    expect(decimals[0]?.hint).toContain('--decimal ,');
    const points = await problemsIn(['time_s\tspeed_kmh', '0.1\t3.6'], {
      delimiter: '\t',
      decimal: ',',
    });
    expect(points[0]?.hint).toContain('--decimal .');
    const commas = await problemsIn(['time_s,speed_kmh', '0,3'], { delimiter: ';' });
    expect(commas[0]?.hint).toContain('--delimiter ,');
    const tabs = await problemsIn(['a\tZeit\tGeschw.', '0\t3\t4']);
    expect(tabs[0]?.hint).toContain('--delimiter tab');
  });

  it('that exclude each other are refused', async () => {
    const [problem] = await problemsIn(['time_s,speed_kmh', '0,3'], { decimal: ',' });
    expect(problem).toMatchObject({ code: 'conflicting-options', path: '--decimal' });
    expect(problem?.hint).toContain("--delimiter ';'");
  });

  it('may be told to a spreadsheet program in the first line', async () => {
    const options = { delimiter: ';' } as const;
    const { drive: logged, report } = await readLines(
      ['sep=;', 'time_s;speed_mps', '0;3', '1;4'],
      options,
    );
    expect([...logged.speed]).toEqual([3, 4]);
    expect(report).toMatchObject({ headerLine: 2, comments: 1 });
    const [problem] = await problemsIn(['sep=;', 'time_s;speed_mps', '0;3']);
    expect(problem).toMatchObject({ code: 'wrong-delimiter', line: 1 });
  });

  it('may end each row with a delimiter', async () => {
    const logged = await drive(['time_s,speed_mps', '0,3,', '1,4, ']);
    expect([...logged.speed]).toEqual([3, 4]);
    expect(await refusals(['time_s,speed_mps', '0,3,,', '1,4,5', '2'])).toEqual([
      [2, 'cell-count', undefined, '4 cells'],
      [3, 'cell-count', undefined, '3 cells'],
      [4, 'cell-count', undefined, '1 cell'],
    ]);
  });
});

describe('the times of a log', () => {
  it('are in s or ms', async () => {
    expect([...(await drive(['time_ms,speed_mps', '1500,1', '1600,1'])).time]).toEqual([1.5, 1.6]);
    expect([...(await drive(['t [s],speed_mps', '1.5,1', '1.6,1'])).time]).toEqual([1.5, 1.6]);
  });

  it('are dates with any zone, counted from the first row', async () => {
    const { drive: logged, report } = await readLines([
      'timestamp,speed_mps',
      '2024-03-31T01:59:59.9+01:00,1',
      '2024-03-31T03:00:00.1+02:00,1',
      '2024-03-31T01:00:01Z,1',
    ]);
    expect([...logged.time]).toEqual([0, 0.2, 1.1]);
    expect(report.start).toBe('2024-03-31T01:59:59.9+01:00');
    expect(report.columns[0]?.unit).toBe('date with time and zone');
  });

  it('are times by the clock, counted from the first row', async () => {
    const { drive: logged, report } = await readLines([
      'time,speed_mps',
      '8:59:59.5,1',
      '9:00:00,1',
    ]);
    expect([...logged.time]).toEqual([0, 0.5]);
    expect(report).toMatchObject({ start: '8:59:59.5', columns: [{ unit: 'h:mm:ss' }, {}] });
  });

  it('prefer the column that names its unit', async () => {
    const { drive: logged, report } = await readLines([
      'timestamp,time_s,speed_mps',
      'whenever,1,1',
      'later,2,1',
    ]);
    expect([...logged.time]).toEqual([1, 2]);
    expect(report.ignored).toEqual(['timestamp']);
  });

  it('are refused without a zone or in another form than the first, mixed ones too', async () => {
    expect(
      await refusals([
        'time,speed_mps',
        '2024-05-01T08:00:00Z,1',
        '2024-05-01T08:00:01,1',
        '3,1',
        '01.05.2024 08:00:02,1',
      ]),
    ).toEqual([
      [3, 'no-zone', 'time', '2024-05-01T08:00:01'],
      [4, 'not-a-time', 'time', '3'],
      [5, 'not-a-time', 'time', '01.05.2024 08:00:02'],
    ]);
    const [bare] = await problemsIn(['time,speed_mps', '2024-05-01 08:00:00,1']);
    expect(bare?.hint).toContain('Z if it is UTC');
    expect(await refusals(['time,speed_mps', '8:00:00,1', '8:00,1', '28801,1'])).toEqual([
      [4, 'not-a-time', 'time', '28801'],
    ]);
    expect(await refusals(['time_s,speed_mps', '2024-05-01T08:00:00Z,1', '1,1'])).toEqual([
      [2, 'not-a-number', 'time_s', '2024-05-01T08:00:00Z'],
    ]);
  });

  it('that are dates under a header with a unit are refused with the way out', async () => {
    const [problem] = await problemsIn(['time_s,speed_mps', '2024-05-01T08:00:00Z,1', '1,1']);
    expect(problem?.hint).toContain('`timestamp`, without a unit');
  });

  it('that are numbers need a unit', async () => {
    const problems = await problemsIn(['time,speed_mps', ',1', '1,1', '2,1']);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code: 'missing-unit', line: 1, path: 'time', found: '1' });
    expect(problems[0]?.hint).toContain('time_s, time_ms');
  });
});

describe('the values of a log', () => {
  it('may be missing, which is counted for each column', async () => {
    const { drive: logged, report } = await readLines([
      'time_s,speed_mps,alt_m',
      ',10,1',
      '1,,2',
      '2,NaN,n/a',
      '3,-,NULL',
      '4,11,"" ',
    ]);
    expect([...logged.time]).toEqual([Number.NaN, 1, 2, 3, 4]);
    expect([...logged.speed]).toEqual([10, Number.NaN, Number.NaN, Number.NaN, 11]);
    expect([...logged.altitude!]).toEqual([1, 2, Number.NaN, Number.NaN, Number.NaN]);
    expect(report.columns.map(({ missing }) => missing)).toEqual([1, 3, 3]);
  });

  it('are refused where they are no numbers, and none is taken for missing then', async () => {
    expect(await refusals(['time_s,speed_mps,alt_m', '0,fast,1', '1,1,high', '1s,1,1'])).toEqual([
      [2, 'not-a-number', 'speed_mps', 'fast'],
      [3, 'not-a-number', 'alt_m', 'high'],
      [4, 'not-a-number', 'time_s', '1s'],
    ]);
  });

  it('are not judged: cleaning does that', async () => {
    const logged = await drive(['time_s,speed_kmh,alt_m', '5,-1,0', '5,900,9e9', '3,36,-9e9']);
    expect([...logged.time]).toEqual([5, 5, 3]);
    expect(logged.speed[1]).toBeCloseTo(250, 12);
  });

  it('are the same drive in any unit, within rounding', async () => {
    const random = seeded(51);
    const forms = [
      { header: 'time_s,speed_kmh,altitude_m,grade_pct', factors: [1, 1 / 3.6, 1, 0.01] },
      { header: 'time_ms,speed_mps,alt [ft],slope [-]', factors: [1e-3, 1, 0.3048, 1] },
      {
        header: 'time (ms),speed [mph],altitude_ft,grade_ratio',
        factors: [1e-3, 0.44704, 0.3048, 1],
      },
      { header: 't_s,v [kn],ele_m,gradient [%]', factors: [1, 1852 / 3600, 1, 0.01] },
    ];
    for (let trial = 0; trial < 50; trial++) {
      const rows = Array.from({ length: 2 + Math.floor(50 * random()) }, () => [
        between(random, -100, 1e6),
        between(random, 0, 60),
        between(random, -400, 4000),
        between(random, -0.2, 0.2),
      ]);
      for (const { header, factors } of forms) {
        const lines = rows.map((row) => row.map((value, k) => value / factors[k]!).join(','));
        const { time, speed, altitude, grade } = await drive([header, ...lines]);
        for (const [index, row] of rows.entries()) {
          const read = [time[index]!, speed[index]!, altitude![index]!, grade![index]!];
          for (const [k, value] of row.entries()) {
            // One rounding of the division, one of the factor, one of the product.
            expect(Math.abs(read[k]! - value)).toBeLessThanOrEqual(
              2 * Number.EPSILON * Math.abs(value),
            );
          }
        }
      }
    }
  });

  it('become one row each, however many there are', async () => {
    const count = 300_000;
    async function* log(): AsyncGenerator<string> {
      yield 'time_s,speed_mps,alt_m,grade_pct\n# one\n';
      for (let k = 0; k < count; k += 1000) {
        let text = '';
        for (let row = k; row < k + 1000; row++) text += `${row / 10},${row % 50},${row},1\n`;
        yield text;
      }
    }
    const { drive: logged } = await readDrive(log(), source);
    expect(logged.time.length).toBe(count);
    let wrong = 0;
    for (let k = 0; k < count; k++) {
      if (logged.time[k] !== k / 10 || logged.speed[k] !== k % 50) wrong++;
      if (logged.altitude![k] !== k || logged.grade![k] !== 0.01) wrong++;
      if (logged.line[k] !== k + 3) wrong++;
    }
    expect(wrong).toBe(0);
  });
});

describe('a log of positions', () => {
  // 1/3600 of a degree is 30.887 m.
  const rows = ['0,48,9', '1,48.000277777777778,9', '2,48.000277777777778,9'];

  it('gets its speeds from the distances', async () => {
    const { drive: logged, report } = await readLines(['time_s,lat,lon', ...rows]);
    expect(logged.speedFrom).toBe('positions');
    expect([...logged.speed].map((speed) => Number(speed.toFixed(3)))).toEqual([30.888, 15.444, 0]);
    expect(report.columns.map(({ quantity, unit }) => [quantity, unit])).toEqual([
      ['time', 'seconds'],
      ['latitude', 'degrees'],
      ['longitude', 'degrees'],
    ]);
  });

  it('lacks the speed where it lacks the position, 0° north 0° east included', async () => {
    const { drive: logged, report } = await readLines([
      'time_s,latitude [°],longitude_deg',
      '0,0,0',
      ...rows.map((row) => row.replace(/^\d/, (digit) => String(Number(digit) + 1))),
      '4,,9',
    ]);
    expect([...logged.speed].map((speed) => Number(speed.toFixed(3)))).toEqual([
      Number.NaN,
      30.888,
      15.444,
      0,
      Number.NaN,
    ]);
    expect(report).toMatchObject({ noFix: 1, columns: [{}, { missing: 1 }, { missing: 0 }] });
  });

  it('is refused with half a position, or one beyond the poles', async () => {
    expect(await refusals(['time_s,lat,alt_m', '0,48,1'])).toEqual([
      [1, 'missing-column', 'longitude_deg', undefined],
    ]);
    const problems = await problemsIn(['time_s,lat,lon', '0,4807.038,9', '1,48,361', '2,x,9']);
    expect(problems.map(({ line, code, path }) => [line, code, path])).toEqual([
      [2, 'out-of-range', 'lat'],
      [3, 'out-of-range', 'lon'],
      [4, 'not-a-number', 'lat'],
    ]);
    expect(problems[0]?.hint).toContain('minutes');
  });
});

describe('a file that is no log is refused:', () => {
  it('an empty one, one of comments, one with a header only', async () => {
    for (const lines of [[''], ['\uFEFF'], ['# a', '', ' ']]) {
      expect(await refusals(lines)).toEqual([[1, 'empty-file', undefined, 'no row']]);
    }
    expect(await refusals(['#', 'time_s,speed_kmh'])).toEqual([
      [2, 'too-few-rows', undefined, '0 rows'],
    ]);
    expect(await refusals(['time,speed', 's,km/h', '0,0'])).toEqual([
      [1, 'too-few-rows', undefined, '1 row'],
    ]);
  });

  it('one without a header', async () => {
    expect(await refusals(['0,0,5', '1,10,5'])).toEqual([
      [1, 'missing-header', undefined, '0,0,5'],
    ]);
  });

  it('one that is no text, before the rest of it is read', async () => {
    let pieces = 0;
    async function* endless(): AsyncGenerator<Uint8Array> {
      yield new TextEncoder().encode('time_s,speed_kmh\n0,x\n1,2\0');
      for (;;) {
        pieces++;
        yield new TextEncoder().encode('1,2\n');
      }
    }
    await expect(readDrive(endless(), source)).rejects.toMatchObject({
      problems: [
        { line: 2, code: 'not-a-number' },
        { line: 3, code: 'not-text' },
      ],
    });
    expect(pieces).toBe(0);
  });

  it('one whose header says that nothing can be read, before the rest of it is read', async () => {
    let pieces = 0;
    async function* endless(): AsyncGenerator<string> {
      yield 'time_s;speed_kmh\n';
      for (;;) {
        pieces++;
        yield '1;2\n';
      }
    }
    await expect(readDrive(endless(), source)).rejects.toMatchObject({
      problems: [{ code: 'wrong-delimiter' }],
    });
    expect(pieces).toBe(0);
  });
});
