import { describe, expect, it } from 'vitest';
import { PARTS } from '../../src/simulate/waterfall.ts';
import { type Cell, flatSummary, flatWaterfall } from '../../src/summary/flat.ts';
import type { PartialSummary, StepSummary } from '../../src/summary/waterfall.ts';
import { waterfallCautions } from '../../src/summary/waterfall-words.ts';
import { cycleNamed } from '../fixtures.ts';
import { everyPart, explained } from '../output/explained-case.ts';
import { plainSummary } from '../output/plain-case.ts';
import { cut } from '../simulate/drives.ts';
import { expectWithin } from '../within.ts';

const { summary, steps } = explained(everyPart);

function cell(row: Readonly<Record<string, Cell>>, name: string): Cell | undefined {
  return row[name];
}

describe('a saving in steps, in a summary', () => {
  it('is left out where it was not asked for', () => {
    expect(plainSummary).not.toHaveProperty('waterfall');
    expect(Object.keys(summary)).toEqual(Object.keys(plainSummary).toSpliced(6, 0, 'waterfall'));
  });

  it('adds up to the saving and ends with the fuel that stand above it', () => {
    const { waterfall, saving, fuel } = summary;
    const sum = (values: readonly (number | null)[]) =>
      values.reduce((total: number, value) => total + (value ?? Number.NaN), 0);
    // A handful of roundings.
    expectWithin(sum(waterfall.map((step) => step.saving_pct)), saving.vs_baseline_pct!, 1e-12);
    expectWithin(
      sum(waterfall.map((step) => step.saving_L_per_100km)),
      fuel.baseline_L_per_100km - fuel.store_L_per_100km,
      1e-12,
    );
    expect(waterfall.at(-1)?.fuel_L_per_100km).toBe(fuel.store_L_per_100km);
    expect(waterfall[0]?.fuel_L_per_100km).toBe(fuel.stop_start_L_per_100km);
    expect(waterfall.at(-1)?.balance).toEqual(saving.balance);
    expect(waterfall.at(-1)?.shortfall).toEqual(summary.shortfall);
  });

  it('says per step what is lost without it, and how each run was balanced', () => {
    const { waterfall, fuel } = summary;
    expect(waterfall.map(({ step }) => step)).toEqual(steps.map(({ part }) => part));
    waterfall.forEach((step, index) => {
      const lost = step.without.fuel_L_per_100km - fuel.store_L_per_100km;
      // A difference of fuels some hundred times as large.
      expect(step.without.lost_pct).toBeCloseTo((100 * lost) / fuel.baseline_L_per_100km, 10);
      expect(step.balance?.method).toBe(steps[index]?.after.balance?.method);
      expect(step.without.balance?.laps).toBe(steps[index]?.without.balance?.laps);
    });
    expect(waterfall[0]?.balance).toBeNull();
  });
});

describe('a saving in steps as columns', () => {
  it('has the columns of all parts, with empty cells for those that a strategy has not', () => {
    const few = flatWaterfall(explained({ stopStart: { delay: 0 } }).summary.waterfall);
    const none = flatWaterfall(undefined);
    const all = flatWaterfall(summary.waterfall);
    expect(Object.keys(few)).toEqual(Object.keys(all));
    expect(Object.keys(none)).toEqual(Object.keys(all));
    for (const part of PARTS) {
      expect(Object.keys(all)).toContain(`waterfall_${part}_pct`);
      expect(Object.keys(all)).toContain(`waterfall_${part}_L_per_100km`);
      expect(Object.keys(all)).toContain(`waterfall_${part}_lost_without_pct`);
    }
    expect(cell(few, 'waterfall_coast_pct')).toBeNull();
    expect(cell(few, 'waterfall_stop_start_pct')).toBeGreaterThan(0);
    expect(Object.values(none).every((cell) => cell === null)).toBe(true);
  });

  it('holds the figures of the steps, behind all other columns of the row', () => {
    const row = flatSummary(summary);
    for (const step of summary.waterfall) {
      expect(row[`waterfall_${step.step}_pct`]).toBe(step.saving_pct);
      expect(row[`waterfall_${step.step}_L_per_100km`]).toBe(step.saving_L_per_100km);
      expect(row[`waterfall_${step.step}_lost_without_pct`]).toBe(step.without.lost_pct);
    }
    const { waterfall: _, ...plain } = summary;
    const names = Object.keys(flatSummary(plain));
    expect(Object.keys(row)).toEqual([...names, ...Object.keys(flatWaterfall(undefined))]);
    expect(names.some((name) => name.includes('waterfall'))).toBe(false);
  });
});

describe('cautions about steps', () => {
  const calm: PartialSummary = {
    fuel_L_per_100km: 5,
    balance: {
      method: 'repetition',
      laps: 2,
      residual_pct_of_fuel_energy: 0.0001,
      slope: null,
      correction_pct_of_fuel_energy: 0,
      bracketed: null,
      reason: null,
    },
    shortfall: { energy_kJ: 0, seconds: 0, pct_of_tractive: 0 },
  };
  const sloped = {
    method: 'slope',
    laps: 6,
    residual_pct_of_fuel_energy: 0.4,
    slope: 2.1,
    correction_pct_of_fuel_energy: -0.84,
    bracketed: true,
    reason: 'unsettled',
  } as const;
  const cautionsOf = (after: Partial<PartialSummary>, without: Partial<PartialSummary> = {}) => {
    const step: StepSummary = {
      step: 'coast',
      saving_L_per_100km: 0.1,
      saving_pct: 2,
      ...calm,
      ...after,
      without: { lost_pct: 1, ...calm, ...without },
    };
    return waterfallCautions([step]);
  };

  it('are none where every run settled and followed the trace', () => {
    expect(cautionsOf({})).toEqual([]);
    expect(cautionsOf({ balance: null })).toEqual([]);
  });

  it('name the runs that were corrected, and the largest correction', () => {
    const less = { ...sloped, correction_pct_of_fuel_energy: 0.21 };
    expect(cautionsOf({ balance: less }, { balance: sloped })).toEqual([
      'Corrected to balance the charge by up to 0.840 % of the fuel: engine-off coast, without engine-off coast.',
    ]);
    // To a mean of laps, along no slope.
    const [mean] = cautionsOf({ balance: { ...sloped, reason: 'alternating' } });
    expect(mean).toMatch(/^Corrected to balance the charge by up to 0\.840 %/);
  });

  it('name the runs whose balance nothing shows the worth of', () => {
    const unpriced = { ...sloped, slope: null, correction_pct_of_fuel_energy: 0 };
    expect(cautionsOf({}, { balance: unpriced })).toEqual([
      'Not balanced: the store ends off its start by up to 0.400 % of the fuel energy: without engine-off coast.',
    ]);
    const reaching = cautionsOf({ balance: { ...sloped, bracketed: false } });
    expect(reaching.map((text) => text.slice(0, 12))).toEqual(['Corrected to', 'Not balanced']);
  });

  it('leave out a store that nobody uses, whose level costs nothing', () => {
    const unused = { ...sloped, slope: 1e-12, correction_pct_of_fuel_energy: 4e-13 };
    expect(cautionsOf({ balance: { ...unused, bracketed: false } })).toEqual([]);
  });

  it('name the runs that did not follow the trace', () => {
    const shortfall = { energy_kJ: 3, seconds: 2, pct_of_tractive: 0.07 };
    expect(cautionsOf({ shortfall })).toEqual([
      'Trace not followed: work is short by up to 0.070 % of the tractive energy: engine-off coast.',
    ]);
  });

  it('tell of every run with the store on a drive that is no lap', () => {
    const open = explained(everyPart, cut(cycleNamed('udds'), 0, 240)).summary;
    const [corrected] = waterfallCautions(open.waterfall);
    expect(corrected).toMatch(/^Corrected to balance the charge .* without reserve from engine\.$/);
    expect(corrected).not.toContain(': stop-start');
    expect(cell(flatSummary(open), 'waterfall_cautions')).toBe(
      waterfallCautions(open.waterfall).join(' | '),
    );
  });
});
