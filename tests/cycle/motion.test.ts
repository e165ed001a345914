import { describe, expect, it } from 'vitest';
import { atEvenInstants, intervalAt, speedWithin } from '../../src/cycle/motion.ts';
import { seeded } from '../seeded.ts';
import { randomDrive } from './drives.ts';

const motion = { time: Float64Array.of(10, 12, 13, 17), speed: Float64Array.of(0, 8, 4, 4) };

function evenSpeeds(step: number): number[] {
  const speeds: number[] = [];
  const count = atEvenInstants(motion, step, (index, speed) => {
    expect(index).toBe(speeds.length);
    speeds.push(speed);
  });
  expect(count).toBe(speeds.length);
  return speeds;
}

describe('the interval of an instant', () => {
  it.each([
    [10, 0],
    [11.9, 0],
    [12, 1],
    [13, 2],
    [16, 2],
    [17, 2],
    [9, 0],
    [99, 2],
  ])('%d s lies in interval %d', (t, k) => {
    expect(intervalAt(motion.time, t)).toBe(k);
  });
});

describe('the speed within an interval', () => {
  it('lies on the straight line', () => {
    expect(speedWithin(motion, 0, 10.5)).toBe(2);
    expect(speedWithin(motion, 1, 12.75)).toBe(5);
  });

  it('is that of the samples at both ends, to the last bit', () => {
    const { time, speed } = randomDrive(seeded(71));
    for (let k = 0; k + 1 < time.length; k++) {
      expect(speedWithin({ time, speed }, k, time[k]!)).toBe(speed[k]);
      expect(speedWithin({ time, speed }, k, time[k + 1]!)).toBe(speed[k + 1]);
    }
  });
});

describe('even instants', () => {
  it('go from the first sample on as far as the drive lasts', () => {
    expect(evenSpeeds(1)).toEqual([0, 4, 8, 4, 4, 4, 4, 4]);
    expect(evenSpeeds(2)).toEqual([0, 8, 4, 4]);
    expect(evenSpeeds(7)).toEqual([0, 4]);
    expect(evenSpeeds(8)).toEqual([0]);
  });

  it('reach the last sample although a tenth of a second has no exact double', () => {
    const time = Float64Array.from({ length: 36_001 }, (_, k) => k / 10);
    const speed = Float64Array.from({ length: 36_001 }, (_, k) => k);
    let last = 0;
    const count = atEvenInstants({ time, speed }, 0.1, (_index, value) => {
      last = value;
    });
    expect(count).toBe(36_001);
    expect(last).toBeCloseTo(36_000, 6);
  });
});
