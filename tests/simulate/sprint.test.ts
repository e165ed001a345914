import { describe, expect, it } from 'vitest';
import { loadCar, loadStore } from '../../src/config/load.ts';
import { KMH } from '../../src/config/units.ts';
import { axleLoad } from '../../src/physics/axle.ts';
import { Curve } from '../../src/physics/curve.ts';
import { LIMIT } from '../../src/physics/limit.ts';
import type { Store } from '../../src/physics/store.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { ENGINE_LIMIT } from '../../src/simulate/engine-limit.ts';
import {
  SPRINT_STEP,
  type SprintFigures,
  type SprintLabel,
  type StoreFigures,
  sprint,
  startPassing,
} from '../../src/simulate/sprint.ts';
import { FullLoadDrive, type SprintDrive } from '../../src/simulate/sprint-drive.ts';
import { driveOnStore, recharge } from '../../src/simulate/sprint-steady.ts';
import type { Step } from '../../src/simulate/step.ts';
import { SPRINT_LINES, sprintLines } from '../../src/summary/sprint-ledger-lines.ts';
import { plainCar, plainStore } from '../fixtures.ts';
import { between, oneOf, seeded } from '../seeded.ts';
import { expectWithin, Worst } from '../within.ts';
import { pointMass, STEP, standingStart } from './point-mass.ts';

const CARS = ['saloon', 'estate', 'compact', 'van', 'bus'];
const STORES = ['rim-45', 'rim-60', 'large', 'stepped', 'ideal'];
const CONDITIONS = { sine: 0, engineOffSpeed: 50 * KMH, cruiseSpeed: 80 * KMH };

/** Every figure of a sprint that is reported, by name. */
function figuresOf(car: Car, store: Store, step: number): Map<string, number | undefined> {
  const { without, empty, half, full } = sprint(car, store, { ...CONDITIONS, step });
  const all: [string, SprintFigures][] = Object.entries({ without, empty, half, full });
  return new Map(
    all.flatMap(([name, figures]) => {
      const drives: [string, SprintDrive][] = [
        ['start', figures.standingStart],
        ['overtaking', figures.overtaking],
      ];
      const { peakGain, engineOff, recharge: filled } = figures as Partial<StoreFigures>;
      return [
        ...drives.flatMap(([drive, { passings, boostTime, ledger }]) => [
          ...passings.flatMap((passing, i): [string, number | undefined][] => [
            [`${name} ${drive} ${i} time`, passing?.time],
            [`${name} ${drive} ${i} speed`, passing?.speed],
            [`${name} ${drive} ${i} distance`, passing?.distance],
          ]),
          [`${name} ${drive} boost`, boostTime] as [string, number],
          [`${name} ${drive} assisted`, ledger.assisted] as [string, number],
        ]),
        [`${name} start grade`, figures.startGrade],
        [`${name} grade at 80`, figures.overtakingGrade],
        [`${name} peak gain`, peakGain?.acceleration],
        [`${name} engine off`, engineOff?.time],
        [`${name} recharge`, filled?.time],
      ] as [string, number | undefined][];
    }),
  );
}

/** A drive of the plain car with all its intervals. */
function watched(car: Car, store: Store | undefined, rotorSpeed: number, adhesion = 0.9) {
  const rows: { step: Step; distance: number; engineLimit: number }[] = [];
  const drive = new FullLoadDrive(
    store === undefined ? car : fitStore(car, store),
    store,
    { sine: 0, adhesion },
    { speed: 0, rotorSpeed },
    [{ speed: 120 * KMH }],
    STEP,
    (step, distance, engineLimit) => rows.push({ step: { ...step }, distance, engineLimit }),
  ).run();
  return { drive, rows };
}

describe('a sprint', () => {
  it.each(CARS)(
    'moves by less than a thousandth when its step is halved: %s with every store',
    async (name) => {
      const car = (await loadCar(name)).value;
      const worst = new Worst();
      for (const storeName of STORES) {
        const store = (await loadStore(storeName)).value;
        const whole = figuresOf(car, store, SPRINT_STEP);
        const halved = figuresOf(car, store, SPRINT_STEP / 2);
        for (const [figure, value] of whole) {
          const other = halved.get(figure);
          expect(value === undefined, figure).toBe(other === undefined);
          if (value === undefined || other === undefined || value === other) continue;
          worst.see(Math.abs(value / other - 1), () => `${name} ${storeName} ${figure}`);
        }
      }
      worst.expectAtMost(1e-3);
    },
  );

  it.each(CARS)('leaves no joule out: engine + store = gained + lost: %s', async (name) => {
    const car = (await loadCar(name)).value;
    const result = sprint(car, (await loadStore('rim-60')).value, { ...CONDITIONS, sine: 0.03 });
    for (const { standingStart: start, overtaking } of Object.values(result)) {
      for (const { ledger } of [start, overtaking]) {
        for (const part of ['drive', 'store'] as const) {
          const values: Record<string, number> = sprintLines(part, ledger, 1);
          let imbalance = 0;
          let moved = 0;
          for (const [key, { side }] of Object.entries(SPRINT_LINES[part])) {
            imbalance += side === 'in' ? values[key]! : -values[key]!;
            moved += Math.abs(values[key]!);
          }
          expect(Math.abs(imbalance)).toBeLessThanOrEqual(1e-9 * moved);
        }
      }
    }
  });

  it('does not know a store that weighs nothing and may do nothing', () => {
    const idle: Store = { ...plainStore, mass: 0, auxiliaryPower: 0, powerLimit: 1e-9 };
    const { without, full } = sprint(plainCar, idle, CONDITIONS);
    for (const name of ['kmh50', 'kmh100', 'km1'] as const) {
      const alone = startPassing(without.standingStart, name)!.time;
      expectWithin(startPassing(full.standingStart, name)!.time, alone, 1e-9);
    }
    expectWithin(full.startGrade!, without.startGrade!, 1e-9);
  });

  it('is the quicker the fuller the store, and slower with an empty one than without', () => {
    const { without, empty, half, full } = sprint(plainCar, plainStore, CONDITIONS);
    const time = ({ standingStart: start }: SprintFigures) => startPassing(start, 'kmh100')!.time;
    expect(time(empty)).toBeGreaterThan(time(without));
    expect(time(half)).toBeLessThan(time(without));
    expect(time(full)).toBeLessThanOrEqual(time(half));
    expect(full.standingStart.boostTime).toBeGreaterThan(half.standingStart.boostTime);
    expect(full.peakGain!.acceleration).toBeGreaterThan(1);
    expect(empty.standingStart.boostTime).toBe(0);
  });

  it('tells each interval once, in order, whatever the drive', () => {
    const ends = new Map<string, number>();
    sprint(plainCar, plainStore, CONDITIONS, (label: SprintLabel, step) => {
      const key = `${label.manoeuvre} ${label.store}`;
      const before = ends.get(key) ?? 0;
      expect(Math.abs(step.time - before)).toBeLessThan(1e-9);
      expect(step.dt).toBeGreaterThan(0);
      ends.set(key, step.time + step.dt);
    });
    expect(ends.size).toBe(8);
  });
});

describe('a launch', () => {
  it('is held by the tyres of the driven axle with the load that acceleration puts on it', () => {
    const { rows } = watched(plainCar, undefined, 0, 0.4);
    const held = rows.filter(({ engineLimit }) => engineLimit === ENGINE_LIMIT.adhesion);
    expect(held.length).toBeGreaterThan(100);
    for (const { step } of held) {
      const load = axleLoad(plainCar.axles, 'front', plainCar.mass, step.acceleration, 0);
      expectWithin(step.wheel / step.speed, 0.4 * load, 1e-9);
    }
  });

  it('slips until the engine has caught up, engine speed held', () => {
    const weak = {
      ...plainCar,
      engine: { ...plainCar.engine, fullLoad: new Curve([0, 600], [90, 90]) },
    };
    const { rows } = watched(weak, undefined, 0);
    const slipping = rows.filter(({ engineLimit }) => engineLimit === ENGINE_LIMIT.launchSlip);
    expect(slipping.length).toBeGreaterThan(10);
    for (const { step } of slipping) {
      expect(step.engineSpeed).toBe(weak.sprint.launchSpeed);
      expect(step.launchSlip).toBeGreaterThan(0);
    }
    // At constant torque and speed of the engine half of what goes into a launch from rest is slip,
    // whatever resists: slip and work at the wheels are ∫ T (ω_e − ω) and ∫ T ω, with ω rising evenly.
    const sum = (of: (step: Step) => number) =>
      slipping.reduce((total, { step }) => total + of(step) * step.dt, 0);
    const through = sum((step) => step.engineBrake - step.launchSlip - step.accessories);
    expectWithin(
      sum((step) => step.launchSlip),
      through,
      1e-2,
    );
    const closing = slipping.at(-1)!.step;
    expectWithin(closing.time + closing.dt, rows[slipping.length]!.step.time, 1e-9);
  });

  it('without pull ends at once and says so', () => {
    const steep = standingStart(plainCar, [{ speed: 10 }], 0.7);
    expect(steep.end).toBe('stuck');
    expect(steep.passings).toEqual([undefined]);
    expect(steep.closure).toBe(0);
  });
});

describe('changes of gear', () => {
  it('leave the wheels without the engine for the time of the car file, and the store to itself', () => {
    for (const store of [undefined, plainStore]) {
      const { rows } = watched(plainCar, store, plainStore.rotor.maxSpeed);
      const gaps = rows.filter(({ engineLimit }) => engineLimit === ENGINE_LIMIT.gearChange);
      const gears = new Set(gaps.map(({ step }) => step.gear));
      expect([...gears]).toEqual([2, 3, 4]);
      for (const gear of gears) {
        const time = gaps
          .filter(({ step }) => step.gear === gear)
          .reduce((total, { step }) => total + step.dt, 0);
        expectWithin(time, plainCar.sprint.shiftTime, 1e-9);
      }
      for (const { step } of gaps) {
        expect(step.engineWheel).toBe(0);
        expect(step.clutched).toBe(false);
      }
      if (store !== undefined) expect(gaps[0]!.step.store).toBeGreaterThan(0);
    }
  });

  it('cost nothing but the rotation of the engine where they take no time', () => {
    const quick = { ...plainCar, sprint: { ...plainCar.sprint, shiftTime: 0 } };
    const goals = [{ speed: 100 * KMH }];
    const slow = standingStart(plainCar, goals);
    const fast = standingStart(quick, goals);
    const changes = slow.engineLimitTime[ENGINE_LIMIT.gearChange]! / plainCar.sprint.shiftTime;
    expect(fast.engineLimitTime[ENGINE_LIMIT.gearChange]).toBe(0);
    expect(fast.ledger.shiftLoss).toBeGreaterThan(0);
    const lost = slow.passings[0]!.time - fast.passings[0]!.time;
    expect(lost).toBeGreaterThan(0.9 * changes * plainCar.sprint.shiftTime);
    expect(lost).toBeLessThan(1.3 * changes * plainCar.sprint.shiftTime);
  });

  it('come where the next gear pulls harder, or at the greatest speed of the engine', () => {
    const { rows } = watched(plainCar, undefined, 0);
    const fastest = Math.max(...rows.map(({ step }) => step.engineSpeed));
    expect(fastest).toBeLessThanOrEqual(plainCar.engine.maxSpeed * (1 + 1e-9));
    for (let i = 1; i < rows.length; i++) {
      const { step } = rows[i]!;
      if (step.gear === rows[i - 1]!.step.gear) continue;
      const next = rows
        .slice(i)
        .find(({ engineLimit }) => engineLimit !== ENGINE_LIMIT.gearChange)!;
      const before = rows[i - 1]!.step;
      const isAtTop = before.engineSpeed > 0.99 * plainCar.engine.maxSpeed;
      const force = ({ engineWheel, speed }: Step) => engineWheel / speed;
      expect(isAtTop || force(next.step) > 0.95 * force(before)).toBe(true);
    }
  });

  it('end in the gear whose engine turns as fast as it may, which then holds the speed', () => {
    const car = pointMass({ mass: 1000, force: 5000, power: 500_000 });
    const drive = standingStart(car, [{ speed: 150 }, { distance: 5000 }]);
    expect(drive.end).toBe('settled');
    expectWithin(drive.endSpeed, 100, 1e-9);
    expect(drive.engineLimitTime[ENGINE_LIMIT.revLimit]).toBeGreaterThan(10);
    expect(drive.passings[0]).toBeUndefined();
    // 5 m/s² for 20 s and 1 km, then 100 m/s.
    expectWithin(drive.passings[1]!.time, 20 + 4000 / 100, 1e-6);
  });
});

describe('the store in a sprint', () => {
  const { rows, drive } = watched(plainCar, plainStore, plainStore.rotor.maxSpeed);

  it('stays within every limit of its own', () => {
    const fitted = fitStore(plainCar, plainStore);
    for (const { step } of rows) {
      const force = step.store / step.speed;
      expect(step.store).toBeLessThanOrEqual(plainStore.powerLimit * (1 + 1e-9));
      expect(force * plainCar.tyreRadius).toBeLessThanOrEqual(
        plainStore.axleTorqueLimit * (1 + 1e-9),
      );
      const load = axleLoad(fitted.axles, 'rear', fitted.mass, step.acceleration, 0);
      expect(force).toBeLessThanOrEqual(plainStore.adhesionLimit * load * (1 + 1e-9));
    }
  });

  it('names what holds it: torque first, power later, at last its energy or ratio', () => {
    const limits = rows.map(({ step }) => step.limit);
    expect(limits[0]).toBe(LIMIT.torque);
    expect(limits.indexOf(LIMIT.power)).toBeGreaterThan(0);
    expect([LIMIT.empty, LIMIT.ratio]).toContain(limits.at(-1));
  });

  it('ends its boost at the instant at which it has no more to give', () => {
    expect(drive.boostEnded).toBe(true);
    const last = rows.findLastIndex(({ step }) => step.time < drive.boostTime - 1e-9);
    expect(rows[last]!.step.store).toBeGreaterThan(0.9 * plainStore.powerLimit);
    const rest = rows.slice(last + 1).reduce((sum, { step }) => sum + step.store * step.dt, 0);
    expect(rest).toBeLessThan(1e-3 * drive.ledger.assisted);
  });

  it('on the driven axle gets what the engine leaves of the tyres', () => {
    const car = { ...plainCar, sprint: { ...plainCar.sprint, driven: 'rear' as const } };
    const fitted = fitStore(car, plainStore);
    const driven = watched(car, plainStore, plainStore.rotor.maxSpeed, 0.5);
    const held = driven.rows.filter(({ engineLimit }) => engineLimit === ENGINE_LIMIT.adhesion);
    expect(held.length).toBeGreaterThan(50);
    for (const { step } of held) {
      expect(step.limit).toBe(LIMIT.adhesion);
      expect(step.store).toBeLessThan(1e-6 * plainStore.powerLimit);
    }
    for (const { step } of driven.rows) {
      const load = axleLoad(fitted.axles, 'rear', fitted.mass, step.acceleration, 0);
      expect(step.wheel / step.speed).toBeLessThanOrEqual(0.5 * load * (1 + 1e-9));
    }
  });
});

describe('a drive on the store alone', () => {
  const { rotor } = plainStore;
  /** No loss but its drag, which is none either: what is stored is what the road gets. */
  const lossless: Store = {
    ...plainStore,
    transmission: { type: 'ideal' },
    losses: { form: 'efficiency', share: 0 },
    rotor: { ...rotor, drag: { form: 'coefficients', c0: 0, c1: 0, c2: 0 } },
  };
  const fitted = fitStore(plainCar, lossless);
  const speed = 50 * KMH;
  const { rolling, square } = fitted.roadLoad;
  const usable = 0.5 * rotor.inertia * (rotor.maxSpeed ** 2 - rotor.minSpeed ** 2);

  it('lasts as long as its energy covers the road load', () => {
    const { time, done } = driveOnStore(fitted, lossless, 0, speed, rotor.maxSpeed);
    expectWithin(time * speed, usable / (rolling + square * speed * speed), 1e-6);
    expect(done).toBe(true);
  });

  it('does not begin where the road asks for more than its limits give', () => {
    const weak = { ...lossless, powerLimit: 1000 };
    const { time, limit, done } = driveOnStore(fitted, weak, 0, speed, rotor.maxSpeed);
    expect([time, limit, done]).toEqual([0, LIMIT.power, false]);
  });

  it('is undone by the engine at the power limit, in usable energy over power', () => {
    const { time, done } = recharge(fitted, lossless, 0, 80 * KMH, rotor.minSpeed);
    const spare = usable / time;
    expect(done).toBe(true);
    expect(spare).toBeLessThanOrEqual(lossless.powerLimit * (1 + 1e-9));
    expect(spare).toBeGreaterThan(10_000);
    expect(recharge(fitted, lossless, 0, 80 * KMH, rotor.maxSpeed).time).toBeLessThan(1e-9);
  });

  it('is not undone where the engine has nothing to spare', () => {
    expect(recharge(fitted, lossless, 0.5, 80 * KMH, rotor.minSpeed).done).toBe(false);
  });
});

it('holds for a car on both axles: no more than μ of its weight', () => {
  const car = { ...plainCar, sprint: { ...plainCar.sprint, driven: 'both' as const } };
  const { rows } = watched(car, plainStore, plainStore.rotor.maxSpeed, 0.3);
  const weight = fitStore(car, plainStore).mass * 9.806_65;
  const greatest = Math.max(...rows.map(({ step }) => step.wheel / step.speed));
  expectWithin(greatest, 0.3 * weight, 1e-6);
});

describe('any car, store and road', () => {
  it('gives finite figures and a closed ledger, however odd it is', () => {
    const random = seeded(20);
    const ends = new Set<string>();
    for (let k = 0; k < 30; k++) {
      const gears = oneOf(random, [1, 3, 6]);
      const scale = between(random, 0.2, 3);
      const car: Car = {
        ...plainCar,
        mass: between(random, 150, 8000),
        axles: { frontShare: between(random, 0.2, 0.8), heightRatio: between(random, 0.05, 0.9) },
        roadLoad: {
          rolling: between(random, 1, 2000),
          linear: between(random, 0, 3),
          square: between(random, 0, 3),
          wind: between(random, -25, 25),
        },
        gearbox: {
          ...plainCar.gearbox,
          ratios: plainCar.gearbox.ratios.slice(0, gears).map((ratio) => ratio * scale),
          efficiency: new Float64Array(gears).fill(between(random, 0.5, 1)),
          dragTorque: between(random, 0, 30),
        },
        engine: { ...plainCar.engine, inertia: between(random, 0.005, 2) },
        sprint: {
          driven: oneOf(random, ['front', 'rear', 'both']),
          tyreAdhesion: between(random, 0.05, 1.5),
          shiftTime: oneOf(random, [0, 1]) * between(random, 0, 3),
          launchSpeed: between(random, 85, 500),
        },
      };
      const store: Store = {
        ...plainStore,
        axle: oneOf(random, ['front', 'rear']),
        powerLimit: between(random, 1e3, 3e5),
        axleTorqueLimit: between(random, 10, 5000),
        adhesionLimit: between(random, 0.01, 1.2),
      };
      const drive = new FullLoadDrive(
        fitStore(car, store),
        store,
        { sine: oneOf(random, [0, between(random, -0.2, 0.4)]), adhesion: car.sprint.tyreAdhesion },
        { speed: oneOf(random, [0, between(random, 0, 40)]), rotorSpeed: store.rotor.maxSpeed },
        [{ speed: 30 }, { distance: 500 }],
        0.02,
      ).run();
      ends.add(drive.end);
      expect(Number.isFinite(drive.boostTime + drive.topSpeed + drive.duration)).toBe(true);
      expect(drive.closure).toBeLessThan(1e-9);
    }
    expect([...ends].toSorted()).toEqual(expect.arrayContaining(['reached', 'settled', 'stuck']));
  });
});
