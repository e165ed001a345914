import { describe, expect, it } from 'vitest';
import { GRAM, RPM } from '../../src/config/units.ts';
import { estimateDrive } from '../../src/fit/drive-estimate.ts';
import { covers } from '../../src/fit/intervals.ts';
import { NoFit } from '../../src/fit/least-squares.ts';
import { plainCar } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { normal } from './coast-runs.ts';
import { drivenBy, logOf, START } from './logged-drive.ts';

const TRUTH = [plainCar.mass + 70, 0.425] as const;
const truth = drivenBy(TRUTH);
const BEGIN = { clock: 0, rotorSpeed: START };
const parametersFrom = (values: readonly number[]) => [
  { path: 'car.mass_kg', start: values[0]! },
  { path: 'car.engine.fuel_use.efficiency', start: values[1]! },
];

/** A logger with noise on rotor speed and fuel flow. */
function noisyLog(seed: number) {
  const random = seeded(seed);
  return logOf(truth, {
    rotorNoise: () => 20 * RPM * normal(random),
    fuelNoise: () => 0.02 * GRAM * normal(random),
  });
}

describe('parameters estimated from a log', () => {
  it('come back from a log without noise, far from where they are looked for', () => {
    const filed = parametersFrom([1500, 0.38]);
    const { parameters } = estimateDrive(logOf(truth), BEGIN, filed, drivenBy, 40);
    expectWithin(parameters[0]!.estimate.value, TRUTH[0], 1e-4);
    expectWithin(parameters[1]!.estimate.value, TRUTH[1], 1e-4);
  });

  it('are found although the log begins with another rotor speed than is said', () => {
    const begin = { clock: 0, rotorSpeed: 1.01 * START };
    const { parameters, rotorSpeed } = estimateDrive(
      logOf(truth),
      begin,
      parametersFrom([1700, 0.44]),
      drivenBy,
      40,
    );
    expectWithin(rotorSpeed, START, 1e-4);
    expectWithin(parameters[0]!.estimate.value, TRUTH[0], 1e-3);
  });

  it('have intervals that cover the truth in about 95 of 100 repeats', () => {
    // Fewer than 88 of 100 true 95 % intervals cover with a probability of 0.15 % (binomial).
    const hits = [0, 0];
    for (let seed = 0; seed < 100; seed++) {
      // From near the truth and with no search: what is counted is the intervals.
      const filed = parametersFrom([TRUTH[0] + 5, TRUTH[1] + 0.001]);
      const { parameters } = estimateDrive(noisyLog(900 + seed), BEGIN, filed, drivenBy, 0);
      for (const [k, { estimate }] of parameters.entries()) {
        if (covers(estimate, TRUTH[k]!)) hits[k]!++;
        expect(estimate.halfWidth).toBeLessThan(0.05 * TRUTH[k]!);
      }
    }
    for (const hit of hits) expect(hit, `${hits}`).toBeGreaterThanOrEqual(88);
  });

  it('have a correlation with each other, and channels with the noise that was put on', () => {
    const filed = parametersFrom([1700, 0.44]);
    const found = estimateDrive(noisyLog(5), BEGIN, filed, drivenBy, 40);
    expect(found.correlation[0]![0]).toBe(1);
    expect(Math.abs(found.correlation[0]![1]!)).toBeLessThan(1);
    expectWithin(found.correlation[0]![1]!, found.correlation[1]![0]!, 1e-9);
    const deviation = (name: string) =>
      found.channels.find(({ channel }) => channel === name)!.deviation;
    expectWithin(deviation('rotor_speed'), 20 * RPM, 0.15);
    expectWithin(deviation('fuel'), 0.02 * GRAM, 0.15);
  });

  it('are refused where the log says nothing of them', () => {
    const blind = { ...logOf(truth), fuel: undefined, rotorSpeed: undefined };
    const speedless = () => estimateDrive(blind, BEGIN, parametersFrom([1700, 0.44]), drivenBy, 0);
    expect(speedless).toThrow(NoFit);
    // Without fuel nothing is known of the efficiency.
    const dry = { ...logOf(truth), fuel: undefined };
    const unknown = () => estimateDrive(dry, BEGIN, parametersFrom([1700, 0.44]), drivenBy, 0);
    expect(unknown).toThrow(NoFit);
  });
});
