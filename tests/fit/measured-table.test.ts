import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { KMH, RPM } from '../../src/config/units.ts';
import { COASTDOWN_FORM } from '../../src/fit/coastdown-runs.ts';
import { ENGINE_ON, FUEL, ROTOR_SPEED, TIME } from '../../src/fit/measured-kinds.ts';
import {
  readMeasuredTable,
  type TableForm,
  type TableOptions,
} from '../../src/fit/measured-table.ts';
import { expectWithin } from '../within.ts';

const FORM: TableForm = {
  what: 'a log',
  kinds: [TIME, ROTOR_SPEED, FUEL, ENGINE_ON],
  required: ['time', ['rotor_speed', 'fuel']],
};

async function* piecesOf(text: string) {
  yield text;
}

const read = (text: string, options?: TableOptions, form = FORM) =>
  readMeasuredTable(piecesOf(text), 'log.csv', form, options);

async function problemsOf(text: string, options?: TableOptions, form = FORM) {
  const error = await read(text, options, form).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(InputError);
  return (error as InputError).problems;
}

describe('a measured table', () => {
  it('is read in SI, with columns of no interest passed over', async () => {
    const table = await read(
      'time_s,rotor_speed_rpm,oil,fuel_kg_per_h,engine_on\n0,30000,1,3.6,1\n1,29990,1,7.2,0\n',
    );
    expect(table.count).toBe(2);
    expectWithin(table.numbers.get('rotor_speed')![1]!, 29_990 * RPM, 1e-12);
    expectWithin(table.numbers.get('fuel')![1]!, 2e-3, 1e-12);
    expect([...table.numbers.get('engine_on')!]).toEqual([1, 0]);
    expect(table.ignored).toEqual(['oil']);
  });

  it('takes units in brackets and in a row of their own', async () => {
    const inBrackets = await read('t [s],n_rotor [1/min]\n0,60\n1,30\n');
    const below = await read('t,rotor speed\ns,rpm\n0,60\n1,30\n');
    for (const { numbers } of [inBrackets, below]) {
      expectWithin(numbers.get('rotor_speed')![0]!, 2 * Math.PI, 1e-12);
    }
  });

  it('takes semicolons, decimal commas, dates and gaps', async () => {
    const table = await read(
      'timestamp;rotor_speed_rad_per_s\n2024-05-01T08:00:00Z;1,5\n2024-05-01T08:00:00.5Z;\n2024-05-01T08:00:01Z;NaN\n',
      { delimiter: ';', decimal: ',' },
    );
    expect([...table.numbers.get('time')!]).toEqual([0, 0.5, 1]);
    expect([...table.numbers.get('rotor_speed')!]).toEqual([1.5, Number.NaN, Number.NaN]);
  });

  it('takes a column of another name, with the unit behind a colon', async () => {
    const table = await read('time_s,xyz,rotor_speed_rpm\n0,60,1\n1,30,1\n', {
      columns: { rotor_speed: 'xyz:rpm' },
    });
    expectWithin(table.numbers.get('rotor_speed')![0]!, 2 * Math.PI, 1e-12);
  });

  it('keeps labels as they stand', async () => {
    const { labels, numbers } = await read(
      'run,direction,time_s,speed_kmh\na 1,north,0,36\na 1,north,1,18\n',
      {},
      COASTDOWN_FORM,
    );
    expect(labels.get('run')).toEqual(['a 1', 'a 1']);
    expectWithin(numbers.get('speed')![1]!, 18 * KMH, 1e-12);
  });
});

describe('a measured table that cannot be read', () => {
  it.each([
    ['no unit', 'time_s,rotor_speed\n0,1\n1,2\n', 'missing-unit', 'rotor_speed'],
    ['an unknown unit', 'time_s,rotor_speed [kW]\n0,1\n1,2\n', 'unknown-unit', 'rotor_speed [kW]'],
    ['no such column', 'time_s,speed_kmh\n0,1\n1,2\n', 'missing-column', 'rotor_speed or fuel'],
    [
      'two of one',
      'time_s,rotor_speed_rpm,n_rotor_rpm\n0,1,1\n1,2,2\n',
      'conflicting-columns',
      'n_rotor_rpm',
    ],
    ['semicolons', 'time_s;rotor_speed_rpm\n0;1\n1;2\n', 'wrong-delimiter', undefined],
    ['no header', '0,1\n1,2\n', 'missing-header', undefined],
    ['a word', 'time_s,rotor_speed_rpm\n0,1\n1,fast\n', 'not-a-number', 'rotor_speed_rpm'],
    ['no flag', 'time_s,fuel_g_per_s,engine_on\n0,1,maybe\n1,2,1\n', 'not-a-flag', 'engine_on'],
    ['a short row', 'time_s,rotor_speed_rpm\n0,1\n1\n', 'cell-count', undefined],
    ['no rows', 'time_s,rotor_speed_rpm\n', 'too-few-rows', undefined],
    ['nothing', '# only a comment\n', 'empty-file', undefined],
    ['times without a unit', 'time,rotor_speed_rpm\n0,1\n1,2\n', 'missing-unit', 'time'],
  ])('says so: %s', async (_, text, code, path) => {
    const [problem] = await problemsOf(text);
    expect(problem).toMatchObject({ code, file: 'log.csv' });
    expect(problem!.path).toBe(path);
  });

  it('names every faulty line', async () => {
    const problems = await problemsOf('time_s,rotor_speed_rpm\n0,x\n1,2\n2,y\n');
    expect(problems.map(({ line }) => line)).toEqual([2, 4]);
  });

  it('suggests the header that was meant', async () => {
    const [problem] = await problemsOf('time_s,nRotor\n0,1\n1,2\n', {
      columns: { rotor_speed: 'nRotr:rpm' },
    });
    expect(problem).toMatchObject({ code: 'missing-column', hint: 'did you mean `nRotor`?' });
  });
});
