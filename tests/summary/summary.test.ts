import { describe, expect, it } from 'vitest';
import { distance, type Trace } from '../../src/cycle/trace.ts';
import { balanceWords } from '../../src/output/balance-words.ts';
import { Curve } from '../../src/physics/curve.ts';
import { FUELS } from '../../src/physics/fuel.ts';
import { LIMITS } from '../../src/physics/limit.ts';
import { type CaseResult, runCase } from '../../src/simulate/case.ts';
import { combine } from '../../src/strategy/combine.ts';
import { LEDGER_LINES } from '../../src/summary/ledger-lines.ts';
import type { LedgerSummary, Summary } from '../../src/summary/summary.ts';
import { cycleNamed } from '../fixtures.ts';
import { plainCase, plainResult, plainSummary, summaryOf } from '../output/plain-case.ts';

/** Sums of a few thousand doubles, over the largest of them. */
const ROUNDING = 1e-9;

function sides(lines: Record<string, { side: 'in' | 'out' }>, values: Record<string, number>) {
  const sum = (side: 'in' | 'out') =>
    Object.entries(lines)
      .filter(([, line]) => line.side === side)
      .reduce((total, [key]) => total + values[key]!, 0);
  const moved = Object.keys(lines).reduce((total, key) => total + Math.abs(values[key]!), 0);
  return { imbalance: Math.abs(sum('in') - sum('out')), moved };
}

describe('the summary of a case', () => {
  it('has the keys that scripts rely on, and no unit among the values', () => {
    expect(Object.keys(plainSummary)).toEqual([
      'schema_version',
      'tool',
      'case',
      'cycle',
      'fuel',
      'saving',
      'ledger',
      'missed_recovery_kJ',
      'shortfall',
      'counts',
      'references',
      'warnings',
    ]);
    expect(plainSummary.schema_version).toBe(1);
    expect(Object.keys(plainSummary.case)).toEqual(['car', 'store', 'strategy', 'cycle', 'hash']);
    expect(Object.keys(plainSummary.cycle)).toEqual([
      'duration_s',
      'distance_km',
      'max_speed_kmh',
      'mean_speed_kmh',
      'speed_change_kmh',
      'altitude_change_m',
    ]);
    expect(Object.keys(plainSummary.fuel)).toEqual([
      'baseline_L_per_100km',
      'stop_start_L_per_100km',
      'store_L_per_100km',
      'baseline_co2_g_per_km',
      'stop_start_co2_g_per_km',
      'store_co2_g_per_km',
    ]);
    expect(Object.keys(plainSummary.saving.balance).slice(0, 3)).toEqual([
      'method',
      'laps',
      'residual_pct_of_fuel_energy',
    ]);
    expect(Object.keys(plainSummary.shortfall)).toEqual([
      'energy_kJ',
      'seconds',
      'pct_of_tractive',
    ]);
    expect(Object.keys(plainSummary.missed_recovery_kJ)).toEqual(LIMITS.slice(1));
    expect(Object.keys(plainSummary.counts.limit_s)).toEqual(LIMITS.slice(1));
  });

  it.each(['fuel', 'wheel', 'electric', 'store'] as const)(
    'balances the %s node of the car with the store, line by line',
    (name) => {
      const { imbalance, moved } = sides(LEDGER_LINES[name], plainSummary.ledger[name]);
      expect(moved).toBeGreaterThan(1);
      expect(imbalance).toBeLessThan(ROUNDING * moved);
    },
  );

  it.each(['baseline', 'stop_start'] as const)('balances every node of the %s run', (run) => {
    const ledger: LedgerSummary = plainSummary.references[run].ledger;
    for (const name of ['fuel', 'wheel', 'electric'] as const) {
      const { imbalance, moved } = sides(LEDGER_LINES[name], ledger[name]);
      expect(imbalance).toBeLessThan(ROUNDING * moved);
    }
    expect(ledger).not.toHaveProperty('store');
  });

  it('gives as closure the worst of the three runs', () => {
    const { baseline, stopStart, withStore } = plainResult;
    const worst = Math.max(baseline.run.closure, stopStart.run.closure, withStore.run.closure);
    expect(plainSummary.ledger.closure_relative).toBe(worst);
    expect(worst).toBeLessThan(1e-9);
  });

  it('charges the battery debt as fuel in all three runs', () => {
    const ledgers = [
      plainSummary.ledger,
      plainSummary.references.baseline.ledger,
      plainSummary.references.stop_start.ledger,
    ];
    for (const { fuel } of ledgers) {
      const sum = fuel.burned_kJ + fuel.battery_debt_charge_kJ + fuel.slope_correction_kJ;
      expect(Math.abs(sum - fuel.total_kJ)).toBeLessThan(1e-12 * fuel.total_kJ);
    }
    const { electric, fuel } = plainSummary.references.stop_start.ledger;
    // Affine engine of efficiency 0.44 behind an alternator of 0.65, as the fixture has them.
    expect(electric.battery_debt_rise_kJ).toBeGreaterThan(0);
    expect(fuel.battery_debt_charge_kJ).toBeCloseTo(electric.battery_debt_rise_kJ / 0.65 / 0.44, 9);
  });

  it('turns fuel energy into litres and CO2 with the fuel of the car', () => {
    const km = distance(plainCase.trace) / 1000;
    const { density, heatingValue, co2PerLitre } = FUELS.diesel;
    const litres = (plainSummary.ledger.fuel.total_kJ * 1000) / (density * heatingValue);
    expect(plainSummary.fuel.store_L_per_100km).toBeCloseTo((100 * litres) / km, 9);
    expect(plainSummary.fuel.store_co2_g_per_km).toBeCloseTo((litres * co2PerLitre) / km, 9);
    expect(plainSummary.cycle.distance_km).toBeCloseTo(km, 12);
  });

  it('states savings of the same litres that it prints', () => {
    const { fuel, saving } = plainSummary;
    const against = (reference: number) => 100 * (1 - fuel.store_L_per_100km / reference);
    expect(saving.vs_baseline_pct).toBeCloseTo(against(fuel.baseline_L_per_100km), 9);
    expect(saving.vs_stop_start_pct).toBeCloseTo(against(fuel.stop_start_L_per_100km), 9);
    expect(saving.vs_baseline_pct).toBeGreaterThan(saving.vs_stop_start_pct ?? Number.NaN);
  });

  it('splits braking energy into what was recovered and what each limit kept out', () => {
    const { ledger, missed_recovery_kJ: missed } = plainSummary;
    const kept = Object.values(missed).reduce((sum, energy) => sum + energy, 0);
    const all = ledger.store.recovered_braking_kJ + kept;
    // An engine whose own rotation pushes at the end of a braking adds to what has to be braked.
    expect(all).toBeGreaterThan(ledger.wheel.braking_kJ * (1 - ROUNDING));
    expect(all).toBeLessThan(ledger.wheel.braking_kJ * 1.001);
  });

  it('says what a correction by slope adds, and has it in the total', () => {
    const { run } = plainResult.withStore;
    const slope = -2.5;
    const burned = plainSummary.ledger.fuel.burned_kJ;
    const debt = plainSummary.ledger.fuel.battery_debt_charge_kJ;
    const correction = -slope * run.ledger.storeChange;
    const fuel = (burned + debt) * 1000 + correction;
    const balance = {
      method: 'slope',
      reason: 'unsettled',
      laps: 17,
      residual: 0.004,
      slope,
      correction: correction / (fuel - correction),
      bracketed: false,
    } as const;
    const summary = summaryOf({ ...plainResult, withStore: { run, fuel, balance } });
    expect(summary.saving.balance).toEqual({
      method: 'slope',
      laps: 17,
      residual_pct_of_fuel_energy: 0.4,
      slope,
      correction_pct_of_fuel_energy: 100 * balance.correction,
      bracketed: false,
      reason: 'unsettled',
    });
    expect(summary.ledger.fuel.slope_correction_kJ).toBeCloseTo(correction / 1000, 12);
    expect(summary.ledger.fuel.total_kJ).toBeCloseTo(burned + debt + correction / 1000, 9);
    expect(summary.warnings[0]).toMatch(/did not settle.*0\.400 % .*-2\.50 J.*17 laps/s);
    expect(summary.warnings[1]).toContain('reaches beyond what was driven');
  });

  it('says that a mean of laps counts, and warns where the lap that is shown is far from it', () => {
    const { run } = plainResult.withStore;
    const { burned_kJ: burned, battery_debt_charge_kJ: debt } = plainSummary.ledger.fuel;
    const own = (burned + debt) * 1000;
    const turning = (residual: number, correction: number) =>
      summaryOf({
        ...plainResult,
        withStore: {
          run,
          fuel: own * (1 + correction),
          balance: {
            method: 'slope',
            reason: 'alternating',
            laps: 7,
            residual,
            slope: 2.3,
            correction,
            bracketed: true,
          },
        },
      });
    const far = turning(0.0004, 0.014);
    expect(far.ledger.fuel.slope_correction_kJ).toBeCloseTo((0.014 * own) / 1000, 8);
    expect(far.ledger.fuel.total_kJ).toBeCloseTo((1.014 * own) / 1000, 8);
    expect(balanceWords(far.saving.balance)).toBe(
      'Balanced by correction: laps that gain and laps that lose stored energy take turns; the nearest of 7 laps ends 0.0400 % of the fuel energy above its start; 1.4000 % of fuel is added, to the mean of the laps.',
    );
    expect(far.warnings[0]).toMatch(/^Repeating the cycle did not settle: .* 1\.40 %, to the mean/);
    expect(turning(0.02, 0.0001).warnings[0]).toMatch(/^Repeating the cycle did not settle/);
    // Within a thousandth there is nothing to warn of.
    expect(turning(0.0009, -0.0009).warnings).toEqual(plainSummary.warnings);
  });

  it('warns of no reach of a correction where the fuel does not hang on what is stored', () => {
    const { run, fuel } = plainResult.withStore;
    const reaching = (slope: number) => {
      const balance = {
        method: 'slope',
        reason: 'open-trace',
        laps: 6,
        residual: 0.004,
        slope,
        correction: -0.004 * slope,
        bracketed: false,
      } as const;
      const summary = summaryOf({ ...plainResult, withStore: { run, fuel, balance } });
      return summary.warnings.join();
    };
    expect(reaching(1e-28)).not.toContain('reaches beyond');
    expect(reaching(-1e-9)).not.toContain('reaches beyond');
    expect(reaching(2)).toContain('reaches beyond what was driven');
  });

  it('says what a drive that is no lap takes with it, and that it was not repeated', () => {
    const udds = cycleNamed('udds');
    const climb = udds.climb.slice();
    climb[200] = -4;
    climb[210] = -4;
    const down: Trace = { ...udds, climb };
    const summary = summaryOf(runCase({ ...plainCase, trace: down }), down);
    expect(summary.cycle.altitude_change_m).toBe(-8);
    expect(summary.cycle.speed_change_kmh).toBe(0);
    const { balance } = summary.saving;
    expect([balance.method, balance.reason]).toEqual(['slope', 'open_trace']);
    // 1760 kg · 9.80665 m/s² · 8 m
    expect(summary.ledger.wheel.grade_kJ).toBeCloseTo(-138.078, 3);
    expect(summary.warnings).toEqual([
      'The drive ends 8.00 m lower than it begins, so it is not repeated: -138 kJ of potential energy of the car with the store stand in its wheel lines, about the same as without it.',
    ]);
    expect(balanceWords(balance)).toMatch(
      /^Balanced by correction: the drive is no lap to be repeated; the nearest of \d laps ends/,
    );
    const fast: Trace = {
      name: 'fast',
      time: udds.time.slice(0, 201),
      speed: udds.speed.slice(0, 201),
      climb: climb.slice(0, 200),
      level: udds.level.slice(0, 200),
    };
    const faster = summaryOf(runCase({ ...plainCase, trace: fast }), fast);
    // UDDS drives 42.1 mph at 200 s; 0.5 · (1760 + 50) kg · (18.820 m/s)²
    expect(faster.warnings[0]).toMatch(
      /^The drive ends 67\.8 km\/h faster than .*: 321 kJ of kinetic/,
    );
  });

  it('says where a saving is not balanced at all', () => {
    const { run } = plainResult.withStore;
    const balance = {
      method: 'slope',
      reason: 'open-trace',
      laps: 5,
      residual: -0.02,
      slope: undefined,
      correction: 0,
      bracketed: false,
    } as const;
    const fuel = plainResult.withStore.fuel;
    const summary = summaryOf({ ...plainResult, withStore: { run, fuel, balance } });
    expect(summary.saving.balance).toMatchObject({ slope: null, correction_pct_of_fuel_energy: 0 });
    expect(summary.ledger.fuel.slope_correction_kJ).toBe(0);
    expect(summary.warnings[1]).toMatch(/^The saving is not balanced: the store ends -2\.00 % /);
    expect(balanceWords(summary.saving.balance)).toMatch(/^Not corrected: /);
  });

  it('has no percentage of nothing where the car without the store burns nothing', () => {
    const nothing = { ...plainResult.baseline, fuel: 0 };
    const summary = summaryOf({ ...plainResult, baseline: nothing, stopStart: nothing });
    expect(summary.saving.vs_baseline_pct).toBeNull();
    expect(summary.saving.vs_stop_start_pct).toBeNull();
    expect(summary.warnings.join()).toContain('no saving can be stated');
  });
});

describe('warnings of a summary', () => {
  function summaryWith(change: Partial<typeof plainCase>): Summary {
    const subject = { ...plainCase, ...change };
    return summaryOf(runCase(subject), subject.trace);
  }

  it('are none where nothing is amiss', () => {
    expect(plainSummary.warnings).toEqual([]);
  });

  it('name what a weak engine could not give, for each of the three runs', () => {
    const { car } = plainCase;
    const engine = {
      ...car.engine,
      fullLoad: new Curve([80, 600], [90, 90]),
    };
    const summary = summaryWith({ car: { ...car, engine }, trace: cycleNamed('us06') });
    expect(summary.shortfall.energy_kJ).toBeGreaterThan(0);
    expect(summary.shortfall.seconds).toBeGreaterThan(0);
    const { energy_kJ: energy, pct_of_tractive: share } = summary.shortfall;
    expect(share).toBeCloseTo((100 * energy) / summary.ledger.wheel.traction_kJ, 9);
    const told = summary.warnings.filter((text) => text.includes('cannot follow the cycle'));
    expect(told).toHaveLength(3);
    expect(told[0]).toContain('car with the store');
    expect(summary.references.baseline.shortfall.energy_kJ).toBeGreaterThan(energy);
  });

  it('name a store that is never charged, and one that costs fuel', () => {
    const summary = summaryWith({
      makeStrategy: () => combine('idle store', { stopStart: { delay: 0 } }),
    });
    expect(summary.warnings.join()).toContain('never charged');
    expect(summary.warnings.join()).toMatch(/% more than with stop-start/);
    expect(summary.saving.vs_stop_start_pct).toBeLessThan(0);
  });

  it('call no store never charged for the one lap that is shown of several in turns', () => {
    const idle = runCase({
      ...plainCase,
      makeStrategy: () => combine('idle store', { stopStart: { delay: 0 } }),
    });
    const turning = {
      method: 'slope',
      reason: 'alternating',
      laps: 3,
      residual: -0.02,
      slope: 2.3,
      correction: 0.01,
      bracketed: true,
    } as const;
    const told = (withStore: CaseResult['withStore']) =>
      summaryOf({ ...idle, withStore }).warnings.join();
    expect(told(idle.withStore)).toContain('never charged');
    expect(told({ ...idle.withStore, balance: turning })).not.toContain('never');
  });

  it('name an engine that turns too fast', () => {
    const { car } = plainCase;
    const engine = { ...car.engine, maxSpeed: 180 };
    const summary = summaryWith({ car: { ...car, engine } });
    expect(summary.counts.overspeed_s).toBeGreaterThan(0);
    expect(summary.warnings.join()).toContain('faster than its greatest speed');
  });
});
