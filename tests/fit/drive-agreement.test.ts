import { describe, expect, it } from 'vitest';
import { KMH, RPM } from '../../src/config/units.ts';
import { agreement } from '../../src/fit/drive-agreement.ts';
import { figuresOf, verdicts } from '../../src/fit/drive-limits.ts';
import { plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';
import { drivenBy, logOf, START } from './logged-drive.ts';

const OPTIONS = { stretch: 20, startTolerance: 2, window: 10 };
const truth = drivenBy([plainCar.mass, 0.44]);

describe('a drive against itself', () => {
  const same = agreement(logOf(truth), 0, truth, OPTIONS);

  it('agrees in every channel', () => {
    expect(same.channels.map(({ channel }) => channel)).toEqual(['speed', 'fuel', 'rotor_speed']);
    for (const { channel, rms, bias, lag } of same.channels) {
      expect(rms, channel).toBeLessThan(1e-9);
      expect(Math.abs(bias), channel).toBeLessThan(1e-9);
      expect(Math.abs(lag!.shift), channel).toBeLessThan(0.1);
    }
  });

  it('agrees in fuel and engine starts', () => {
    expectWithin(same.fuel!.simulated, same.fuel!.measured, 1e-9);
    expect(same.engine).toMatchObject({ share: 1, matched: truth.starts.length });
    expect(truth.starts.length).toBeGreaterThanOrEqual(1);
  });

  it('burns what the simulator says', () => {
    const heat = truth.burned(truth.duration) * plainCar.engine.fuel.heatingValue;
    // Fuel power in joules over the whole drive, against the sum of the log's flows.
    expectWithin(same.fuel!.measured * plainCar.engine.fuel.heatingValue, heat, 1e-9);
  });
});

describe('a drive against another', () => {
  it('has the clock of the log taken off', () => {
    const log = logOf(truth, { before: 5 });
    const { channels, outside } = agreement(log, 5, truth, OPTIONS);
    expect(outside).toBe(5);
    for (const { rms, channel } of channels) expect(rms, channel).toBeLessThan(1e-9);
    const late = agreement(log, 2, truth, OPTIONS).channels.find((c) => c.channel === 'speed')!;
    expect(late.rms).toBeGreaterThan(0.5);
    expect(Math.abs(late.lag!.shift - 3)).toBeLessThan(0.1);
  });

  it('shows rms and mean of an error that is known', () => {
    const log = logOf(truth);
    const rotorSpeed = log.rotorSpeed!.map((w, k) => w + (k % 2 === 0 ? 30 : 10));
    const fuel = log.fuel!.map((flow) => 1.1 * flow);
    const { channels, fuel: total } = agreement({ ...log, rotorSpeed, fuel }, 0, truth, OPTIONS);
    const rotor = channels.find(({ channel }) => channel === 'rotor_speed')!;
    // Errors of 30 and 10 in turn: mean 20, rms √500; one row more has the first.
    expectWithin(rotor.bias, -20, 0.01);
    expectWithin(rotor.rms, Math.sqrt(500), 0.01);
    expectWithin(total!.measured / total!.simulated, 1.1, 1e-9);
  });

  it('names the worst stretches first', () => {
    const log = logOf(truth);
    const rotorSpeed = log.rotorSpeed!.map((w, k) => (k >= 100 && k < 120 ? w + 50 : w));
    const { channels } = agreement({ ...log, rotorSpeed }, 0, truth, OPTIONS);
    const [first] = channels.find(({ channel }) => channel === 'rotor_speed')!.worst;
    expect(first).toMatchObject({ from: 100, to: 120 });
    expectWithin(first!.rms, 50, 1e-9);
    expectWithin(first!.bias, -50, 1e-9);
  });

  it('passes over rows without a value', () => {
    const log = logOf(truth);
    const fuel = log.fuel!.map((flow, k) => (k % 3 === 0 ? Number.NaN : flow));
    const { channels, fuel: total } = agreement({ ...log, fuel }, 0, truth, OPTIONS);
    const found = channels.find(({ channel }) => channel === 'fuel')!;
    expect(found.samples).toBeLessThan(0.7 * log.time.length);
    expect(found.rms).toBeLessThan(1e-9);
    expectWithin(total!.simulated, total!.measured, 1e-9);
  });

  it('pairs engine starts within the tolerance, each once', () => {
    const log = logOf(truth);
    const late = (by: number) =>
      agreement(
        { ...log, engineOn: log.engineOn!.map((_, k) => log.engineOn![Math.max(0, k - by)]!) },
        0,
        truth,
        OPTIONS,
      ).engine!;
    expect(late(2).matched).toBe(late(0).matched);
    expect(late(4).matched).toBe(0);
    expect(late(4).share).toBeLessThan(1);
  });
});

describe('limits', () => {
  const heavier = drivenBy([plainCar.mass + 100, 0.44], START);
  const found = agreement(logOf(truth), 0, heavier, OPTIONS);
  const figures = figuresOf(found, 0);

  it('are about figures in the units of their names', () => {
    const rotor = found.channels.find(({ channel }) => channel === 'rotor_speed')!;
    expectWithin(figures.rotor_rms_rpm!, rotor.rms / RPM, 1e-12);
    expectWithin(figures.speed_rms_kmh! + 1, found.channels[0]!.rms / KMH + 1, 1e-12);
    expect(figures.fuel_total_pct!).toBeGreaterThan(1);
  });

  it('hold up to their value, whatever the sign', () => {
    const size = Math.abs(figures.rotor_bias_rpm!);
    const held = verdicts(figures, [
      { figure: 'rotor_bias_rpm', most: 1.01 * size },
      { figure: 'rotor_bias_rpm', most: 0.99 * size },
    ]);
    expect(held.map(({ holds }) => holds)).toEqual([true, false]);
  });

  it('do not hold where the log has no such channel', () => {
    const { fuel, ...rest } = logOf(truth);
    expect(fuel).toBeDefined();
    const without = agreement({ ...rest, fuel: undefined }, 0, truth, OPTIONS);
    const [verdict] = verdicts(figuresOf(without, 0), [{ figure: 'fuel_total_pct', most: 100 }]);
    expect(verdict).toMatchObject({ value: undefined, holds: false });
  });
});
