import { describe, expect, it } from 'vitest';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { cycleStatistics } from '../../src/cycle/statistics.ts';
import { distance, duration } from '../../src/cycle/trace.ts';
import { microTrips, samplesOf, splitTrips } from '../../src/cycle/trips.ts';
import { cycleNamed } from '../fixtures.ts';
import { seeded } from '../seeded.ts';
import { randomDrive } from './drives.ts';

const motion = {
  //                       standing 3 s      standing 100 s       standing 20 s
  time: Float64Array.of(0, 3, 10, 20, 25, 125, 130, 140, 150, 170, 180),
  speed: Float64Array.of(0, 0, 9, 9, 0, 0, 5, 5, 0, 0, 6),
};

describe('trips', () => {
  it('end at a standstill longer than the limit, which belongs to none of them', () => {
    expect(splitTrips(motion, 60)).toEqual([
      { first: 0, end: 5 },
      { first: 5, end: 11 },
    ]);
    expect(splitTrips(motion, 100)).toEqual([{ first: 0, end: 11 }]);
    expect(splitTrips(motion, 2)).toEqual([
      { first: 1, end: 5 },
      { first: 5, end: 9 },
      { first: 9, end: 11 },
    ]);
  });

  it('are looked for in each part of a log by itself', () => {
    const parts = [
      { first: 0, end: 3 },
      { first: 3, end: 11 },
    ];
    expect(splitTrips(motion, 60, parts)).toEqual([
      { first: 0, end: 3 },
      { first: 3, end: 5 },
      { first: 5, end: 11 },
    ]);
  });

  it('are none where the car never moves', () => {
    const parked = { time: Float64Array.of(0, 1, 9), speed: new Float64Array(3) };
    expect(splitTrips(parked, 5)).toEqual([]);
    expect(splitTrips(parked, 100)).toEqual([]);
  });

  it('hold all that is driven: together as far as the whole', () => {
    const random = seeded(80);
    for (let drive = 0; drive < 50; drive++) {
      const { time, speed } = randomDrive(random);
      const trace = traceFromSamples({ name: 'whole', time, speed });
      const trips = splitTrips(trace, random());
      const driven = trips.reduce((sum, trip) => sum + distance(samplesOf(trace, trip)), 0);
      expect(Math.abs(driven - distance(trace))).toBeLessThan(1e-12 * distance(trace));
    }
  });
});

describe('micro-trips', () => {
  it('go from standstill to standstill', () => {
    expect(microTrips(motion)).toEqual([
      {
        first: 1,
        end: 5,
        complete: true,
        standstill: 3,
        duration: 22,
        distance: 31.5 + 90 + 22.5,
        meanSpeed: 144 / 22,
        maxSpeed: 9,
        kineticGained: 40.5 / 144,
      },
      {
        first: 5,
        end: 9,
        complete: true,
        standstill: 100,
        duration: 25,
        distance: 12.5 + 50 + 25,
        meanSpeed: 87.5 / 25,
        maxSpeed: 5,
        kineticGained: 12.5 / 87.5,
      },
      {
        first: 9,
        end: 11,
        complete: false,
        standstill: 20,
        duration: 10,
        distance: 30,
        meanSpeed: 3,
        maxSpeed: 6,
        kineticGained: 18 / 30,
      },
    ]);
  });

  it('that only touch zero are two, without standstill between them', () => {
    const trips = microTrips({
      time: Float64Array.of(0, 1, 2, 3),
      speed: Float64Array.of(4, 0, 4, 0),
    });
    expect(
      trips.map(({ first, end, complete, standstill }) => [first, end, complete, standstill]),
    ).toEqual([
      [0, 2, false, 0],
      [1, 4, true, 0],
    ]);
  });

  it('of the US urban cycle are seventeen, one before each of its stops', () => {
    const trace = cycleNamed('udds');
    const trips = microTrips(trace);
    expect(trips).toHaveLength(17);
    expect(cycleStatistics(trace).stops.count).toBe(17);
    expect(trips.every(({ complete }) => complete)).toBe(true);
  });

  it('and the standstills between them make up the whole drive', () => {
    const random = seeded(81);
    for (let drive = 0; drive < 50; drive++) {
      const { time, speed } = randomDrive(random);
      const trace = traceFromSamples({ name: 'whole', time, speed });
      const trips = microTrips(trace);
      const driven = trips.reduce((sum, trip) => sum + trip.distance, 0);
      expect(Math.abs(driven - distance(trace))).toBeLessThan(1e-12 * distance(trace));
      const { restShare } = cycleStatistics(trace).stops;
      const moving = trips.reduce((sum, trip) => sum + trip.duration, 0);
      expect(Math.abs(moving - (1 - restShare) * duration(trace))).toBeLessThan(
        1e-11 * duration(trace),
      );
    }
  });
});

describe('the samples of a stretch', () => {
  it('are those of the whole, not copied', () => {
    const trace = cycleNamed('nedc');
    const stretch = samplesOf(trace, { first: 10, end: 20 });
    expect(stretch.time.buffer).toBe(trace.time.buffer);
    expect([...stretch.time]).toEqual([10, 11, 12, 13, 14, 15, 16, 17, 18, 19]);
    expect(stretch.climb).toHaveLength(9);
  });
});
