/**
 * What must not change a drive: the units and samplings that it is written in, and being taken apart
 * and put together. The wheel lines of the ledger are compared, and where the intervals are the same
 * ones every line of it.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCycle } from '../../src/config/load.ts';
import { FOOT, KMH, KNOT, MPH } from '../../src/config/units.ts';
import { cut, join as joined, stretchTime } from '../../src/cycle/compose.ts';
import { resample } from '../../src/cycle/resample.ts';
import { intervalCount, refine, type Trace } from '../../src/cycle/trace.ts';
import { GRAVITY } from '../../src/physics/air.ts';
import { runBalanced } from '../../src/simulate/balance.ts';
import { fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import type { Ledger } from '../../src/simulate/ledger.ts';
import { run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { traceEnergy } from '../../src/simulate/trace-energy.ts';
import { combine } from '../../src/strategy/combine.ts';
import { randomDrive } from '../cycle/drives.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { Worst } from '../within.ts';
import { EXAMPLES } from './drafts.ts';
import { loadText, tableOf } from './drive-files.ts';

const HILLS = join(EXAMPLES, 'cycles/town-hills.csv');

/** A lap of the plain car with its store, from the same state. */
function ledgerOf(trace: Trace): Ledger {
  const car = fitStore(plainCar, plainStore);
  const strategy = combine('useful', {
    stopStart: { delay: 0 },
    recover: { share: 1, minPower: 0 },
    assist: {
      launchBelow: 8,
      accelerationAbove: 0.8,
      share: 0.5,
      floor: 0.1,
      coverShortfall: true,
    },
  });
  const demand = new Demand(car, plainStore, trace);
  return run(car, plainStore, demand, strategy, initialState(car, plainStore)).ledger;
}

/** Sums of a ledger that depend on the trace and the car alone. */
const WHEEL = ['distance', 'duration', 'aerodynamic', 'rolling', 'grade', 'kinetic'] as const;
/** All its sums. */
const ALL = [
  ...WHEEL,
  ...(['fuel', 'engineHeat', 'shiftLoss', 'accessories', 'engineWheel', 'brakes'] as const),
  ...(['shortfall', 'traction', 'braking', 'recoveredBraking', 'assisted'] as const),
  ...(['storeDragLoss', 'storeChange', 'electricLoad', 'debtChange', 'engineStarts'] as const),
] as const;

/** Largest difference of some lines of two ledgers, over all the energy that the wheels moved. */
function difference(a: Ledger, b: Ledger, lines: typeof WHEEL | typeof ALL): number {
  const scale = a.traction + a.braking;
  return Math.max(...lines.map((line) => Math.abs(a[line] - b[line]) / scale));
}

describe('the units of a file', () => {
  const time = { time_s: 1, time_ms: 1e-3 };
  const speed = { speed_kmh: KMH, speed_mph: MPH, speed_m_per_s: 1, speed_kn: KNOT };
  const altitude = { altitude_m: 1, altitude_ft: FOOT };

  it('change nothing but the rounding of its decimals', async () => {
    const random = seeded(71);
    const worst = new Worst();
    for (let trial = 0; trial < 20; trial++) {
      const drive = randomDrive(random);
      // A column more than the plain form has, so that it is read as a log.
      const written = (t: keyof typeof time, v: keyof typeof speed, h: keyof typeof altitude) =>
        tableOf(
          `${t},${v},${h},x`,
          Array.from(drive.time, (instant, k) => [
            instant / time[t],
            drive.speed[k]! / speed[v],
            drive.altitude[k]! / altitude[h],
            0,
          ]),
        );
      const ledgers = [];
      for (const t of ['time_s', 'time_ms'] as const) {
        for (const v of ['speed_kmh', 'speed_mph', 'speed_m_per_s', 'speed_kn'] as const) {
          for (const h of ['altitude_m', 'altitude_ft'] as const) {
            const { parts } = await loadText(written(t, v, h), { clean: false });
            ledgers.push([`${t} ${v} ${h}`, ledgerOf(parts[0]!)] as const);
          }
        }
      }
      const [, base] = ledgers[0]!;
      for (const [units, ledger] of ledgers) {
        worst.see(difference(base, ledger, ALL), () => `${trial} ${units}`);
      }
    }
    // Two hundred intervals, each off by a few roundings of 1e-16 of numbers of up to 1e3.
    worst.expectAtMost(1e-10);
  });

  it('change nothing either where the drive is cleaned and its altitude smoothed', async () => {
    const random = seeded(72);
    const worst = new Worst();
    for (let trial = 0; trial < 10; trial++) {
      const { time: t, speed: v } = randomDrive(random);
      let way = 0;
      const rows = Array.from(t, (instant, k) => {
        if (k > 0) way += 0.5 * (v[k]! + v[k - 1]!) * (instant - t[k - 1]!);
        return [instant, v[k]!, 200 + 20 * Math.sin(way / 300) + random()] as const;
      });
      const rules = { gaps: { least: 5, steps: 1.5, bridge: 5 }, spikes: 'off' } as const;
      const plain = tableOf('time_s,v_mps,alt_m', rows);
      const other = tableOf(
        'time_ms,v_mph,alt_ft',
        rows.map(([s, mps, m]) => [s / 1e-3, mps / MPH, m / FOOT]),
      );
      const [a, b] = await Promise.all([loadText(plain, { rules }), loadText(other, { rules })]);
      expect(a.altitude).toBeDefined();
      worst.see(
        difference(ledgerOf(a.parts[0]!), ledgerOf(b.parts[0]!), WHEEL),
        () => `trial ${trial}`,
      );
    }
    // A sum of altitudes of some 200 m that are off by 1e-13 m, over a potential energy of some metres.
    worst.expectAtMost(1e-9);
  });
});

describe('the sampling of a drive', () => {
  it('changes no wheel line where each old sample is one of the new ones', async () => {
    const worst = new Worst();
    const hills = (await loadCycle(HILLS)).value;
    for (const trace of [hills, cycleNamed('udds'), cycleNamed('wltc-class3b')]) {
      const base = ledgerOf(trace);
      for (const step of [1, 0.5, 0.25, 0.1]) {
        const finer = resample(trace, step);
        expect(finer.climbLeft).toBe(0);
        worst.see(difference(base, ledgerOf(finer.trace), WHEEL), () => `${trace.name} ${step} s`);
      }
    }
    // Ten thousand intervals, roundings of 1e-16 each.
    worst.expectAtMost(1e-11);
  });

  it('is undone by reading a finer drive at its old instants', async () => {
    const hills = (await loadCycle(HILLS)).value;
    const { trace } = resample(refine(hills, 4), 1);
    expect(intervalCount(trace)).toBe(intervalCount(hills));
    expect(difference(ledgerOf(hills), ledgerOf(trace), ALL)).toBeLessThan(1e-11);
  });
});

describe('a drive taken apart', () => {
  it('is the same drive when it is put together again, line by line', async () => {
    const random = seeded(73);
    const worst = new Worst();
    const hills = (await loadCycle(HILLS)).value;
    for (const trace of [hills, cycleNamed('us06'), cycleNamed('nycc')]) {
      const base = ledgerOf(trace);
      const end = trace.time.at(-1)!;
      for (let trial = 0; trial < 10; trial++) {
        // At whole seconds: between samples an interval would become two.
        const cuts = [0, ...Array.from({ length: 4 }, () => Math.floor(end * random())), end];
        const bounds = [...new Set(cuts)].toSorted((a, b) => a - b);
        const pieces = bounds.slice(1).map((to, k) => cut(trace, bounds[k]!, to));
        const again = joined(pieces, trace.name);
        worst.see(difference(base, ledgerOf(again), ALL), () => `${trace.name} at ${bounds}`);
      }
    }
    worst.expectAtMost(1e-13);
  });

  it('between its samples asks the same of the wheels', async () => {
    const random = seeded(74);
    const worst = new Worst();
    const hills = (await loadCycle(HILLS)).value;
    const base = ledgerOf(hills);
    for (let trial = 0; trial < 20; trial++) {
      const at = 1 + 1015 * random();
      const again = joined([cut(hills, 0, at), cut(hills, at, 1018)], 'again');
      worst.see(difference(base, ledgerOf(again), WHEEL), () => `at ${at}`);
    }
    worst.expectAtMost(1e-12);
  });
});

describe('a closed loop over hills', () => {
  /** Work against gravity over all the climbs of a trace, in both directions [J]. */
  function climbed({ climb }: Trace): number {
    return climb.reduce((sum, height) => sum + Math.abs(height), 0) * plainCar.mass * GRAVITY;
  }

  it('gives its grade work back to the last joule, smoothed or not, fast or slow', async () => {
    const hills = (await loadCycle(HILLS)).value;
    const smoothed = (await loadCycle(HILLS, { clean: true })).value;
    const worst = new Worst();
    const traces = { hills, smoothed, slow: stretchTime(hills, 1.7), fine: refine(smoothed, 3) };
    for (const [name, trace] of Object.entries(traces)) {
      expect(climbed(trace)).toBeGreaterThan(1e6);
      worst.see(Math.abs(traceEnergy(trace, plainCar).grade) / climbed(trace), () => name);
      worst.see(Math.abs(ledgerOf(trace).grade) / climbed(trace), () => `${name}, driven`);
    }
    // A thousand intervals; the file has its altitudes to the millimetre and ends on the first.
    worst.expectAtMost(1e-12);
  });

  it('is driven in laps, as are two of it', async () => {
    for (const text of [HILLS, `2*${HILLS}`]) {
      const { value } = await loadCycle(text);
      const car = fitStore(plainCar, plainStore);
      const demand = new Demand(car, plainStore, value);
      const { balance } = runBalanced(car, plainStore, demand, () => combine('none', {}));
      expect(balance.method).toBe('repetition');
    }
  });

  it('has the altitudes of its file', () => {
    const rows = readFileSync(HILLS, 'utf8').trimEnd().split('\n').slice(2);
    const altitudes = rows.map((row) => Number(row.split(',')[2]));
    expect(altitudes.at(-1)).toBe(altitudes[0]);
    expect(Math.max(...altitudes) - Math.min(...altitudes)).toBeGreaterThan(20);
  });
});
