import { describe, expect, it } from 'vitest';
import { RPM } from '../../src/config/units.ts';
import { Curve } from '../../src/physics/curve.ts';
import { type Engine, frictionPower, fuelPower } from '../../src/physics/engine.ts';
import { breaksHold, gearByFuel } from '../../src/physics/gear-choice.ts';
import type { Gearbox, GearChoice } from '../../src/physics/gearbox.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { cycleNamed, plainCar } from '../fixtures.ts';
import { between, seeded } from '../seeded.ts';

type LeastFuel = Extract<GearChoice, { by: 'least-fuel' }>;

const choice: LeastFuel = {
  by: 'least-fuel',
  minSpeed: 120,
  maxSpeed: 320,
  torqueReserve: 0.2,
  minimumTime: 3,
};

/** 40, 20, 10 and 5 rad/s for each m/s on a tyre of 1 m; no losses but those of the engine. */
const gearbox: Gearbox = {
  ...plainCar.gearbox,
  ratios: Float64Array.of(40, 20, 10, 5),
  efficiency: new Float64Array(4).fill(1),
  finalDriveRatio: 1,
  finalDriveEfficiency: 1,
  dragTorque: 0,
};

/** 100 N m at any speed; friction grows with speed, so that a slower engine burns less. */
const engine: Engine = { ...plainCar.engine, fullLoad: new Curve([0, 1000], [100, 100]) };

const gearAt = (speed: number, wheelPower: number, rule: LeastFuel = choice) =>
  gearByFuel(gearbox, rule, engine, 1, speed, wheelPower);

describe('gear choice by fuel', () => {
  it('takes the slowest engine that is fast enough', () => {
    // 15 m/s: 600, 300, 150 and 75 rad/s, of which 300 and 150 are in the range
    expect(gearAt(15, 5000)).toBe(3);
  });

  it('leaves the reserve of torque: it changes down where less than a fifth would be free', () => {
    // gear 3 at 15 m/s gives 100 N m · 150 rad/s = 15 kW, with the reserve 12 kW
    expect(gearAt(15, 11_999)).toBe(3);
    expect(gearAt(15, 12_001)).toBe(2);
  });

  it('takes the gear with most power where none leaves the reserve', () => {
    expect(gearAt(15, 29_000)).toBe(2);
    expect(gearAt(15, 90_000)).toBe(2);
  });

  it('takes the highest gear in overrun', () => {
    expect(gearAt(15, -20_000)).toBe(3);
    expect(gearAt(15, 0)).toBe(3);
  });

  it('takes the first gear below the range of every gear', () => {
    // 1 m/s: 40 rad/s at most
    expect(gearAt(1, 500)).toBe(1);
    expect(gearAt(0, 0)).toBe(1);
  });

  it('takes the highest gear above the range of every gear', () => {
    // 70 m/s: 350 rad/s at least
    expect(gearAt(70, 30_000)).toBe(4);
    expect(gearAt(70, -30_000)).toBe(4);
  });

  it('takes the faster engine where the speed falls between the ranges of two gears', () => {
    // 15 m/s with 200 to 280 rad/s: gear 2 turns 300, gear 3 turns 150
    const narrow = { ...choice, minSpeed: 200, maxSpeed: 280 };
    expect(gearAt(15, 5000, narrow)).toBe(2);
    expect(gearAt(15, -5000, narrow)).toBe(2);
  });

  it('pays the losses of a gear: a lossy one is passed over for a faster engine', () => {
    const lossy = { ...gearbox, efficiency: Float64Array.of(1, 1, 0.47, 1) };
    // Friction is 3958 W in gear 3 and 9627 W in gear 2: 5600 / 0.47 + 3958 = 15 873 W and
    // 5600 + 9627 = 15 227 W; at 3600 W it is 11 618 W against 13 227 W.
    expect(gearByFuel(lossy, choice, engine, 1, 15, 5600)).toBe(2);
    expect(gearByFuel(lossy, choice, engine, 1, 15, 3600)).toBe(3);
  });

  it('pays the drag of the gearbox: no gear leaves a reserve for 81 of 100 N m, the strongest serves', () => {
    const dragging = { ...gearbox, dragTorque: 81 };
    expect(gearByFuel(dragging, choice, engine, 1, 15, 100)).toBe(2);
  });

  it('never burns more than any other gear that keeps range and reserve', () => {
    const random = seeded(51);
    const { engine: real, tyreRadius } = plainCar;
    const box = plainCar.gearbox;
    const rule = { ...choice, minSpeed: 1200 * RPM, maxSpeed: 3500 * RPM };
    let chosenAmongSeveral = 0;
    for (let i = 0; i < 2000; i++) {
      const speed = between(random, 1, 45);
      const wheel = between(random, 100, 80_000);
      const fuels = Array.from(box.ratios, (ratio, index) => {
        const turns = (ratio * box.finalDriveRatio * speed) / tyreRadius;
        const brake =
          wheel / (box.efficiency[index]! * box.finalDriveEfficiency) + box.dragTorque * turns;
        const reserve = (1 - rule.torqueReserve) * real.fullLoad.at(turns) * turns;
        if (turns < rule.minSpeed || turns > rule.maxSpeed || brake > reserve) return Infinity;
        const friction = frictionPower(real, turns);
        return fuelPower(real, turns, brake, friction, friction);
      });
      const possible = fuels.filter(Number.isFinite);
      if (possible.length === 0) continue;
      if (possible.length > 1) chosenAmongSeveral++;
      const gear = gearByFuel(box, rule, real, tyreRadius, speed, wheel);
      expect(fuels[gear - 1]).toBe(Math.min(...possible));
    }
    expect(chosenAmongSeveral).toBeGreaterThan(500);
  });
});

describe('a gear cannot be held', () => {
  const breaks = (gear: number, speed: number, wheel = 0) =>
    breaksHold(gearbox, choice, engine, gear, 1, speed, wheel);

  it('above the top of the engine’s range, and below its bottom in any gear but the first', () => {
    expect(breaks(2, 16)).toBe(false);
    expect(breaks(2, 16.1)).toBe(true);
    expect(breaks(2, 5.9)).toBe(true);
    expect(breaks(1, 1)).toBe(false);
  });

  it('when full load in it gives less than the wheels ask, but for the first gear', () => {
    const turns = (gearbox.ratios[1]! * gearbox.finalDriveRatio * 10) / 1;
    const most =
      (engine.fullLoad.at(turns) - gearbox.dragTorque) *
      turns *
      gearbox.efficiency[1]! *
      gearbox.finalDriveEfficiency;
    expect(breaks(2, 10, 0.999 * most)).toBe(false);
    expect(breaks(2, 10, 1.001 * most)).toBe(true);
    expect(breaks(1, 5, 1e9)).toBe(false);
  });
});

describe('the least time in gear', () => {
  const timeInGears = (minimumTime: number) => {
    const rule = { ...choice, minSpeed: 1200 * RPM, maxSpeed: 3500 * RPM, minimumTime };
    const car = { ...plainCar, gearbox: { ...plainCar.gearbox, choice: rule } };
    const demand = new Demand(car, undefined, cycleNamed('wltc-class3b'));
    const held = demand.block(0);
    expect(held).toBe(demand.count);
    const changes: { after: number; forced: boolean }[] = [];
    let since = 0;
    for (let i = 1; i < held; i++) {
      since += demand.dt[i - 1]!;
      const before = demand.gear[i - 1]!;
      if (demand.gear[i] === before) continue;
      const forced = breaksHold(
        car.gearbox,
        rule,
        car.engine,
        before,
        car.tyreRadius,
        demand.speed[i]!,
        demand.wheel[i]!,
      );
      changes.push({ after: since, forced });
      since = 0;
    }
    return changes.slice(1); // the gear at the start has been in for ever
  };

  it('is kept over a whole cycle, but where the engine would leave its range or lack power', () => {
    const changes = timeInGears(5);
    expect(changes.length).toBeGreaterThan(50);
    for (const change of changes) expect(change.forced || change.after >= 5).toBe(true);
    expect(changes.some((change) => change.forced && change.after < 5)).toBe(true);
    expect(changes.some((change) => !change.forced)).toBe(true);
  });

  it('makes for fewer changes the longer it is', () => {
    const counts = [0, 2, 5, 10].map((time) => timeInGears(time).length);
    expect(counts).toEqual([...counts].sort((a, b) => b - a));
    expect(counts[0]).toBeGreaterThan(counts[3]!);
  });
});
