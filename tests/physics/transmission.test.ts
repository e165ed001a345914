import { describe, expect, it } from 'vitest';
import {
  type Coupling,
  couple,
  lossShare,
  spinLoss,
  type Transmission,
} from '../../src/physics/transmission.ts';
import { between, seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';

function coupled(
  transmission: Transmission,
  rotorSpeed: number,
  axleSpeed: number,
  torquePerSpeed: number,
  power: number,
): Coupling {
  const coupling = { recoverShaft: 0, recoverCeiling: 0, assistShaft: 0, assistFloor: 0 };
  couple(transmission, rotorSpeed, axleSpeed, torquePerSpeed, power, coupling);
  return coupling;
}

describe('a variator', () => {
  it('joins the rotor anywhere between its two ends, and slips at the end it leaves', () => {
    const variator = { type: 'variator', low: 30, high: 180 } as const;
    // 20 rad/s at the axle: 600 to 3600 rad/s at the rotor, whatever the rotor does
    for (const rotorSpeed of [0, 2000, 6000]) {
      expect(coupled(variator, rotorSpeed, 20, 0.05, 10_000)).toEqual({
        recoverShaft: 600,
        recoverCeiling: 3600,
        assistShaft: 3600,
        assistFloor: 600,
      });
    }
  });
});

describe('an ideal transmission', () => {
  it('never slips and never ends', () => {
    expect(coupled({ type: 'ideal' }, 500, 20, 0.05, 10_000)).toEqual({
      recoverShaft: 0,
      recoverCeiling: Number.POSITIVE_INFINITY,
      assistShaft: Number.POSITIVE_INFINITY,
      assistFloor: 0,
    });
  });
});

describe('a stepped transmission', () => {
  const stepped = { type: 'stepped', ratios: Float64Array.of(50, 100, 200) } as const;
  const shafts = (rotorSpeed: number, torquePerSpeed: number, power: number) => {
    const { recoverShaft, recoverCeiling, assistShaft, assistFloor } = coupled(
      stepped,
      rotorSpeed,
      10,
      torquePerSpeed,
      power,
    );
    expect(recoverCeiling).toBe(recoverShaft);
    expect(assistFloor).toBe(assistShaft);
    return { recover: recoverShaft, assist: assistShaft };
  };
  // 10 rad/s at the axle: the steps turn at 500, 1000 and 2000 rad/s.

  it('recovers through the slowest step above the rotor: most torque, hence most energy', () => {
    expect(shafts(100, 100, 5000).recover).toBe(500);
    expect(shafts(700, 100, 5000).recover).toBe(1000);
    expect(shafts(1500, 100, 5000).recover).toBe(2000);
  });

  it('recovers through the next step where the nearest has too little room left', () => {
    // At 450 rad/s the 500 step could raise the mean speed by 50 rad/s, 0.05 N m s/rad: 2.5 N m;
    // 5000 W at 1000 rad/s are 5 N m.
    expect(shafts(450, 0.05, 5000).recover).toBe(1000);
    // With more inertia the room is 10 N m, as much as 5000 W at 500 rad/s.
    expect(shafts(450, 0.25, 5000).recover).toBe(500);
  });

  it('assists through the fastest step below the rotor: least torque, hence least energy', () => {
    expect(shafts(700, 100, 5000).assist).toBe(500);
    expect(shafts(1500, 100, 5000).assist).toBe(1000);
    expect(shafts(3000, 100, 5000).assist).toBe(2000);
  });

  it('assists through a slower step where the nearest cannot give the power', () => {
    // At 1050 rad/s the 1000 step gives 50 rad/s · 0.05 · 1000 rad/s = 2500 W of 5000 W,
    // the 500 step 550 · 0.05 · 500 = 13 750 W.
    expect(shafts(1050, 0.05, 5000).assist).toBe(500);
    expect(shafts(1050, 0.05, 2500).assist).toBe(1000);
  });

  it('assists through the step that gives most where none gives the power', () => {
    // 500 step: 550 · 0.05 · 500 = 13 750 W; 1000 step: 2500 W
    expect(shafts(1050, 0.05, 90_000).assist).toBe(500);
    // At 2500 rad/s: 500 step 50 kW, 1000 step 75 kW, 2000 step 50 kW
    expect(shafts(2500, 0.05, 90_000).assist).toBe(1000);
  });

  it('chooses as a search through all steps would', () => {
    const random = seeded(81);
    for (let i = 0; i < 3000; i++) {
      const ratios = Float64Array.from({ length: 4 }, (_, k) =>
        between(random, 20 * 2 ** k, 20 * 2 ** (k + 1)),
      );
      const axleSpeed = between(random, 1, 100);
      const rotorSpeed = between(random, 0, 6000);
      const perSpeed = between(random, 0.01, 0.5);
      const power = between(random, 0, 60_000);
      const found = coupled({ type: 'stepped', ratios }, rotorSpeed, axleSpeed, perSpeed, power);
      const steps = Array.from(ratios, (ratio) => ratio * axleSpeed);
      const torqueIn = (shaft: number) => Math.min(perSpeed * (shaft - rotorSpeed), power / shaft);
      if (steps.some((shaft) => shaft > rotorSpeed)) {
        expect(torqueIn(found.recoverShaft)).toBe(Math.max(...steps.map(torqueIn)));
      }
      const powerOut = (shaft: number) => Math.min(perSpeed * (rotorSpeed - shaft) * shaft, power);
      const most = Math.max(...steps.map(powerOut));
      expect(powerOut(found.assistShaft)).toBe(most);
      expect(found.assistShaft).toBe(
        Math.max(...steps.filter((shaft) => powerOut(shaft) === most)),
      );
    }
  });
});

describe('the share that is lost', () => {
  it('is the same everywhere for a constant efficiency', () => {
    const losses = { form: 'efficiency', share: 0.12 } as const;
    expect(lossShare(losses, 30)).toBe(0.12);
    expect(lossShare(losses, 180)).toBe(0.12);
    expect(spinLoss(losses, 50)).toBe(0);
  });

  it('grows with the distance from the best ratio, alike on both sides', () => {
    const losses = {
      form: 'model',
      share: 0.05,
      shareGrowth: 0.03,
      bestRatio: 60,
      spinTorque: 4,
    } as const;
    expect(lossShare(losses, 60)).toBe(0.05);
    // one e-fold: 0.05 + 0.03
    expectWithin(lossShare(losses, 60 * Math.E), 0.08, 1e-14);
    expectWithin(lossShare(losses, 60 / Math.E), 0.08, 1e-14);
    expect(lossShare({ ...losses, shareGrowth: 0 }, 180)).toBe(0.05);
  });

  it('stands beside a spin loss that grows with the speed of the axle', () => {
    const losses = {
      form: 'model',
      share: 0.05,
      shareGrowth: 0,
      bestRatio: 60,
      spinTorque: 4,
    } as const;
    // 4 N m · 50 rad/s
    expect(spinLoss(losses, 50)).toBe(200);
    expect(spinLoss(losses, 0)).toBe(0);
  });
});
