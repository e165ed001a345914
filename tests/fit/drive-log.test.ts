import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { KMH, RPM } from '../../src/config/units.ts';
import { DRIVE_FORM, driveLogOf } from '../../src/fit/drive-log.ts';
import { readMeasuredTable } from '../../src/fit/measured-table.ts';
import { FUELS } from '../../src/physics/fuel.ts';
import { expectWithin } from '../within.ts';

const TOP = 60_000 * RPM;

async function* piecesOf(text: string) {
  yield text;
}

const rows = (row: (k: number) => string) =>
  Array.from({ length: 60 }, (_, k) => row(k)).join('\n');

async function read(header: string, row: (k: number) => string) {
  const text = `${header}\n${rows(row)}\n`;
  const table = await readMeasuredTable(piecesOf(text), 'log.csv', DRIVE_FORM);
  return driveLogOf(table, FUELS.diesel, TOP);
}

async function problemOf(header: string, row: (k: number) => string) {
  const error = await read(header, row).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(InputError);
  return (error as InputError).problems[0]!;
}

describe('a log of a drive', () => {
  it('has the channels that its columns give it, and the usual time between rows', async () => {
    const log = await read(
      'time_ms,speed_kmh,rotor_speed_rpm',
      (k) => `${200 * k + (k > 50 ? 5000 : 0)},36,30000`,
    );
    expectWithin(log.step, 0.2, 1e-9);
    expectWithin(log.speed![0]!, 36 * KMH, 1e-12);
    expect(log.fuel).toBeUndefined();
    expect(log.engineOn).toBeUndefined();
  });

  it('takes fuel by mass or by volume', async () => {
    const mass = await read('time_s,fuel_g_per_s', (k) => `${k},0.5`);
    // 0.5 g/s at 0.835 kg/L is 2.15569 L/h.
    const volume = await read('time_s,fuel_volume_L_per_h', (k) => `${k},${1.8 / 0.835}`);
    expectWithin(volume.fuel![0]!, mass.fuel![0]!, 1e-12);
  });

  it('leaves rows without a time out', async () => {
    const log = await read('time_s,engine_on', (k) => (k === 10 ? ',1' : `${k},on`));
    expect(log.time).toHaveLength(59);
    expect(log.engineOn![0]).toBe(1);
  });
});

describe('a log of a drive that cannot be used', () => {
  it.each([
    [
      'm/s that are called km/h',
      'time_s,speed_kmh,engine_on',
      (k: number) => `${k},2,1`,
      'speed=HEADER',
    ],
    [
      'km/h that are called m/s',
      'time_s,speed_m_per_s,engine_on',
      (k: number) => `${k},90,1`,
      'speed=HEADER',
    ],
    [
      '1/min that are called rad/s',
      'time_s,rotor_speed_rad_per_s',
      (k: number) => `${k},30000`,
      'rotor_speed=HEADER:rpm',
    ],
    [
      'mg/s that are called g/s',
      'time_s,fuel_g_per_s',
      (k: number) => `${k},500`,
      'fuel=HEADER:g_per_s',
    ],
  ])('names %s', async (_, header, row, hint) => {
    const problem = await problemOf(header, row);
    expect(problem).toMatchObject({ code: 'unlikely-value', file: 'log.csv' });
    expect(problem.hint).toContain(hint);
  });

  it('names a time that goes back', async () => {
    const problem = await problemOf('time_s,engine_on', (k) => `${k === 20 ? 3 : k},1`);
    expect(problem).toMatchObject({ code: 'time-order', line: 22 });
  });

  it('names a log with nothing to compare', async () => {
    const problem = await problemOf('time_s,speed_kmh', (k) => `${k},50`);
    expect(problem).toMatchObject({ code: 'missing-column' });
  });

  it('names a log that is too short', async () => {
    const problem = await problemOf('time_s,engine_on', (k) => (k < 20 ? `${k},1` : ',1'));
    expect(problem).toMatchObject({ code: 'too-few-points' });
  });
});
