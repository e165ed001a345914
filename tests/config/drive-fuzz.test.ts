/**
 * Logs of which anything may be wrong but their form: what `readDrive` makes of arbitrary bytes is
 * tested with it, here rows are read and then have to be cleaned, smoothed and made traces of.
 */
import { describe, expect, it } from 'vitest';
import type { DriveOptions, LoadedDrive } from '../../src/config/load-drive.ts';
import { InputError } from '../../src/config/problem.ts';
import { DEFAULT_RULES } from '../../src/cycle/clean-rules.ts';
import { SMOOTHING_METHODS } from '../../src/cycle/smooth.ts';
import { distance, intervalDistance } from '../../src/cycle/trace.ts';
import { cleaningLine } from '../../src/output/cleaning-words.ts';
import { oneOf, seeded } from '../seeded.ts';
import { loadText, tableOf } from './drive-files.ts';

const HEADERS = [
  'time_s,speed_kmh',
  'time_s,speed_kmh,altitude_m',
  'time_s,speed_kmh,grade_pct',
  'time_s,v [m/s],alt_m,grade [-]',
  'time_ms,speed_mph,alt_ft,x',
  'time_s,lat,lon,alt_m',
];
const ODD = ['', 'NaN', '-1', '-0.2', '0', '1e9', '-1e9', '1e300', '1e-300', '999', '35', '-7'];

/** A drive of up to 40 rows that could be one, with a few faults of value, order and absence. */
function randomLog(random: () => number): string {
  const headers = oneOf(random, HEADERS);
  const width = headers.split(',').length;
  const isPosition = headers.includes('lat');
  const rows: (number | string)[][] = [];
  let time = random() < 0.5 ? 0 : Math.floor(1e4 * random());
  let value = 0;
  for (let k = 0; k < 2 + 38 * random(); k++) {
    time += random() < 0.05 ? oneOf(random, [0, -3, -40, 2, 5, 60, 1e-7, 1e5]) : 1;
    value = random() < 0.3 ? 0 : Math.max(0, value + 8 * (random() - 0.4));
    const place = (at: number) => (isPosition ? at + 1e-4 * k * random() : value);
    const row = [headers.includes('_ms') ? 1000 * time : time, place(48)];
    if (width > 2) row.push(isPosition ? place(9) : 100 + 3 * random() * (k % 5));
    if (width > 3) row.push(isPosition ? 100 + random() : 0.1 * (random() - 0.5));
    rows.push(row);
  }
  for (let fault = 0; fault < 4 * random(); fault++) {
    const row = oneOf(random, rows);
    row[Math.floor(width * random())] = oneOf(random, ODD);
  }
  if (width > 2 && !isPosition && random() < 0.02) for (const row of rows) row[2] = '';
  return tableOf(headers, rows);
}

function randomOptions(random: () => number): DriveOptions {
  const { gaps, standstill } = DEFAULT_RULES;
  if (gaps === 'off' || standstill === 'off') throw new Error('the defaults have changed');
  const maybe = (chance: number): boolean => random() < chance;
  // Even instants need times that go forward and speeds in every row.
  const isRaw = maybe(0.05);
  return {
    clean: oneOf(random, [undefined, undefined, true, false]),
    rules: {
      ...(maybe(0.3) && { gaps: { ...gaps, bridge: oneOf(random, [0, 30, 100]) } }),
      ...(maybe(0.2) && { standstill: { ...standstill, below: 5, drives: 'all' } }),
      ...(!isRaw && maybe(0.2) && { resampling: { step: oneOf(random, [0.1, 0.5, 1, 7]) } }),
      ...(maybe(0.2) && { smoothing: oneOf(random, SMOOTHING_METHODS) }),
      ...(maybe(0.1) && { spikes: 'off' }),
      ...(maybe(0.1) && { road: 'off' }),
      ...(isRaw && { gaps: 'off', clock: oneOf(random, ['off', DEFAULT_RULES.clock]) }),
    },
  };
}

/** What is unsound about the traces that were made, for there must be no such thing. */
function unsound({ parts, cleaning }: LoadedDrive): string | undefined {
  if (parts.length === 0) return 'no part';
  if (cleaning !== undefined && cleaning.after.rows < 2) return 'no rows';
  for (const trace of parts) {
    const { time, speed, climb, level } = trace;
    if (!(distance(trace) >= 1)) return 'no way';
    for (let k = 0; k < climb.length; k++) {
      const way = intervalDistance(time, speed, k);
      if (!(time[k + 1]! > time[k]!)) return 'times out of order';
      if (!(speed[k + 1]! >= 0 && speed[k + 1]! < 139)) return 'a speed that cannot be';
      // The two legs of a slope: exact but for the rounding of a square root.
      if (!(Math.abs(climb[k]!) <= 0.36 * way + 1e-9)) return 'a cliff';
      if (!(level[k]! >= 0 && level[k]! <= way * (1 + 1e-9) + 1e-12)) return 'a false length';
    }
  }
  return undefined;
}

describe('whatever a log holds', () => {
  it('10 000 of them each make sound traces or an input error, and nothing else', async () => {
    const random = seeded(91);
    const found = new Map<string, number>();
    let drives = 0;
    let several = 0;
    for (let trial = 0; trial < 10_000; trial++) {
      const text = randomLog(random);
      const options = randomOptions(random);
      try {
        const drive = await loadText(text, options);
        const fault = unsound(drive);
        if (fault !== undefined) expect.fail(`${fault}: ${JSON.stringify([text, options])}`);
        const line = cleaningLine(drive);
        expect(line ?? 'none').not.toMatch(/NaN|undefined|Infinity/);
        drives++;
        if (drive.parts.length > 1) several++;
        for (const { kind } of drive.oddParts) found.set(kind, (found.get(kind) ?? 0) + 1);
      } catch (error) {
        if (!(error instanceof InputError)) {
          throw new Error(JSON.stringify([text, options]), { cause: error });
        }
        for (const { code, file, expected } of error.problems) {
          if (file !== 'logs/monday.csv' || expected === '') {
            expect.fail(`${code} of ${file}: ${JSON.stringify([text, options])}`);
          }
          found.set(code, (found.get(code) ?? 0) + 1);
        }
      }
    }
    // If all were good, or all bad in the same way, little would have been tested.
    expect(drives).toBeGreaterThan(2000);
    expect(drives).toBeLessThan(8000);
    expect(several).toBeGreaterThan(100);
    for (const code of [
      ...['left-out', 'no-road', 'too-steep', 'altitude-at-rest', 'never-moves', 'not-a-number'],
      ...['nothing-left', 'negative-speed', 'out-of-range', 'time-order', 'uneven-sampling'],
    ]) {
      expect(found.get(code) ?? 0, code).toBeGreaterThan(5);
    }
  });
});
