import { describe, expect, it } from 'vitest';
import { UniformCurve } from '../../src/physics/curve.ts';
import {
  dragTorque,
  type Rotor,
  type RotorMotion,
  rotorEnergy,
  rotorSpeed,
  turnByPower,
  turnByTorque,
} from '../../src/physics/rotor.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';

function rotorWith(c0: number, c1: number, c2: number, inertia = 0.05): Rotor {
  return {
    inertia,
    minSpeed: 1000,
    maxSpeed: 4000,
    drag: { form: 'coefficients', c0, c1, c2 },
  };
}

const newMotion = (): RotorMotion => ({ endSpeed: 0, meanSpeed: 0, dragLoss: 0 });

describe('the energy of a rotor', () => {
  it('is half its inertia times the square of its speed', () => {
    // 0.5 · 0.05 · 4000²
    expectWithin(rotorEnergy(rotorWith(0, 0, 0), 4000), 400_000, 1e-15);
    expectWithin(rotorSpeed(rotorWith(0, 0, 0), 400_000), 4000, 1e-15);
    expect(rotorSpeed(rotorWith(0, 0, 0), 0)).toBe(0);
  });
});

describe('the drag torque', () => {
  it('is a polynomial of the speed', () => {
    // 0.01 + 2e-5 · 1000 + 3e-8 · 1000²
    expectWithin(dragTorque(rotorWith(0.01, 2e-5, 3e-8), 1000), 0.06, 1e-14);
  });

  it('may be read from a curve', () => {
    const torque = new UniformCurve(4000, 5, (speed) => speed / 1000);
    const rotor: Rotor = { ...rotorWith(0, 0, 0), drag: { form: 'curve', torque } };
    expect(dragTorque(rotor, 2500)).toBe(2.5);
  });
});

describe('a rotor under a torque', () => {
  it('gains torque times time over inertia, where nothing drags', () => {
    const motion = newMotion();
    turnByTorque(rotorWith(0, 0, 0), 1000, 10, 2, motion);
    // 10 N m · 2 s / 0.05 kg m² = 400 rad/s
    expect(motion).toEqual({ endSpeed: 1400, meanSpeed: 1200, dragLoss: 0 });
  });

  it('can be spun up from rest', () => {
    const motion = newMotion();
    turnByTorque(rotorWith(0.5, 0, 0), 0, 10, 1, motion);
    // (10 − 0.5) / 0.05
    expectWithin(motion.endSpeed, 190, 1e-14);
    expectWithin(motion.dragLoss, 0.5 * 95, 1e-14);
  });

  it('does the drag’s work at the drag of the predicted mean speed', () => {
    const motion = newMotion();
    turnByTorque(rotorWith(0, 1e-3, 0), 1000, 0, 1, motion);
    // drag 1 N m at the start: predicted mean 1000 − 0.5 · 20 = 990; drag there 0.99 N m;
    // end 1000 − 19.8 = 980.2; mean 990.1; loss 0.99 · 990.1
    expectWithin(motion.endSpeed, 980.2, 1e-14);
    expectWithin(motion.meanSpeed, 990.1, 1e-14);
    expectWithin(motion.dragLoss, 980.199, 1e-14);
  });

  it('comes to rest within the interval and is not turned backwards by its drag', () => {
    const motion = newMotion();
    turnByTorque(rotorWith(1, 0, 0), 10, 0, 5, motion);
    // 20 rad/s² would stop it in half a second; all of 0.5 · 0.05 · 10² = 2.5 J becomes heat
    expect(motion.endSpeed).toBe(0);
    expectWithin(motion.dragLoss, 2.5, 1e-14);
  });

  it('stays at rest at rest', () => {
    const motion = newMotion();
    turnByTorque(rotorWith(1, 1e-3, 1e-6), 0, 0, 1, motion);
    expect(motion).toEqual({ endSpeed: 0, meanSpeed: 0, dragLoss: 0 });
  });
});

describe('a rotor under a power', () => {
  it('gains power times time, where nothing drags', () => {
    const motion = newMotion();
    turnByPower(rotorWith(0, 0, 0), 1000, 11_000, 1, motion);
    // 25 000 + 11 000 = 36 000 J; √(36 000 / 0.025) = 1200 rad/s
    expectWithin(motion.endSpeed, 1200, 1e-14);
    expectWithin(motion.meanSpeed, 1100, 1e-14);
    expect(motion.dragLoss).toBe(0);
  });

  it('loses drag times mean speed', () => {
    const motion = newMotion();
    turnByPower(rotorWith(2, 0, 0), 1000, 13_000, 1, motion);
    // predicted end: 25 000 + 13 000 − 2 · 1000 = 36 000 J, 1200 rad/s; loss 2 · 1100 = 2200 J
    expectWithin(motion.dragLoss, 2200, 1e-14);
    expectWithin(motion.endSpeed, Math.sqrt(35_800 / 0.025), 1e-14);
  });

  it('ends at rest, not below, when drag would take more than there is', () => {
    const motion = newMotion();
    turnByPower(rotorWith(5, 0, 0), 20, 0, 10, motion);
    expect(motion.endSpeed).toBe(0);
    expectWithin(motion.dragLoss, 0.5 * 0.05 * 400, 1e-14);
  });
});

describe('the energy of any motion', () => {
  it('is accounted for to the last rounding', () => {
    const random = seeded(71);
    const worst = new Worst();
    const motion = newMotion();
    for (let i = 0; i < 10_000; i++) {
      const rotor = rotorWith(
        between(random, 0, 0.3),
        between(random, 0, 1e-4),
        between(random, 0, 1e-7),
        between(random, 0.005, 2),
      );
      const start = random() < 0.1 ? 0 : between(random, 0, 7000);
      const dt = between(random, 0.01, 5);
      const held = rotorEnergy(rotor, start);
      const byTorque = random() < 0.5;
      let given: number;
      if (byTorque) {
        const torque = between(random, -0.3, 1) * (held / (7000 * dt) + 1);
        turnByTorque(rotor, start, torque, dt, motion);
        given = torque * motion.meanSpeed * dt;
      } else {
        const power = (between(random, -0.9, 1) * held) / dt;
        turnByPower(rotor, start, power, dt, motion);
        given = power * dt;
      }
      const change = rotorEnergy(rotor, motion.endSpeed) - held;
      const moved = held + Math.abs(given) + Math.abs(motion.dragLoss) + 1e-9;
      const open = Math.abs(given - motion.dragLoss - change) / moved;
      worst.see(open, () => `case ${i}, by ${byTorque ? 'torque' : 'power'} from ${start} rad/s`);
    }
    worst.expectAtMost(1e-14);
  });
});

/** Speed after a time in n equal steps. */
function after(
  rotor: Rotor,
  start: number,
  time: number,
  steps: number,
  turn: typeof turnByTorque,
  drive: number,
): number {
  const motion = newMotion();
  let speed = start;
  for (let i = 0; i < steps; i++) {
    turn(rotor, speed, drive, time / steps, motion);
    speed = motion.endSpeed;
  }
  return speed;
}

/** Order from the errors at n and 2 n steps. */
function orderOf(solve: (steps: number) => number, exact: number, steps: number): number {
  return Math.log2(Math.abs(solve(steps) - exact) / Math.abs(solve(2 * steps) - exact));
}

describe('the update of the rotor', () => {
  // Closed forms of J dω/dt = M − drag over 200 s, from 3000 rad/s, J = 0.05 kg m².
  const start = 3000;
  const time = 200;
  const inertia = 0.05;

  it('is of second order where drag grows with speed and a torque spins up', () => {
    const c1 = 3e-4;
    const torque = 1.5;
    const rate = c1 / inertia;
    const settled = torque / c1;
    const exact = settled + (start - settled) * Math.exp(-rate * time);
    const solve = (steps: number) =>
      after(rotorWith(0, c1, 0, inertia), start, time, steps, turnByTorque, torque);
    for (const steps of [20, 40, 80]) {
      expect(Math.abs(orderOf(solve, exact, steps) - 2)).toBeLessThan(0.2);
    }
  });

  it('is of second order where drag grows with the square of speed', () => {
    const c2 = 1e-7;
    const exact = start / (1 + (c2 / inertia) * start * time);
    const solve = (steps: number) =>
      after(rotorWith(0, 0, c2, inertia), start, time, steps, turnByTorque, 0);
    for (const steps of [20, 40, 80]) {
      expect(Math.abs(orderOf(solve, exact, steps) - 2)).toBeLessThan(0.2);
    }
  });

  it('is of second order under a power, where drag grows with speed', () => {
    // dE/dt = P − 2 c1 E / J
    const c1 = 3e-4;
    const rate = (2 * c1) / inertia;
    for (const power of [-100, 3000]) {
      const settled = power / rate;
      const rotor = rotorWith(0, c1, 0, inertia);
      const held = rotorEnergy(rotor, start);
      const exact = rotorSpeed(rotor, settled + (held - settled) * Math.exp(-rate * time));
      const solve = (steps: number) => after(rotor, start, time, steps, turnByPower, power);
      for (const steps of [20, 40, 80]) {
        expect(Math.abs(orderOf(solve, exact, steps) - 2)).toBeLessThan(0.2);
      }
    }
  });

  it('is of second order under a power, where drag does not change with speed', () => {
    // J ω dω/dt = P − c0 ω: t = (J/c0) [ω0 − ω − (P/c0) ln((P − c0 ω)/(P − c0 ω0))]
    const c0 = 0.5;
    const power = -400;
    const end = 1500;
    const duration =
      (inertia / c0) *
      (start - end - (power / c0) * Math.log((power - c0 * end) / (power - c0 * start)));
    const rotor = rotorWith(c0, 0, 0, inertia);
    const solve = (steps: number) => after(rotor, start, duration, steps, turnByPower, power);
    for (const steps of [20, 40, 80]) {
      expect(Math.abs(orderOf(solve, end, steps) - 2)).toBeLessThan(0.2);
    }
  });

  it('is exact where drag does not change with speed and nothing else acts', () => {
    // 0.2 N m for 200 s: 3000 − 800
    const rotor = rotorWith(0.2, 0, 0, inertia);
    expectWithin(after(rotor, start, time, 7, turnByTorque, 0), 2200, 1e-13);
  });

  it('spins down alike by torque and by power, to second order', () => {
    const rotor = rotorWith(0.05, 5e-5, 1e-8, inertia);
    const difference = (steps: number) =>
      after(rotor, start, time, steps, turnByTorque, 0) -
      after(rotor, start, time, steps, turnByPower, 0);
    expect(Math.abs(Math.log2(difference(40) / difference(80)) - 2)).toBeLessThan(0.2);
    expect(Math.abs(difference(200))).toBeLessThan(1e-5 * start);
  });
});
