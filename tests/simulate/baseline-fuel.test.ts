import { describe, expect, it } from 'vitest';
import { KMH, RPM } from '../../src/config/units.ts';
import type { Trace } from '../../src/cycle/trace.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { run } from '../../src/simulate/run.ts';
import { initialState } from '../../src/simulate/state.ts';
import { combine } from '../../src/strategy/combine.ts';
import { cycleNamed, plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

/**
 * Fuel of the plain car without a store, in joules, from the trace and the car's own figures alone.
 * Everything is energy here and nothing is shared with the simulator: a Willans engine burns
 * (work at the shaft + friction work) / e, and its rotation is paid when it rises; a leap at the start
 * of an interval takes nothing from the engine's limit.
 */
function fuelOf(trace: Trace): { fuel: number; shortfall: number } {
  const ratios = [3.9, 2.2, 1.45, 1.05, 0.81, 0.66].map((ratio) => (ratio * 3.3) / 0.316);
  const up = [18, 32, 48, 65, 85].map((speed) => speed * KMH);
  const down = [12, 25, 40, 55, 75].map((speed) => speed * KMH);
  const [idle, engagement, cut] = [800 * RPM, 1200 * RPM, 1100 * RPM];
  const torquePoints: [number, number][] = [
    [800, 150],
    [1250, 230],
    [1750, 340],
    [2500, 340],
    [3000, 330],
    [4000, 270],
    [4800, 190],
  ];
  const fullTorque = (speed: number) => {
    const rpm = speed / RPM;
    for (let i = 1; i < torquePoints.length; i++) {
      const [x1, y1] = torquePoints[i - 1]!;
      const [x2, y2] = torquePoints[i]!;
      if (rpm <= x2) return y1 + ((y2 - y1) * Math.max(rpm - x1, 0)) / (x2 - x1);
    }
    return 190;
  };
  // 1.3 bar and 0.25 bar for each 1000 1/min, 2 L: torque = p V / 4π
  const frictionTorque = (speed: number) =>
    ((1.3e5 + (0.25e5 * speed) / RPM / 1000) * 2e-3) / (4 * Math.PI);
  const efficiency = 0.97 * 0.98;
  const square = 0.5 * 1.2 * 0.29 * 2.25;

  let fuel = 0;
  let shortfall = 0;
  let gear = 0;
  let engine = idle;
  for (let k = 0; k + 1 < trace.time.length; k++) {
    const dt = trace.time[k + 1]! - trace.time[k]!;
    const [v1, v2] = [trace.speed[k]!, trace.speed[k + 1]!];
    const way = ((v1 + v2) / 2) * dt;
    const v = (v1 + v2) / 2;
    while (gear < 5 && v >= up[gear]!) gear++;
    while (gear > 0 && v < down[gear - 1]!) gear--;
    const ratio = ratios[gear]!;
    const wheelWork =
      1700 * 9.80665 * 0.0095 * way +
      (square * way * (v1 * v1 + v2 * v2)) / 2 +
      0.5 * 1750 * (v2 * v2 - v1 * v1);
    const alternator = (350 / 0.65) * dt;
    const angle = ratio * way; // turned by the gearbox input [rad]
    const inputDrag = 0.6 * angle;

    let [start, end] = [ratio * v1, ratio * v2];
    let turned = angle; // by the engine [rad]
    let work: number; // at the shaft, rotation apart
    if (wheelWork > 0) {
      [start, end] = [Math.max(start, engagement), Math.max(end, engagement)];
      if (ratio * v < engagement) {
        [start, end] = [engagement, engagement];
        turned = engagement * dt;
      }
    } else if (ratio * v < cut) {
      [start, end] = [idle, idle];
      turned = idle * dt;
    }
    const rise = 0.5 * 0.18 * (end ** 2 - start ** 2);
    const leap = 0.5 * 0.18 * (start ** 2 - Math.min(engine, start) ** 2);
    const speed = turned / dt;
    const friction = frictionTorque(speed) * turned;
    if (wheelWork > 0) {
      const most = (fullTorque(speed) * turned - alternator - rise) * (angle / turned) - inputDrag;
      const given = Math.min(wheelWork, most * efficiency);
      shortfall += wheelWork - given;
      work = (given / efficiency + inputDrag) * (turned / angle) + alternator + rise + leap;
      fuel += (work + friction) / 0.44;
    } else if (ratio * v < cut) {
      fuel += (alternator + friction) / 0.44;
    } else {
      work = wheelWork * efficiency + inputDrag + alternator + rise + leap;
      fuel += Math.max(work + friction, 0) / 0.44;
    }
    engine = end;
  }
  return { fuel, shortfall };
}

describe('the fuel of an affine engine without a store', () => {
  it.each([
    'nedc',
    'udds',
    'hwfet',
    'us06',
    'nycc',
    'jc08',
    'japan-10-15',
    'wltc-class2',
    'wltc-class3b',
  ])('on %s is that of a plain sum of energies over the trace', (name) => {
    const trace = cycleNamed(name);
    const demand = new Demand(plainCar, undefined, trace);
    const { ledger } = run(
      plainCar,
      undefined,
      demand,
      combine('as it is', {}),
      initialState(plainCar, undefined),
    );
    const own = fuelOf(trace);
    // The same arithmetic in another order, over some thousand intervals.
    expectWithin(ledger.fuel, own.fuel, 1e-11);
    expect(Math.abs(ledger.shortfall - own.shortfall)).toBeLessThan(1e-6);
  });
});
