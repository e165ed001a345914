import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { refine, type Trace } from '../../src/cycle/trace.ts';
import { writeLog } from '../../src/output/log-csv.ts';
import { LogRows } from '../../src/output/log-rows.ts';
import { LIMIT } from '../../src/physics/limit.ts';
import { type Case, type CaseResult, runCase } from '../../src/simulate/case.ts';
import { newStep, type Step } from '../../src/simulate/step.ts';
import { cycleNamed } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';
import { plainCase, plainResult } from './plain-case.ts';

/** Sums of doubles of one sign, over the sum: a few thousand roundings of 1e-16. */
const ROUNDING = 1e-12;

type Row = Record<string, number>;

function logOf(subject: Case, result: CaseResult, every?: number): Row[] {
  const pieces: string[] = [];
  writeLog(subject, result, (piece) => pieces.push(piece), every);
  const rows = parse(pieces.join(''), { columns: true }) as Record<string, string>[];
  return rows.map((row) =>
    Object.fromEntries(
      Object.entries(row).map(([name, cell]) => [name, name === 'limit' ? 0 : Number(cell)]),
    ),
  );
}

/** A cell of a row; a column that is not there makes every sum NaN. */
function cell(row: Row, column: string): number {
  return row[column] ?? Number.NaN;
}

/** Energy of a power column over all rows [kJ]. */
function energy(rows: readonly Row[], column: string): number {
  return rows.reduce((sum, row) => sum + cell(row, column) * cell(row, 'duration_s'), 0);
}

function headers(text: string): string[] {
  return text.split('\n')[0]!.split(',');
}

describe('the log of a case', () => {
  let text = '';
  let rows: Row[] = [];
  beforeAll(() => {
    writeLog(plainCase, plainResult, (piece) => {
      text += piece;
    });
    rows = logOf(plainCase, plainResult);
  });

  it('begins with the columns that are always there, in their order', () => {
    expect(headers(text).slice(0, 13).join(',')).toBe(
      'time_s,speed_kmh,wheel_power_kW,engine_power_kW,engine_speed_rpm,gear,engine_on,fuel_g_per_s,store_power_kW,store_energy_kJ,rotor_speed_rpm,brake_power_kW,limit',
    );
    expect(new Set(headers(text)).size).toBe(headers(text).length);
  });

  it('has one row for each interval, at its start', () => {
    const { time } = plainCase.trace;
    expect(rows.map((row) => cell(row, 'time_s'))).toEqual([...time.subarray(0, -1)]);
    expect(text.endsWith('\n')).toBe(true);
    expect(text.split('\n').length - 2).toBe(rows.length);
  });

  it('adds up to the ledger', () => {
    const { ledger } = plainResult.withStore.run;
    const heatingValue = 42.7e6;
    const grams = rows.reduce(
      (sum, row) => sum + cell(row, 'fuel_g_per_s') * cell(row, 'duration_s'),
      0,
    );
    expect(Math.abs((grams / 1000) * heatingValue - ledger.fuel)).toBeLessThan(
      ROUNDING * ledger.fuel,
    );
    for (const [column, joules] of [
      ['brake_power_kW', ledger.brakes],
      ['engine_wheel_power_kW', ledger.engineWheel],
      ['rotor_drag_kW', ledger.storeDragLoss],
      ['missed_by_strategy_kW', ledger.missed[LIMIT.strategy]!],
    ] as const) {
      expect(Math.abs(energy(rows, column) * 1000 - joules)).toBeLessThanOrEqual(
        ROUNDING * Math.max(joules, 1),
      );
    }
  });

  it('closes the store row by row: what went in less the losses is the rise of its energy', () => {
    let before =
      0.5 * plainCase.store.rotor.inertia * plainResult.withStore.run.start.rotorSpeed ** 2;
    let worst = 0;
    for (const row of rows) {
      const given = -cell(row, 'store_power_kW') - cell(row, 'store_transmission_loss_kW');
      const kept = given - cell(row, 'store_slip_loss_kW') - cell(row, 'rotor_drag_kW');
      const now = cell(row, 'store_energy_kJ') * 1000;
      worst = Math.max(worst, Math.abs(now - before - kept * cell(row, 'duration_s') * 1000));
      before = now;
    }
    // The stored energy is some 1e5 J, of which a double keeps 16 figures.
    expect(worst).toBeLessThan(1e-7);
  });

  it('shows the limits by name', () => {
    const limits = (parse(text, { columns: true }) as { limit: string }[]).map((row) => row.limit);
    expect(new Set(limits)).toContain('');
    expect(new Set(limits)).toContain('brake_share');
  });

  it('is handed on in pieces, so that memory stays flat', () => {
    const pieces: number[] = [];
    const subject = { ...plainCase, trace: refine(plainCase.trace, 8) };
    writeLog(subject, runCase(subject), (piece) => pieces.push(piece.length));
    expect(pieces.length).toBeGreaterThan(30);
    expect(Math.max(...pieces)).toBeLessThan(70_000);
  });

  it('ends where its writer throws', () => {
    const full = new Error('full');
    const subject = { ...plainCase, trace: refine(plainCase.trace, 8) };
    const result = runCase(subject);
    let calls = 0;
    const write = () => {
      calls++;
      throw full;
    };
    expect(() => writeLog(subject, result, write)).toThrow(full);
    expect(calls).toBe(1);
  });
});

/** The same drive with uneven intervals, on a clock of seconds since 1970. */
function uneven(trace: Trace): Trace {
  const random = seeded(7);
  const fine = refine(trace, 2);
  const keep = [0];
  for (let k = 1; k < fine.time.length - 1; k++) if (between(random, 0, 1) < 0.7) keep.push(k);
  keep.push(fine.time.length - 1);
  const n = keep.length - 1;
  const time = Float64Array.from(keep, (k) => 1.7e9 + fine.time[k]!);
  const speed = Float64Array.from(keep, (k) => fine.speed[k]!);
  const level = new Float64Array(n);
  const climb = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    level[k] = 0.5 * (speed[k]! + speed[k + 1]!) * (time[k + 1]! - time[k]!);
    climb[k] = 0.02 * level[k]! * Math.sin(k / 50);
  }
  return { name: 'uneven', time, speed, climb, level };
}

describe('a log of rows of one length', () => {
  const slow = cycleNamed('nycc');
  const traces: readonly Trace[] = [slow, uneven(slow)];
  const CONSERVED = [
    'wheel_power_kW',
    'aerodynamic_power_kW',
    'store_power_kW',
    'brake_power_kW',
    'engine_power_kW',
    'rotor_drag_kW',
    'missed_by_limit_kW',
    'speed_kmh',
    'fuel_g_per_s',
    'engine_started',
  ];

  it.each(
    traces.flatMap((trace) => [0.1, 0.7, 1, 10, 33.3, 1e5].map((every) => [trace.name, every])),
  )('keeps every energy of %s in rows of %d s', (name, every) => {
    const trace = traces.find((candidate) => candidate.name === name)!;
    const subject = { ...plainCase, trace };
    const result = runCase(subject);
    const plain = logOf(subject, result);
    const rows = logOf(subject, result, Number(every));
    const length = trace.time.at(-1)! - trace.time[0]!;
    // A clock of seconds since 1970 has steps of 2.4e-7 s.
    expect(rows).toHaveLength(Math.ceil(length / Number(every) - 1e-5));
    const moved = (column: string) =>
      plain.reduce((sum, row) => sum + Math.abs(cell(row, column)) * cell(row, 'duration_s'), 0);
    for (const column of CONSERVED) {
      const count = column === 'engine_started';
      const of = (table: Row[]) =>
        count ? table.reduce((sum, row) => sum + cell(row, column), 0) : energy(table, column);
      expect(Math.abs(of(rows) - of(plain)), column).toBeLessThanOrEqual(ROUNDING * moved(column));
    }
    for (const state of ['store_energy_kJ', 'battery_debt_kJ', 'rotor_speed_rpm']) {
      expect(rows.at(-1)?.[state]).toBe(plain.at(-1)?.[state]);
    }
    rows.forEach((row, index) => {
      expect(cell(row, 'time_s')).toBe(trace.time[0]! + index * Number(every));
    });
  });

  it('is the plain log where the rows are as long as the intervals', () => {
    const { trace } = plainCase;
    const second = trace.time[1]! - trace.time[0]!;
    const plain = logOf(plainCase, plainResult);
    expect(second).toBe(1);
    const rows = logOf(plainCase, plainResult, 1);
    for (const [index, row] of plain.entries()) {
      for (const [column, value] of Object.entries(row)) {
        // The grade is worked out from the climb, a rounding away.
        expect(Math.abs(rows[index]![column]! - value)).toBeLessThanOrEqual(1e-14);
      }
    }
  });
});

describe('rows of one length', () => {
  function rowsOf(every: number, steps: readonly Partial<Step>[]) {
    const rows: { row: Step; starts: number }[] = [];
    const start = { rotorSpeed: 3, batteryDebt: 10 };
    const collector = new LogRows(every, start, (row, starts) => {
      rows.push({ row: { ...row }, starts });
    });
    let time = 100;
    for (const step of steps) {
      collector.add({ ...newStep(), time, dt: 2, rotorSpeed: 3, batteryDebt: 10, ...step });
      time += step.dt ?? 2;
    }
    collector.finish();
    return rows;
  }

  it('share an interval out by time', () => {
    const rows = rowsOf(3, [{ wheel: 6 }, { wheel: 12 }]);
    expect(rows.map(({ row }) => [row.time, row.dt, row.wheel])).toEqual([
      [100, 3, 8],
      [103, 1, 12],
    ]);
  });

  it('hold the linear speed within an interval', () => {
    const rows = rowsOf(1, [{ speed: 2, acceleration: 1, dt: 2 }]);
    expect(rows.map(({ row }) => row.speed)).toEqual([1.5, 2.5]);
  });

  it('hold the road by its climb, not by its time', () => {
    const [only] = rowsOf(4, [
      { speed: 3, sine: 0.02 },
      { speed: 1, sine: 0.06 },
    ]);
    expect(only?.row.sine).toBeCloseTo(0.03, 15);
  });

  it('end with the states within an interval, linear in energy', () => {
    const rows = rowsOf(1, [{ rotorSpeed: 5, batteryDebt: 20 }]);
    // Squares of speed: 9 at the start, 25 at the end, 17 half-way.
    expect(rows[0]?.row.rotorSpeed).toBeCloseTo(Math.sqrt(17), 14);
    expect(rows[0]?.row.batteryDebt).toBe(15);
    expect(rows[1]?.row.rotorSpeed).toBe(5);
    expect(rows[1]?.row.batteryDebt).toBe(20);
  });

  it('have the gear, the limit and the engine state that lasted longest', () => {
    const [only] = rowsOf(10, [
      { gear: 1, limit: LIMIT.full, engineOn: false, clutched: true, dt: 2 },
      { gear: 2, limit: LIMIT.none, engineOn: true, clutched: false, dt: 3 },
      { gear: 1, limit: LIMIT.full, engineOn: false, clutched: false, dt: 2 },
    ]);
    expect(only?.row).toMatchObject({
      gear: 1,
      limit: LIMIT.full,
      engineOn: false,
      clutched: false,
      dt: 7,
    });
  });

  it('count the starts of the engine', () => {
    const start = { engineStarted: true };
    const rows = rowsOf(5, [start, {}, start, start]);
    expect(rows.map(({ starts }) => starts)).toEqual([2, 1]);
  });

  it('refuse rows of no length', () => {
    expect(() => rowsOf(0, [])).toThrow(RangeError);
    expect(() => rowsOf(Number.NaN, [])).toThrow(RangeError);
  });
});
