import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { cyclePlot } from '../../src/output/cycle-plot.ts';
import { cycleNamed } from '../fixtures.ts';

/** Cells of a picture row, without its axis. */
const cells = (line: string | undefined): string => line?.split('│')[1] ?? '';

describe('the picture of a drive', () => {
  it('is no wider than a terminal, and says its speeds and times', () => {
    const lines = cyclePlot(cycleNamed('wltc-class3b'));
    expect(lines).toHaveLength(14);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(lines[0]).toBe('speed, km/h');
    expect(lines[1]).toMatch(/^ {2}131 │/);
    expect(lines[13]).toMatch(/^ {4}0 └0 ─+ 1800 s$/);
  });

  it('is solid where the speed holds and empty where the car stands', () => {
    // 36 of 72 columns at 60 km/h, then 36 at rest: a second each.
    const trace = traceFromSamples({
      name: 'x',
      time: Float64Array.of(0, 36, 36.001, 72),
      speed: Float64Array.of(60 * KMH, 60 * KMH, 0, 0),
    });
    for (const line of cyclePlot(trace).slice(1, 13)) {
      expect(cells(line)).toMatch(/^█{36}░?$/);
    }
  });

  it('rises in a ramp: the top row is reached in its last twelfth alone', () => {
    const trace = traceFromSamples({
      name: 'x',
      time: Float64Array.of(0, 72),
      speed: Float64Array.of(0, 72 * KMH),
    });
    const rows = cyclePlot(trace).slice(1, 13).map(cells);
    // The middle of the top cell is 69 km/h: columns that reach it are those that end at 69 to 72 s.
    // Solid are those that begin at 69 s or later; rounding decides about the column at its edge.
    expect(rows[0]).toMatch(/^ {68,69}░{0,1}█{3}$/);
    // The middle of the lowest cell is 3 km/h.
    expect(rows[11]).toMatch(/^ {2,3}░{0,1}█{69}$/);
  });

  it('shades what is not all of a stretch of time', () => {
    // Every column has a stop of a second and a peak in it.
    const time = Float64Array.from({ length: 289 }, (_, k) => k);
    const speed = Float64Array.from(time, (t) => (t % 2 === 0 ? 0 : 50 * KMH));
    const rows = cyclePlot(traceFromSamples({ name: 'x', time, speed })).slice(1, 13);
    for (const row of rows) expect(cells(row)).toBe('░'.repeat(72));
  });

  it('shows altitude below it where there are hills, and only there', () => {
    const hill = (height: number) =>
      traceFromSamples({
        name: 'x',
        time: Float64Array.of(0, 100, 200),
        speed: Float64Array.of(10, 10, 10),
        road: { kind: 'altitude', altitude: Float64Array.of(300, 300 + height, 300) },
      });
    expect(cyclePlot(hill(4)).join('\n')).not.toContain('altitude');
    const lines = cyclePlot(hill(40));
    expect(lines[14]).toBe('altitude above the lowest point, m');
    expect(lines[15]).toMatch(/^ {3}40 │ +[█░]+$/);
    expect(lines).toHaveLength(20);
  });

  it('lays the lowest point of a valley on the axis', () => {
    const valley = traceFromSamples({
      name: 'x',
      time: Float64Array.of(0, 100, 200),
      speed: Float64Array.of(10, 10, 10),
      road: { kind: 'altitude', altitude: Float64Array.of(300, 250, 300) },
    });
    const top = cells(cyclePlot(valley)[15]);
    expect(top).toMatch(/^[█░]+ +[█░]+$/);
    expect(cyclePlot(valley)[15]).toMatch(/^ {3}50 /);
  });
});
