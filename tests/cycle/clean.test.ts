import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { clean } from '../../src/cycle/clean.ts';
import { CHANGE, CHANGE_KINDS, ChangeList } from '../../src/cycle/clean-report.ts';
import { rowsOf } from '../../src/cycle/clean-rows.ts';
import { type CleaningRules, DEFAULT_RULES, NO_CLEANING } from '../../src/cycle/clean-rules.ts';
import type { Drive } from '../../src/cycle/drive.ts';
import { smoothAltitude } from '../../src/cycle/grade.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { SMOOTHING_METHODS } from '../../src/cycle/smooth.ts';
import { seeded } from '../seeded.ts';
import { changeRows, countsOf } from './changes.ts';
import { logged, seconds } from './logged.ts';
import { problemsOf } from './problems.ts';

const { NaN: MISSING } = Number;

/** All off but some. */
function only(rules: Partial<CleaningRules>): CleaningRules {
  return { ...NO_CLEANING, ...rules };
}

describe('a clean log', () => {
  it('stays as it is under the default rules', () => {
    const time = seconds(6);
    const speed = [0, 0.1, 3, 3, 1, 0];
    const { drive, parts, report } = clean(logged(time, speed), DEFAULT_RULES);
    expect([...drive.time]).toEqual(time);
    expect([...drive.speed]).toEqual(speed);
    expect(parts).toEqual([{ first: 0, end: 6 }]);
    expect(countsOf(report)).toEqual({});
    expect(report.medianStep).toBe(1);
    expect(report.after).toEqual(report.before);
  });

  it('of a slow traffic jam is not stopped, because its speed has a column of its own', () => {
    const creep = [0.1, 0.6, 0.2, 0.1, 0.4, 0.1].map((mph) => mph * 0.44704);
    const { drive } = clean(logged(seconds(6), creep), DEFAULT_RULES);
    expect([...drive.speed]).toEqual(creep);
  });
});

describe('no cleaning', () => {
  it('touches nothing, however broken the log is', () => {
    const time = [0, 1, 1, 5, 3, MISSING];
    const speed = [0, 90, 0, -3, MISSING, 1];
    const altitude = [1, MISSING, 3, 4, 5, 6];
    const { drive, parts, report } = clean(logged(time, speed, { altitude }), NO_CLEANING);
    expect([...drive.time]).toEqual(time);
    expect([...drive.speed]).toEqual(speed);
    expect([...drive.altitude!]).toEqual(altitude);
    expect(parts).toEqual([{ first: 0, end: 6 }]);
    expect(countsOf(report)).toEqual({});
    expect(report.after).toEqual(report.before);
  });
});

describe('time stamps', () => {
  const rules = only({ clock: { setBack: 5 } });

  it('of rows without one, or of an instant that was there, are dropped, and the first row stays', () => {
    const log = logged([0, 1, 1, MISSING, 2, 2 + 1e-7, 3], [0, 1, 8, 7, 2, 9, 3]);
    const { drive, parts, report } = clean(log, rules);
    expect([...drive.time]).toEqual([0, 1, 2, 3]);
    expect([...drive.speed]).toEqual([0, 1, 2, 3]);
    expect([...drive.line]).toEqual([2, 3, 6, 8]);
    expect(parts).toEqual([{ first: 0, end: 4 }]);
    expect(changeRows(report)).toEqual([
      ['duplicate-time', 4, 8, MISSING],
      ['no-time', 5, 7, MISSING],
      ['duplicate-time', 7, 9, MISSING],
    ]);
  });

  it('that run ahead of both neighbours are dropped', () => {
    const { drive, report } = clean(logged([0, 1, 700, 3, 4], [0, 1, 2, 3, 4]), rules);
    expect([...drive.time]).toEqual([0, 1, 3, 4]);
    expect(changeRows(report)).toEqual([['stray-time', 4, 2, MISSING]]);
  });

  it('that step back a little are dropped until time has passed the last good instant', () => {
    const log = logged([0, 1, 2, 3, 0.5, 1.5, 2.5, 3.5, 4.5], [0, 1, 2, 3, 4, 5, 6, 7, 8]);
    const { drive, parts, report } = clean(log, rules);
    expect([...drive.time]).toEqual([0, 1, 2, 3, 3.5, 4.5]);
    expect([...drive.speed]).toEqual([0, 1, 2, 3, 7, 8]);
    expect(parts).toHaveLength(1);
    expect(countsOf(report)).toEqual({ 'backward-time': 3 });
  });

  it('of a clock that was set back begin a new part', () => {
    const log = logged([100, 101, 102, 50, 51, 52, 53], [1, 2, 3, 4, 5, 6, 7]);
    const { drive, parts, report } = clean(log, rules);
    expect([...drive.time]).toEqual([100, 101, 102, 50, 51, 52, 53]);
    expect(parts).toEqual([
      { first: 0, end: 3 },
      { first: 3, end: 7 },
    ]);
    expect(changeRows(report)).toEqual([['clock-set-back', 5, 102, 50]]);
    // 4 m from 1 to 3 m/s, 16.5 m from 4 to 7 m/s, and nothing between the parts.
    expect(report.after.distance).toBe(20.5);
    expect(report.before.distance).toBe(20.5);
  });

  it('that run backward throughout leave nothing, and the log is refused', () => {
    const log = logged([60, 50, 40, 30], [1, 1, 1, 1]);
    expect(problemsOf(() => clean(log, DEFAULT_RULES))).toMatchObject([{ code: 'nothing-left' }]);
  });
});

describe('gaps', () => {
  const rules = only({ gaps: { least: 1, steps: 1.5, bridge: 3 } });

  it('of up to three seconds are bridged by a straight line, longer ones part the drive', () => {
    const log = logged([0, 1, 2, 5, 6, 7, 10.5, 11.5, 12.5], [0, 1, 2, 5, 6, 7, 1, 1, 1]);
    const { parts, report } = clean(log, rules);
    expect(parts).toEqual([
      { first: 0, end: 6 },
      { first: 6, end: 9 },
    ]);
    expect(changeRows(report)).toEqual([
      ['gap-bridged', 5, 2, 5],
      ['gap-split', 8, 7, 10.5],
    ]);
    // 2 m + 10.5 m over the gap + 12 m, then 2 m; before, 14 m more over the long gap.
    expect(report.after.distance).toBe(26.5);
    expect(report.before.distance).toBe(40.5);
    expect(report.after.duration).toBe(9);
  });

  it('are made of rows without a speed, which are dropped', () => {
    const { drive, report } = clean(
      logged([0, 1, 2, 3, 4], [0, 1, MISSING, 3, 4], { altitude: [5, 6, 7, 8, 9] }),
      rules,
    );
    expect([...drive.speed]).toEqual([0, 1, 3, 4]);
    expect([...drive.altitude!]).toEqual([5, 6, 8, 9]);
    expect(changeRows(report)).toEqual([
      ['no-speed', 4, MISSING, MISSING],
      ['gap-bridged', 5, 1, 3],
    ]);
  });

  it('are no gaps in a log that is as slow as that', () => {
    const { parts, report } = clean(logged([0, 10, 20, 30, 40], [1, 2, 3, 4, 5]), rules);
    expect(parts).toEqual([{ first: 0, end: 5 }]);
    expect(countsOf(report)).toEqual({});
    expect(report.medianStep).toBe(10);
  });

  it('on both sides of a single row drop it, because one instant is no drive', () => {
    const log = logged([0, 1, 2, 50, 100, 101, 102], [1, 1, 1, 9, 2, 2, 2]);
    const { drive, parts, report } = clean(log, rules);
    expect([...drive.time]).toEqual([0, 1, 2, 100, 101, 102]);
    expect(parts).toEqual([
      { first: 0, end: 3 },
      { first: 3, end: 6 },
    ]);
    expect(countsOf(report)).toEqual({ 'gap-split': 2, 'lone-row': 1 });
  });
});

describe('spikes', () => {
  const rules = only({
    spikes: { acceleration: 8, deceleration: 10, resolution: 2 * KMH, bridge: 3 },
  });
  const spikesOf = (speed: number[], step = 1) =>
    clean(
      logged(
        seconds(speed.length).map((k) => k * step),
        speed,
      ),
      rules,
    );

  it('of one sample are put on the line between their neighbours', () => {
    const { drive, report } = spikesOf([10, 11, 40, 13, 14]);
    expect([...drive.speed]).toEqual([10, 11, 12, 13, 14]);
    expect(changeRows(report)).toEqual([['spike', 4, 40, 12]]);
    expect(report.before.maxAcceleration).toBe(29);
    expect(report.after.maxAcceleration).toBe(1);
    expect(report.after.distance).toBe(48);
    // Each row of the spike stood 28 m/s too high for two half intervals.
    expect(report.before.distance).toBe(48 + 28);
    expect(report.before.tractionPerDistance).toBeGreaterThan(report.after.tractionPerDistance);
  });

  it('down to zero for two samples are filled', () => {
    const { drive, report } = spikesOf([20, 20, 0, 0, 20, 20]);
    expect([...drive.speed]).toEqual([20, 20, 20, 20, 20, 20]);
    expect(countsOf(report)).toEqual({ spike: 2 });
  });

  it('that last longer than the limit are reported as jumps and left', () => {
    const speed = [20, 20, 0, 0, 0, 20, 20];
    const { drive, report } = spikesOf([...speed]);
    expect([...drive.speed]).toEqual(speed);
    expect(changeRows(report)).toEqual([
      ['jump', 4, 20, 0],
      ['jump', 7, 0, 20],
    ]);
  });

  it('are no jumps to another speed that lasts', () => {
    const speed = [10, 10, 40, 40, 40, 40];
    const { drive, report } = spikesOf([...speed]);
    expect([...drive.speed]).toEqual(speed);
    expect(countsOf(report)).toEqual({ jump: 1 });
  });

  it('need a higher deceleration than acceleration, as cars brake harder than they pull', () => {
    const { report } = spikesOf([20, 20, 11, 20, 20]);
    expect(countsOf(report)).toEqual({ jump: 1 });
    const upward = spikesOf([11, 11, 21.5, 11, 11]);
    expect(countsOf(upward.report)).toEqual({ spike: 1 });
  });

  it('are not seen in the steps of a coarse signal that is read fast', () => {
    // 1 km/h steps at 100 Hz look like 28 m/s².
    const { report } = spikesOf(
      [10, 11, 10, 11, 12].map((kmh) => kmh * KMH),
      0.01,
    );
    expect(countsOf(report)).toEqual({});
  });
});

describe('speeds below zero', () => {
  it('become 0 if they are small, and stay to be refused if they are not', () => {
    const { drive, report } = clean(
      logged(seconds(4), [0, -0.2, -0.5, 1]),
      only({ belowZero: { down: 1 * KMH } }),
    );
    expect([...drive.speed]).toEqual([0, 0, -0.5, 1]);
    expect(changeRows(report)).toEqual([['below-zero', 3, -0.2, 0]]);
    const { time, speed } = drive;
    expect(problemsOf(() => traceFromSamples({ name: 'reverse', time, speed }))).toMatchObject([
      { code: 'negative-speed', path: 'speed[2]' },
    ]);
  });
});

describe('standstill', () => {
  const creeping = [2, 0.2, 0.1, 0.25, 0, 0.2, 3, 0.1, 0.2, 3];

  it('is held where satellites see a standing car creep for some time', () => {
    const log = logged(seconds(10), creeping, { speedFrom: 'positions' });
    const { drive, report } = clean(log, DEFAULT_RULES);
    expect([...drive.speed]).toEqual([2, 0, 0, 0, 0, 0, 3, 0.1, 0.2, 3]);
    // The row that was 0 already is no change.
    expect(countsOf(report)).toEqual({ standstill: 4 });
    expect(report.after.distance).toBeLessThan(report.before.distance);
  });

  it('of a speed with a column of its own is held only on request', () => {
    const asIs = clean(logged(seconds(10), creeping), DEFAULT_RULES);
    expect(countsOf(asIs.report)).toEqual({});
    const asked = clean(
      logged(seconds(10), creeping),
      only({ standstill: { below: 1 * KMH, least: 3, drives: 'all' } }),
    );
    expect(countsOf(asked.report)).toEqual({ standstill: 4 });
  });
});

describe('missing values of the road', () => {
  it('are filled over distance, and held at both ends', () => {
    // 1 m, 2 m, 3 m … between the rows: of the 10 m from the second to the fifth row the third is
    // at 2 m, the fourth at 5 m (2 + 3 + … = 2, 3 and 4 m, 9 m in all).
    const log = logged(seconds(6), [0.5, 1.5, 2.5, 3.5, 4.5, 5.5], {
      altitude: [MISSING, 10, MISSING, MISSING, 19, MISSING],
      grade: [0, 0.01, 0.02, 0.03, 0.04, MISSING],
    });
    const { drive, report } = clean(log, only({ road: 'fill' }));
    expect([...drive.altitude!]).toEqual([10, 10, 12, 15, 19, 19]);
    expect([...drive.grade!]).toEqual([0, 0.01, 0.02, 0.03, 0.04, 0.04]);
    expect(countsOf(report)).toEqual({ 'altitude-filled': 4, 'grade-filled': 1 });
    expect(changeRows(report).filter(([kind]) => kind === 'altitude-filled')).toEqual([
      ['altitude-filled', 2, MISSING, 10],
      ['altitude-filled', 4, MISSING, 12],
      ['altitude-filled', 5, MISSING, 15],
      ['altitude-filled', 7, MISSING, 19],
    ]);
  });

  it('stay missing where there is none at all', () => {
    const log = logged(seconds(3), [1, 1, 1], { altitude: [MISSING, MISSING, MISSING] });
    const { drive, report } = clean(log, only({ road: 'fill' }));
    expect([...drive.altitude!]).toEqual([MISSING, MISSING, MISSING]);
    expect(countsOf(report)).toEqual({});
  });

  it('of a standing car are those at which it stopped', () => {
    const log = logged(seconds(4), [0, 0, 0, 0], { altitude: [10, MISSING, MISSING, 12] });
    const { drive } = clean(log, only({ road: 'fill' }));
    expect([...drive.altitude!]).toEqual([10, 10, 10, 12]);
  });
});

describe('reading at even instants', () => {
  it('reads speed and road on the lines between the rows, and cuts off less than a step', () => {
    const log = logged([0, 0.8, 2.2, 3.7], [0, 8, 22, 7], {
      altitude: [100, 108, 122, 107],
      grade: [0, 0.04, 0.11, 0.035],
    });
    const { drive, parts, report } = clean(log, only({ resampling: { step: 1 } }));
    expect([...drive.time]).toEqual([0, 1, 2, 3]);
    for (const [k, speed] of [0, 10, 20, 14].entries()) {
      expect(drive.speed[k]).toBeCloseTo(speed, 12);
      expect(drive.altitude![k]).toBeCloseTo(100 + speed, 12);
      expect(drive.grade![k]).toBeCloseTo(speed / 200, 12);
    }
    expect([...drive.line]).toEqual([2, 3, 3, 4]);
    expect(parts).toEqual([{ first: 0, end: 4 }]);
    expect(changeRows(report)).toEqual([['resampled', 2, 4, 4]]);
  });

  it('keeps every sample that it hits, to the last bit', () => {
    const random = seeded(7);
    const speed = seconds(200).map(() => 30 * random());
    const time = seconds(200).map((k) => 1000.3 + k);
    const { drive } = clean(logged(time, [...speed]), only({ resampling: { step: 0.5 } }));
    expect([...drive.speed].filter((_, k) => k % 2 === 0)).toEqual(speed);
  });

  it('drops a part that is shorter than a step', () => {
    const log = logged([0, 0.1, 0.2, 9, 9.1, 9.2, 9.3, 9.4, 9.5, 9.6], seconds(10));
    const { parts, report } = clean(
      log,
      only({ gaps: { least: 1, steps: 1.5, bridge: 3 }, resampling: { step: 0.5 } }),
    );
    expect(parts).toEqual([{ first: 0, end: 2 }]);
    expect(countsOf(report)).toEqual({ 'gap-split': 1, resampled: 2, 'lone-row': 1 });
  });
});

describe('smoothing', () => {
  it.each(SMOOTHING_METHODS)('by %s counts each sample that becomes another', (smoothing) => {
    const random = seeded(8);
    const speed = seconds(100).map(() => 20 + random());
    const { drive, report } = clean(logged(seconds(100), [...speed]), only({ smoothing }));
    const different = speed.filter((value, k) => value !== drive.speed[k]);
    expect(report.counts.smoothed).toBe(different.length);
    expect(different.length).toBeGreaterThan(50);
    expect(report.after.maxAcceleration).toBeLessThan(report.before.maxAcceleration);
  });

  it('of each part looks at no other', () => {
    const log = logged([0, 1, 2, 3, 100, 101, 102, 103], [5, 5, 5, 5, 30, 30, 30, 30]);
    const { drive } = clean(log, { ...DEFAULT_RULES, smoothing: 'five-point-mean' });
    expect([...drive.speed]).toEqual([5, 5, 5, 5, 30, 30, 30, 30]);
  });

  it('never leaves a speed below zero, and says so', () => {
    const { drive, report } = clean(
      logged(seconds(8), [9, 6, 3, 0, 0, 0, 0, 0]),
      only({ smoothing: 'savitzky-golay-5' }),
    );
    expect(Math.min(...drive.speed)).toBe(0);
    expect(report.counts['below-zero']).toBeGreaterThan(0);
  });

  it('of an unevenly sampled log is refused with the line of the first odd step', () => {
    const log = logged([0, 1, 2, 3, 5, 6], [1, 1, 1, 1, 1, 1]);
    expect(problemsOf(() => clean(log, only({ smoothing: 't4253h' })))).toMatchObject([
      { code: 'uneven-sampling', line: 6, found: 'a step of 2 s' },
    ]);
  });

  it('is possible once the log is read at even instants', () => {
    const log = logged([0, 1, 2, 3, 5, 6], [1, 2, 3, 4, 6, 7]);
    const { drive } = clean(log, only({ resampling: { step: 1 }, smoothing: 'five-point-mean' }));
    for (const [k, speed] of [1, 2, 3, 4, 5, 6, 7].entries()) {
      expect(drive.speed[k]).toBeCloseTo(speed, 12);
    }
  });
});

describe('the report', () => {
  it('lists changes in the order of the file, and counts those that it has no room for', () => {
    const speed = [1, 1, 60, 1, 1, MISSING, 1, -0.1, 1];
    const full = clean(logged(seconds(9), speed), DEFAULT_RULES);
    expect(changeRows(full.report).map(([kind, line]) => [kind, line])).toEqual([
      ['spike', 4],
      ['no-speed', 7],
      ['gap-bridged', 8],
      ['below-zero', 9],
    ]);
    expect(full.report.changes.unlisted).toBe(0);
    const short = clean(logged(seconds(9), speed), DEFAULT_RULES, 2);
    expect(short.report.changes.kind).toHaveLength(2);
    expect(short.report.changes.unlisted).toBe(2);
    expect(short.report.counts).toEqual(full.report.counts);
  });

  it('keeps many changes in order while its list grows', () => {
    const list = new ChangeList(1000);
    for (let k = 0; k < 3000; k++) list.add(CHANGE.spike, k, 3000 - k, k, -k);
    const changes = list.changes();
    expect(changes.unlisted).toBe(2000);
    expect([...changes.line]).toEqual(Array.from({ length: 1000 }, (_, k) => 2001 + k));
    expect([...changes.before]).toEqual(Array.from({ length: 1000 }, (_, k) => 999 - k));
    expect(list.counts().spike).toBe(3000);
  });

  it('has an index for every kind', () => {
    expect(Object.values(CHANGE)).toEqual([...CHANGE_KINDS.keys()]);
  });
});

describe('a long log', () => {
  it('is cleaned within the memory of its own columns', () => {
    const log = logged(seconds(1000), new Array(1000).fill(5), {
      altitude: new Array(1000).fill(100),
    });
    log.speed[500] = MISSING;
    const { drive } = clean(log, { ...DEFAULT_RULES, smoothing: 'off' });
    expect(drive.time.buffer).toBe(log.time.buffer);
    expect(drive.speed.buffer).toBe(log.speed.buffer);
    expect(drive.altitude!.buffer).toBe(log.altitude!.buffer);
    expect(drive.line.buffer).toBe(log.line.buffer);
    expect(drive.time).toHaveLength(999);
  });
});

describe('a broken log', () => {
  /** An hour of town and hills with every fault that a logger brings home. */
  function brokenLog(random: () => number): Drive {
    const time: number[] = [];
    const speed: number[] = [];
    const altitude: number[] = [];
    let t = 0;
    let driven = 0;
    for (let k = 0; k < 3600; k++) {
      t += random() < 0.003 ? 40 * random() : 1;
      if (random() < 0.001) t -= 30;
      time.push(random() < 0.01 ? t - 2 : random() < 0.01 ? MISSING : t);
      const smooth = Math.max(0, 12 + 14 * Math.sin(k / 40) - 3 * Math.cos(k / 13));
      const fault = random();
      if (fault < 0.01) speed.push(MISSING);
      else if (fault < 0.02) speed.push(70 * random());
      else speed.push(smooth > 0 ? smooth + 0.1 * random() : -0.2 * random());
      driven += smooth;
      altitude.push(random() < 0.05 ? MISSING : 300 + 80 * Math.sin(driven / 3000) + 3 * random());
    }
    return logged(time, speed, { altitude });
  }

  it('becomes parts of which traces can be made, and every row of it is accounted for', () => {
    const random = seeded(50_000);
    let tried = 0;
    for (let drive = 0; drive < 20; drive++) {
      const log = brokenLog(random);
      const rows = log.time.length;
      const cleaned = clean(log, DEFAULT_RULES);
      const { counts } = cleaned.report;
      const dropped =
        counts['no-time'] +
        counts['duplicate-time'] +
        counts['stray-time'] +
        counts['backward-time'] +
        counts['no-speed'] +
        counts['lone-row'];
      expect(cleaned.drive.time.length).toBe(rows - dropped);
      let next = 0;
      for (const { first, end } of cleaned.parts) {
        expect(first).toBe(next);
        expect(end - first).toBeGreaterThanOrEqual(2);
        next = end;
        const { time, speed, altitude } = rowsOf(cleaned.drive, first, end);
        // Over some metres of road the noise of two altitudes would be a wall.
        if (speed.reduce((sum, value) => sum + value, 0) < 100) continue;
        tried++;
        smoothAltitude({ time, speed }, altitude!, altitude);
        const trace = traceFromSamples({
          name: 'part',
          time,
          speed,
          road: { kind: 'altitude', altitude: altitude! },
        });
        expect(trace.time.length).toBe(end - first);
      }
      expect(next).toBe(cleaned.drive.time.length);
    }
    expect(tried).toBeGreaterThan(100);
  });

  it('that is clean already is not changed by a second cleaning', () => {
    const once = clean(brokenLog(seeded(50_001)), DEFAULT_RULES);
    const { drive } = once;
    const part = once.parts[0]!;
    const again = clean(rowsOf(drive, part.first, part.end), DEFAULT_RULES);
    const { 'gap-bridged': _bridged, jump: _jumps, ...changed } = countsOf(again.report);
    expect(changed).toEqual({});
    expect(again.report.after).toEqual(again.report.before);
  });
});
