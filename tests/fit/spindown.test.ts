import { describe, expect, it } from 'vitest';
import { covers } from '../../src/fit/intervals.ts';
import { fitSpindown, LAWS, type LawName } from '../../src/fit/spindown.ts';
import { dragTorque, type Rotor, type RotorMotion, turnByTorque } from '../../src/physics/rotor.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { normal } from './coast-runs.ts';

const INERTIA = 0.03;
/** About 40 000 1/min [rad/s]. */
const TOP = 4200;

/** Coefficients that each make a drag of about 0.1 N m at the top. */
const SIZE = { c0: 0.05, c1: 1.2e-5, c2: 2.8e-9 } as const;

/**
 * A rotor that runs down in the simulator, in steps so small (0.1 s) that its second-order error is
 * far below the noise: a millionth of the speed.
 */
function spin(law: LawName, seconds: number, every: number, noise: () => number) {
  const drag = { form: 'coefficients', c0: 0, c1: 0, c2: 0 } as const;
  const chosen = Object.fromEntries(LAWS[law].map((name) => [name, SIZE[name]]));
  const rotor: Rotor = {
    inertia: INERTIA,
    minSpeed: 100,
    maxSpeed: 5000,
    drag: { ...drag, ...chosen },
  };
  const motion: RotorMotion = { endSpeed: 0, meanSpeed: 0, dragLoss: 0 };
  const time: number[] = [];
  const speed: number[] = [];
  let now = TOP;
  for (let k = 0; k * 0.1 <= seconds; k++) {
    if (k % (10 * every) === 0) {
      time.push(k * 0.1);
      speed.push(now + noise());
    }
    turnByTorque(rotor, now, 0, 0.1, motion);
    now = motion.endSpeed;
  }
  return { run: { time, speed }, rotor };
}

describe('a spin-down', () => {
  it.each(Object.keys(LAWS) as LawName[])('without noise gives back its own law: %s', (law) => {
    // A trace of noise, since no law is told from another by rounding.
    const random = seeded(1);
    const { run, rotor } = spin(law, 1200, 5, () => 0.01 * normal(random));
    const fit = fitSpindown(run, INERTIA);
    expect(fit.law).toBe(law);
    for (const name of LAWS[law]) {
      expectWithin(fit.coefficients[name]!.value, SIZE[name], 1e-4);
    }
    expectWithin(fit.torqueAtStart.value, dragTorque(rotor, TOP), 1e-4);
    expect(Object.keys(fit.coefficients)).toEqual([...LAWS[law]]);
  });

  it('tells what half-life that makes, and the simulator agrees', () => {
    const { run } = spin('constant and linear', 2000, 1, () => 0);
    const fit = fitSpindown(run, INERTIA);
    const reached = (share: number) => run.time[run.speed.findIndex((w) => w <= share * TOP)]!;
    // Samples are a second apart.
    expect(Math.abs(fit.halfSpeed.value - reached(0.5))).toBeLessThan(1);
    expect(Math.abs(fit.halfEnergy.value - reached(Math.SQRT1_2))).toBeLessThan(1);
  });

  it('has a torque in proportion to the inertia, and a half-life that does not know of it', () => {
    const { run } = spin('constant and quadratic', 1200, 5, () => 0);
    const [one, two] = [fitSpindown(run, INERTIA), fitSpindown(run, 2 * INERTIA)];
    expectWithin(two.coefficients.c0!.value, 2 * one.coefficients.c0!.value, 1e-6);
    expectWithin(two.halfEnergy.value, one.halfEnergy.value, 1e-6);
  });

  it('leaves laws with a negative coefficient out, and charges each coefficient', () => {
    const random = seeded(2);
    const { run } = spin('linear', 1200, 2, () => 2 * normal(random));
    const { law, laws } = fitSpindown(run, INERTIA);
    expect(law).toBe('linear');
    const other = laws.filter((one) => one.law !== 'linear');
    for (const one of other) {
      if (one.fault === undefined) expect(one.criterion, one.law).toBeGreaterThan(0);
      else expect(one.fault, one.law).toBe('negative');
    }
  });
});

// They hold for the law that is chosen: a log too short to tell the laws apart may get a wrong one.
describe('the intervals of a spin-down', () => {
  it.each([
    ['constant and linear', 900],
    ['constant and quadratic', 900],
    ['linear', 2700],
  ] as const)('cover the truth in about 95 of 100 repeats: %s', (law, seconds) => {
    // Fewer than 88 of 100 true 95 % intervals cover with a probability of 0.15 % (binomial).
    const names = LAWS[law];
    const hits = names.map(() => 0);
    let halves = 0;
    let chosen = 0;
    const truth = fitSpindown(spin(law, seconds, 1, () => 0).run, INERTIA).halfEnergy.value;
    for (let seed = 0; seed < 100; seed++) {
      const random = seeded(500 + seed);
      const { run } = spin(law, seconds, 10, () => 3 * normal(random));
      const fit = fitSpindown(run, INERTIA);
      if (fit.law === law) chosen++;
      if (covers(fit.halfEnergy, truth)) halves++;
      for (const [k, name] of names.entries()) {
        const interval = fit.coefficients[name];
        if (interval !== undefined && covers(interval, SIZE[name])) hits[k]!++;
      }
    }
    // A wrong law is chosen now and then, and is then counted as a miss.
    expect(chosen, 'law').toBeGreaterThanOrEqual(93);
    for (const hit of [...hits, halves]) expect(hit, `${hits}`).toBeGreaterThanOrEqual(88);
    const mean = hits.reduce((sum, hit) => sum + hit, 0) / hits.length;
    expect(mean).toBeLessThanOrEqual(99.5);
  });

  it('widen where the drag changes while the rotor runs', () => {
    const random = seeded(3);
    const { run } = spin('linear', 900, 2, () => 0.5 * normal(random));
    const steady = fitSpindown(run, INERTIA);
    const speed = run.speed.map((w, k) => w + 10 * Math.sin(k / 40));
    const wavy = fitSpindown({ ...run, speed }, INERTIA);
    expect(wavy.lagCorrelation).toBeGreaterThan(0.9);
    expect(wavy.torqueAtStart.halfWidth).toBeGreaterThan(50 * steady.torqueAtStart.halfWidth);
  });
});
