import { describe, expect, it } from 'vitest';
import { timeShift } from '../../src/fit/time-shift.ts';
import { seeded } from '../seeded.ts';
import { normal } from './coast-runs.ts';

const signal = (t: number) => 10 * Math.sin(t / 7) + 6 * Math.sin(t / 3.1 + 1) + 0.02 * t;
const LENGTH = 300;

function logged(shift: number, step = 1, noise = () => 0) {
  const time = Float64Array.from({ length: Math.floor(LENGTH / step) + 40 }, (_, k) => k * step);
  return { time, values: time.map((t) => signal(t - shift) + noise()) };
}

describe('the time shift', () => {
  it.each([-12, -3, 0, 4, 20])('of %i s is found to a hundredth of a second', (shift) => {
    const { time, values } = logged(shift);
    const found = timeShift(time, values, signal, LENGTH, 30, 1)!;
    expect(Math.abs(found.shift - shift)).toBeLessThan(0.01);
    expect(found.correlation).toBeGreaterThan(0.9999);
    expect(found.atEdge).toBe(false);
  });

  it('between samples is found to a tenth of one', () => {
    const { time, values } = logged(4.4);
    expect(Math.abs(timeShift(time, values, signal, LENGTH, 30, 1)!.shift - 4.4)).toBeLessThan(0.1);
  });

  it('is found under noise and with gaps', () => {
    const random = seeded(7);
    const { time, values } = logged(5, 0.5, () => 3 * normal(random));
    for (let k = 100; k < 160; k++) values[k] = Number.NaN;
    const found = timeShift(time, values, signal, LENGTH, 30, 0.5)!;
    expect(Math.abs(found.shift - 5)).toBeLessThan(0.2);
  });

  it('knows nothing of scale and offset', () => {
    const { time, values } = logged(3);
    const other = values.map((value) => 100 - -7 * value);
    expect(Math.abs(timeShift(time, other, signal, LENGTH, 30, 1)!.shift - 3)).toBeLessThan(0.01);
  });

  it('beyond the window is said to be at its edge', () => {
    const { time, values } = logged(14);
    expect(timeShift(time, values, signal, LENGTH, 10, 1)).toMatchObject({ atEdge: true });
  });

  it('is unknown where a signal does not change, or too little is common', () => {
    const { time, values } = logged(0);
    expect(timeShift(time, values.fill(5), signal, LENGTH, 10, 1)).toBeUndefined();
    const short = logged(0);
    expect(
      timeShift(short.time.slice(0, 8), short.values.slice(0, 8), signal, LENGTH, 5, 1),
    ).toBeUndefined();
  });
});
