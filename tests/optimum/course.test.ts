/** The warmth of an engine along a lap, held against the same wishes driven with a warmer engine. */
import { describe, expect, it } from 'vitest';
import { cut } from '../../src/cycle/compose.ts';
import { type Course, courseAlong, firstCourse } from '../../src/optimum/course.ts';
import { Choice, solve } from '../../src/optimum/dynamic-programming.ts';
import { LEVELS } from '../../src/optimum/offers.ts';
import { Plan, replayOf } from '../../src/optimum/replay.ts';
import { RoadStages } from '../../src/optimum/road-stages.ts';
import { straightTube, Values } from '../../src/optimum/values.ts';
import { rotorEnergy } from '../../src/physics/rotor.ts';
import { type Car, fitStore } from '../../src/simulate/car.ts';
import { Demand } from '../../src/simulate/demand.ts';
import { type Run, run } from '../../src/simulate/run.ts';
import { copyState, initialState } from '../../src/simulate/state.ts';
import { newWant } from '../../src/strategy/contract.ts';
import { cycleNamed, plainCar, plainStore } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const store = plainStore;
const { rotor } = store;
const COUNT = 200;
const trace = cut(cycleNamed('nycc'), 0, COUNT);

/** An engine that starts cold and may not stop for its first half minute. */
const coldCar: Car = fitStore(
  {
    ...plainCar,
    engine: {
      ...plainCar.engine,
      warmUp: { extra: 0.5, timeConstant: 120, noStopBefore: 30 },
    },
  },
  store,
);

/** A lap that takes what is cheapest by coarse costs to go. */
function greedyLap(car: Car) {
  const demand = new Demand(car, store, trace, COUNT);
  demand.block(0);
  const stages = new RoadStages(car, store, demand, LEVELS, firstCourse(car, store, demand));
  const values = new Values(stages, straightTube(0, rotor.maxSpeed, 8, stages.count));
  solve(stages, values, (speed) => -2 * rotorEnergy(rotor, speed));
  const start = initialState(car, store);
  const state = copyState(start);
  const choice = new Choice();
  const want = newWant();
  const plan = new Plan(stages.count);
  const decisions = new Uint8Array(stages.count);
  for (let k = 0; k < stages.count; k++) {
    choice.clear();
    stages.tryFrom(k, state, values, choice);
    decisions[k] = choice.decision;
    stages.take(k, state, choice.decision, want);
    plan.note(k, want);
  }
  const drive = (runningTime: number): Run =>
    run(car, store, demand, replayOf(plan), { ...copyState(start), runningTime });
  const lap = drive(0);
  expect(lap.end).toEqual(state);
  const course = (): Course => courseAlong(car, lap, decisions, stages, values);
  return { stages, values, lap, drive, course };
}

const cold = greedyLap(coldCar);
const first = cold.course();
const saved = (seconds: number) => cold.lap.ledger.fuel - cold.drive(seconds).ledger.fuel;

describe('the course of a lap', () => {
  it('stops the engine as soon as it may, so that a second more would permit more', () => {
    expect(first.runningTime[30]).toBe(30);
    expect(first.runningTime[COUNT]).toBeLessThan(0.7 * COUNT);
  });

  it('prices a second of running time as the simulator does', () => {
    expect(saved(1)).toBeGreaterThan(100);
    // Less drag in overrun is left in the store as well, which the fuel of a lap does not tell.
    expectWithin(-first.warmth[0]!, saved(1), 0.02);
    // What is left to save shrinks along the lap, but for rounding, and nothing is left at its end.
    for (let k = 0; k < COUNT; k++) {
      expect(first.warmth[k]!).toBeLessThanOrEqual(first.warmth[k + 1]! + 0.5);
    }
    expect(first.warmth[COUNT]).toBe(0);
  });

  it('does not hang on the course before it', () => {
    const { stages } = cold;
    const before = stages.course;
    stages.course = first;
    const second = cold.course();
    stages.course = before;
    for (let k = 0; k <= COUNT; k++) {
      expect(Math.abs(second.warmth[k]! - first.warmth[k]!)).toBeLessThan(1e-4);
    }
  });

  it('has no price of warmth for an engine that starts warm', () => {
    const warm = greedyLap(fitStore(plainCar, store));
    expect(warm.course().warmth.every((price) => price === 0)).toBe(true);
  });
});

describe('the cost to go of a warmer engine', () => {
  it.each([10, 60, 300, 3000])('is that of the same wishes, driven after %d s', (seconds) => {
    const { stages, values, lap } = cold;
    const before = stages.course;
    stages.course = first;
    const start = copyState(lap.start);
    // `toGo` asks what the last interval was: one that idles, as the start of a lap does.
    stages.takeWish(0, copyState(start), { storePower: 0, engineOn: true, clutched: false });
    const toGo = (runningTime: number) => stages.toGo(0, { ...start, runningTime }, values);
    const gain = toGo(0) - toGo(seconds);
    stages.course = before;
    expectWithin(gain, saved(seconds), 0.02);
  });
});
