import { traceFromSamples } from '../../src/cycle/samples.ts';
import type { Trace } from '../../src/cycle/trace.ts';
import { Curve, Table, UniformCurve } from '../../src/physics/curve.ts';
import { EngineMap, type FuelUse } from '../../src/physics/engine.ts';
import { FUELS } from '../../src/physics/fuel.ts';
import type { RoadLoad } from '../../src/physics/road-load.ts';
import type { RotorDrag } from '../../src/physics/rotor.ts';
import type { Store } from '../../src/physics/store.ts';
import type { Transmission, TransmissionLosses } from '../../src/physics/transmission.ts';
import type { Car } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { Interval } from '../../src/simulate/interval.ts';
import type { State } from '../../src/simulate/state.ts';
import type { Step } from '../../src/simulate/step.ts';
import { type Behaviours, combine } from '../../src/strategy/combine.ts';
import type { Strategy, View, Want } from '../../src/strategy/contract.ts';
import { plainCar, plainChoices, plainStore } from '../fixtures.ts';
import { between, oneOf } from '../seeded.ts';

type Random = () => number;

/**
 * A car of round figures, for work by hand: 1000 kg and 100 kg of wheels, 200 N of rolling and no
 * air. Its gears turn the engine at 40, 20 and 10 rad/s for each m/s; 0.9 × 0.95 = 0.855 of the
 * power passes. Friction torque 20 N m + 0.1 N m for each rad/s; 200 N m at full load; efficiency 0.4.
 */
export const handCar: Car = {
  name: 'hand car',
  mass: 1000,
  rotatingMass: 100,
  tyreRadius: 0.25,
  roadLoad: { rolling: 200, linear: 0, square: 0, wind: 0 },
  axles: { frontShare: 0.5, heightRatio: 0.2 },
  gearbox: {
    ratios: Float64Array.of(4, 2, 1),
    efficiency: Float64Array.of(0.9, 0.9, 0.9),
    dragTorque: 2,
    finalDriveRatio: 2.5,
    finalDriveEfficiency: 0.95,
    choice: { by: 'thresholds', up: Float64Array.of(3, 9), down: Float64Array.of(2.5, 8) },
    launch: { device: 'clutch', engagementSpeed: 100, creepTorque: 0 },
  },
  engine: {
    fuel: FUELS.diesel,
    displacement: 4e-3 * Math.PI,
    idleSpeed: 80,
    maxSpeed: 600,
    inertia: 0.2,
    fullLoad: new Curve([0, 600], [200, 200]),
    frictionPressure0: 2e4,
    frictionPressure1: 100,
    fuelUse: { form: 'affine', efficiency: 0.4 },
    cutSpeed: 120,
    warmUp: { extra: 0, timeConstant: 200, noStopBefore: 0 },
    restart: { fuelEnergy: 1000, electricalEnergy: 3000, minimumOn: 3, minimumOff: 2 },
  },
  electrics: {
    load: 300,
    alternatorEfficiency: 0.6,
    batteryEfficiency: 0.8,
    rechargeLimit: 600,
    debtLimit: 10_000,
  },
  sprint: { driven: 'front', tyreAdhesion: 0.9, shiftTime: 0.5, launchSpeed: 100 },
};

/** A weightless store of round figures, 10 to 90 kJ, any ratio, one tenth lost in each transfer. */
export const handStore: Store = {
  mass: 0,
  axle: 'front',
  rotor: {
    inertia: 0.02,
    minSpeed: 1000,
    maxSpeed: 3000,
    drag: { form: 'coefficients', c0: 0, c1: 0, c2: 0 },
  },
  transmission: { type: 'ideal' },
  losses: { form: 'efficiency', share: 0.1 },
  powerLimit: 6000,
  axleTorqueLimit: 1e5,
  adhesionLimit: 10,
  brakeShareLimit: 1,
  frictionOnlyAbove: 100,
  auxiliaryPower: 0,
  initialSpeed: 2000,
};

/** One interval on its own: from speed to speed in a time, with all that matters at its start. */
export interface Single {
  readonly from: number;
  readonly to: number;
  readonly dt?: number;
  readonly climb?: number;
  readonly car?: Car;
  readonly store?: Store;
  readonly want?: Partial<Want>;
  readonly state?: Partial<State>;
}

/** How a single interval turned out: what the strategy saw, the step, and the state after it. */
export interface Outcome {
  readonly view: View;
  readonly step: Step;
  readonly state: State;
}

/** Looks at one interval and settles it; a warm engine that has run for long, unless said. */
export function single(given: Single): Outcome {
  const { from, to, dt = 1, climb = 0, car = handCar, store } = given;
  const trace: Trace = {
    name: 'single',
    time: Float64Array.of(0, dt),
    speed: Float64Array.of(from, to),
    climb: Float64Array.of(climb),
    level: Float64Array.of(Math.sqrt((0.5 * (from + to) * dt) ** 2 - climb * climb)),
  };
  const demand = new Demand(car, store, trace);
  demand.block(0);
  const state: State = {
    rotorSpeed: store?.initialSpeed ?? 0,
    engineOn: true,
    engineSpeed: Math.max(demand.inputStart[0]!, car.engine.idleSpeed),
    engineTime: 1000,
    runningTime: 1000,
    batteryDebt: 0,
    ...given.state,
  };
  const interval = new Interval(car, store);
  interval.look(demand, 0, state);
  const view = { ...interval.view };
  interval.settle({ storePower: 0, engineOn: true, clutched: true, ...given.want }, state);
  return { view, step: { ...interval.step }, state };
}

/** A trace on the flat from instants and speeds. */
export function flat(time: readonly number[], speed: readonly number[]): Trace {
  return traceFromSamples({
    name: 'flat',
    time: Float64Array.from(time),
    speed: Float64Array.from(speed),
  });
}

/** Pull away, drive, brake and stand, over and over: a day of town traffic in seconds of 1 s. */
export function stopAndGo(rounds: number, standing = 20): Trace {
  const time: number[] = [0];
  const speed: number[] = [0];
  for (let round = 0; round < rounds; round++) {
    for (let k = 1; k <= 15; k++) speed.push(k);
    for (let k = 0; k < 20; k++) speed.push(15);
    for (let k = 14; k >= 0; k--) speed.push(k);
    for (let k = 0; k < standing; k++) speed.push(0);
  }
  for (let k = 1; k < speed.length; k++) time.push(k);
  return flat(time, speed);
}

/** Intervals first … end − 1 of a trace. */
export function cut(trace: Trace, first: number, end: number): Trace {
  return {
    name: `${trace.name} ${first} to ${end}`,
    time: trace.time.slice(first, end + 1),
    speed: trace.speed.slice(first, end + 1),
    climb: trace.climb.slice(first, end),
    level: trace.level.slice(first, end),
  };
}

/**
 * A drive such as a logger brings home: uneven time steps of 0.05 to 2.5 s, accelerations within
 * ±4 m/s², stops of any length, hills of up to 10 %.
 */
export function unevenDrive(random: Random): Trace {
  const time = [1000 * random()];
  const speed = [0];
  const grade = [0];
  let target = 15;
  const count = 40 + Math.floor(160 * random());
  for (let k = 1; k <= count; k++) {
    const dt = between(random, 0.05, 2.5);
    if (k > 5 && random() < 0.15) target = random() < 0.35 ? 0 : between(random, 0, 38);
    const step = between(random, 0.2, 4) * dt;
    const last = speed[k - 1]!;
    time.push(time[k - 1]! + dt);
    speed.push(Math.max(0, last + Math.max(-step, Math.min(step, target - last))));
    const slope = grade[k - 1]! + 0.02 * (random() - 0.5);
    grade.push(Math.max(-0.1, Math.min(0.1, slope)));
  }
  return traceFromSamples({
    name: 'uneven',
    time: Float64Array.from(time),
    speed: Float64Array.from(speed),
    road: { kind: 'grade', grade: Float64Array.from(grade) },
  });
}

/** A car of any kind the model knows. */
export function anyCar(random: Random): Car {
  const { engine, gearbox, electrics } = plainCar;
  return {
    ...plainCar,
    mass: between(random, 900, 2600),
    rotatingMass: between(random, 0, 100),
    roadLoad: anyRoadLoad(random),
    axles: { frontShare: between(random, 0.4, 0.65), heightRatio: between(random, 0.1, 0.3) },
    gearbox: {
      ...gearbox,
      efficiency: Float64Array.from({ length: 6 }, () => between(random, 0.85, 1)),
      dragTorque: between(random, 0, 3),
      finalDriveEfficiency: between(random, 0.9, 1),
      choice: oneOf(random, [plainChoices.thresholds, plainChoices.leastFuel]),
      launch: oneOf(random, [
        gearbox.launch,
        { device: 'converter', engagementSpeed: 130, creepTorque: 15 },
      ]),
    },
    engine: {
      ...engine,
      inertia: between(random, 0.05, 0.4),
      fuelUse: anyFuelUse(random),
      cutSpeed: between(random, 100, 180),
      warmUp: oneOf(random, [
        engine.warmUp,
        { extra: 0.6, timeConstant: 80, noStopBefore: 20 },
        { extra: 0.3, timeConstant: 300, noStopBefore: 0 },
      ]),
      restart: {
        fuelEnergy: between(random, 0, 20e3),
        electricalEnergy: between(random, 2e3, 5e3),
        minimumOn: between(random, 0, 4),
        minimumOff: between(random, 0, 4),
      },
    },
    electrics: {
      ...electrics,
      load: between(random, 0, 800),
      rechargeLimit: between(random, 100, 2000),
      debtLimit: between(random, 5e3, 300e3),
    },
  };
}

function anyRoadLoad(random: Random): RoadLoad {
  const square = between(random, 0.3, 0.6);
  return oneOf<() => RoadLoad>(random, [
    () => ({ rolling: between(random, 80, 250), linear: 0, square, wind: 0 }),
    () => ({
      rolling: between(random, 50, 200),
      linear: between(random, -1, 4),
      square,
      wind: 0,
    }),
    () => ({
      rolling: between(random, 80, 250),
      linear: 0,
      square,
      wind: between(random, -15, 15),
    }),
  ])();
}

/** A measured map made of the affine form with a hump, coarse enough to be left at its edges. */
export function humpedMap(): EngineMap {
  const speeds = [90, 150, 220, 320, 420];
  const torques = [10, 60, 140, 240, 310];
  const fuel = speeds.flatMap((speed) =>
    torques.map((torque) => {
      const friction = (20 + 0.05 * speed) * speed;
      return (torque * speed + friction) / (0.42 - 0.0002 * Math.abs(torque - 200));
    }),
  );
  return new EngineMap(new Table(speeds, torques, fuel));
}

function anyFuelUse(random: Random): FuelUse {
  return oneOf<() => FuelUse>(random, [
    () => ({ form: 'affine', efficiency: between(random, 0.35, 0.46) }),
    () => ({ form: 'table', map: humpedMap() }),
    () => ({
      form: 'function',
      fuelPower: (_speed, brake, friction) =>
        (brake + friction) * (2.3 + 1e-6 * (brake + friction)),
    }),
  ])();
}

/** A store of any kind the model knows, at rest, below, within or at the top of its range. */
export function anyStore(random: Random): Store {
  const { rotor } = plainStore;
  return {
    ...plainStore,
    mass: between(random, 0, 120),
    axle: oneOf(random, ['front', 'rear']),
    rotor: { ...rotor, drag: anyDrag(random, rotor.maxSpeed) },
    transmission: oneOf<Transmission>(random, [
      plainStore.transmission,
      { type: 'variator', low: 60, high: 140 },
      { type: 'stepped', ratios: Float64Array.of(250, 130, 70, 40) },
      { type: 'ideal' },
    ]),
    losses: oneOf<TransmissionLosses>(random, [
      plainStore.losses,
      { form: 'efficiency', share: between(random, 0, 0.3) },
      {
        form: 'table',
        efficiency: new Table(
          [30, 75, 180],
          [0, 0.2, 1],
          [0.6, 0.82, 0.88, 0.65, 0.85, 0.92, 0.55, 0.8, 0.86],
        ),
      },
    ]),
    powerLimit: between(random, 5e3, 90e3),
    axleTorqueLimit: between(random, 100, 1500),
    brakeShareLimit: between(random, 0.3, 1),
    frictionOnlyAbove: between(random, 1.5, 5),
    auxiliaryPower: between(random, 0, 100),
    initialSpeed: oneOf(random, [
      0,
      0.5 * rotor.minSpeed,
      rotor.minSpeed,
      between(random, rotor.minSpeed, rotor.maxSpeed),
      rotor.maxSpeed,
    ]),
  };
}

function anyDrag(random: Random, top: number): RotorDrag {
  return oneOf<() => RotorDrag>(random, [
    () => ({ form: 'coefficients', c0: 0.01, c1: 2e-5, c2: 0 }),
    () => ({ form: 'coefficients', c0: 0.02, c1: 0, c2: between(random, 0, 2e-8) }),
    () => ({
      form: 'curve',
      torque: new UniformCurve(top, 200, (speed) => 0.008 + 1e-9 * speed * speed),
    }),
  ])();
}

/** A strategy of behaviours with random parameters, each in or out. */
export function anyBehaviours(random: Random): Strategy {
  return combine('any behaviours', anyParameters(random));
}

/** Behaviours with random parameters, each in or out. */
export function anyParameters(random: Random): Behaviours {
  const has = () => random() < 0.6;
  return {
    ...(has() && { stopStart: { delay: between(random, 0, 3) } }),
    ...(has() && {
      keepOff: {
        stopAbove: between(random, 0.1, 0.9),
        floor: between(random, 0, 0.1),
        maxPower: between(random, 2e3, 40e3),
      },
    }),
    ...(has() && { coast: { floor: between(random, 0, 0.5), maxSpeed: between(random, 5, 40) } }),
    ...(has() && { recover: { share: random(), minPower: between(random, 0, 2e3) } }),
    ...(has() && {
      assist: {
        launchBelow: between(random, 0, 15),
        accelerationAbove: between(random, 0, 1.5),
        share: random(),
        floor: random(),
        coverShortfall: random() < 0.5,
      },
    }),
    ...(has() && {
      reserve: {
        target: random(),
        chargePower: between(random, 1e3, 80e3),
        demandBelow: between(random, 2e3, 80e3),
        speedAbove: between(random, 0, 10),
      },
    }),
  };
}

/** Wants anything that the contract allows, with a liking for both ends of the envelope and for nothing. */
export function anythingAllowed(random: Random): Strategy {
  return {
    name: 'anything allowed',
    decide(see, want) {
      want.engineOn = random() < 0.6;
      want.clutched = random() < 0.6;
      const share = random();
      if (share < 0.2) want.storePower = see.assistLimit;
      else if (share < 0.4) want.storePower = -see.recoverLimit;
      else if (share < 0.8) want.storePower = between(random, -see.recoverLimit, see.assistLimit);
    },
  };
}
