import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { RPM } from '../../src/config/units.ts';
import { readMeasuredTable } from '../../src/fit/measured-table.ts';
import { SPINDOWN_FORM, spinOf } from '../../src/fit/spindown-run.ts';
import { expectWithin } from '../within.ts';

const ANY = { from: Number.POSITIVE_INFINITY, to: 0 };

/** 40 000 1/min, 500 less every 10 s. */
const ROWS = Array.from({ length: 61 }, (_, k) => `${10 * k},${40_000 - 500 * k}`);

async function* piecesOf(text: string) {
  yield text;
}

const tableOf = (rows: readonly string[], header = 'time_s,rotor_speed_rpm') =>
  readMeasuredTable(piecesOf([header, ...rows].join('\n')), 'spin.csv', SPINDOWN_FORM);

async function problemOf(rows: readonly string[], maxSpeed?: number, range = ANY, header?: string) {
  const table = await tableOf(rows, header);
  let thrown: unknown;
  try {
    spinOf(table, range, maxSpeed);
  } catch (error) {
    thrown = error;
  }
  expect(thrown).toBeInstanceOf(InputError);
  return (thrown as InputError).problems[0]!;
}

describe('a spin-down log', () => {
  it('is cut to the range of speeds, and its times begin there', async () => {
    const run = spinOf(await tableOf(ROWS), { from: 38_000 * RPM, to: 20_000 * RPM });
    expectWithin(run.speed[0]!, 38_000 * RPM, 1e-12);
    expectWithin(run.speed.at(-1)!, 20_000 * RPM, 1e-12);
    expect(run.time[0]).toBe(0);
    expect(run.start).toBe(40);
    expect(run.outside).toBe(4 + 20);
  });

  it('ends where the rotor has come to rest', async () => {
    const rest = [700, 710, 720].map((t) => `${t},12`);
    expect(spinOf(await tableOf([...ROWS, ...rest]), ANY).outside).toBe(3);
  });

  it('passes over rows without a value, and counts them', async () => {
    const run = spinOf(await tableOf(ROWS.with(3, '30,')), ANY);
    expect(run.withoutValue).toBe(1);
    expect(run.time.length).toBe(60);
  });
});

describe('a spin-down log that cannot be used', () => {
  it('names too few points, and too small a fall', async () => {
    expect(await problemOf(ROWS.slice(0, 10))).toMatchObject({ code: 'too-few-points' });
    const flat = ROWS.map((_, k) => `${k},${40_000 - k}`);
    expect(await problemOf(flat)).toMatchObject({ code: 'too-few-points' });
  });

  it('names a range in which there is nothing', async () => {
    const problem = await problemOf(ROWS, undefined, { from: 100 * RPM, to: 0 });
    expect(problem).toMatchObject({ code: 'too-few-points', file: 'spin.csv' });
  });

  it('names where the rotor was driven', async () => {
    const problem = await problemOf(ROWS.with(30, '300,30000'));
    expect(problem).toMatchObject({ code: 'rising-speed', line: 32 });
    expect(problem.found).toContain('rises by 4500 1/min from 290.0 to 300.0 s');
  });

  it('names a speed in the wrong unit, by the store or by what rotors can do', async () => {
    const header = 'time_s,rotor_speed_rad_per_s';
    const problem = await problemOf(ROWS, undefined, ANY, header);
    expect(problem).toMatchObject({ code: 'unlikely-speed' });
    expect(problem.hint).toContain('rotor_speed=HEADER:rpm');
    expect(await problemOf(ROWS, 30_000 * RPM)).toMatchObject({ code: 'unlikely-speed' });
  });

  it('names a time that goes back', async () => {
    const problem = await problemOf(ROWS.with(5, '10,37500'));
    expect(problem).toMatchObject({ code: 'time-order', line: 7 });
  });
});
