import { InputError, type Problem } from '../config/problem.ts';
import { MIN_DISTANCE, NEVER_MOVES, SampleCheck } from './check.ts';
import { type RoadSamples, roadIntegrals } from './road.ts';
import { distance, type Trace } from './trace.ts';

/** A drive as it was sampled, in SI. */
export interface Samples {
  /** Short name for people and results. */
  readonly name: string;
  /** Instants [s], strictly increasing. */
  readonly time: Float64Array;
  /** Speeds along the road [m/s]. */
  readonly speed: Float64Array;
  /** What is known of the road; left out on a flat one. */
  readonly road?: RoadSamples;
}

/**
 * Checks a sampled drive and makes a trace of it.
 *
 * @param samples the drive, in SI
 * @returns the trace, with the road integrated over each interval
 * @throws InputError with every fault; its `path` is the quantity and the index, as `speed[12]`
 */
export function traceFromSamples(samples: Samples): Trace {
  const { name, time, speed } = samples;
  const road = samples.road ?? { kind: 'flat' };
  const values = roadValues(road);
  const problems: Problem[] = [];
  if (time.length < 2) {
    problems.push({ code: 'too-few-rows', path: 'time', expected: 'two samples at least' });
  }
  for (const [quantity, column] of [['speed', speed] as const, [road.kind, values] as const]) {
    if (column !== undefined && column.length !== time.length) {
      problems.push({
        code: 'cell-count',
        path: quantity,
        found: String(column.length),
        expected: `${time.length} values, one for each instant`,
      });
    }
  }
  if (problems.length > 0) throw new InputError(problems);

  const check = new SampleCheck(road.kind);
  for (let k = 0; k < time.length; k++) {
    const sample = { time: time[k]!, speed: speed[k]!, road: values?.[k] ?? 0 };
    for (const { quantity, ...fault } of check.next(sample.time, sample.speed, sample.road)) {
      const value = sample[quantity === 'time' || quantity === 'speed' ? quantity : 'road'];
      problems.push({ ...fault, path: `${quantity}[${k}]`, found: String(value) });
    }
  }
  if (problems.length > 0) throw new InputError(problems);
  const trace = { name, time, speed, ...roadIntegrals(time, speed, road) };
  if (distance(trace) < MIN_DISTANCE) throw new InputError([{ ...NEVER_MOVES, path: 'speed' }]);
  return trace;
}

function roadValues(road: RoadSamples): Float64Array | undefined {
  if (road.kind === 'grade') return road.grade;
  if (road.kind === 'altitude') return road.altitude;
  return undefined;
}
