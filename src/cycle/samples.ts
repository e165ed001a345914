import { MIN_DISTANCE, NEVER_MOVES, SampleCheck } from './check.ts';
import { ProblemList } from './problem-list.ts';
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
 * @throws InputError with every fault (after 20 only their number); its `path` is the quantity and
 *   the index, as `speed[12]`
 */
export function traceFromSamples(samples: Samples): Trace {
  const { name, time, speed } = samples;
  const road = samples.road ?? { kind: 'flat' };
  const values = roadValues(road);
  const problems = new ProblemList();
  if (time.length < 2) {
    problems.add(undefined, {
      code: 'too-few-rows',
      path: 'time',
      expected: 'two samples at least',
    });
  }
  for (const [quantity, column] of [['speed', speed] as const, [road.kind, values] as const]) {
    if (column !== undefined && column.length !== time.length) {
      problems.add(undefined, {
        code: 'cell-count',
        path: quantity,
        found: String(column.length),
        expected: `${time.length} values, one for each instant`,
      });
    }
  }
  problems.throwIfAny();

  const check = new SampleCheck(road.kind);
  for (let k = 0; k < time.length; k++) {
    const faults = check.next(time[k]!, speed[k]!, values === undefined ? 0 : values[k]!);
    if (faults.length === 0) continue;
    const sample = { time: time[k], speed: speed[k], grade: values?.[k], altitude: values?.[k] };
    for (const { quantity, ...fault } of faults) {
      const found = String(sample[quantity]);
      problems.add(undefined, { ...fault, path: `${quantity}[${k}]`, found });
    }
  }
  problems.throwIfAny();
  const trace = { name, time, speed, ...roadIntegrals(time, speed, road) };
  if (distance(trace) < MIN_DISTANCE) problems.add(undefined, { ...NEVER_MOVES, path: 'speed' });
  problems.throwIfAny();
  return trace;
}

function roadValues(road: RoadSamples): Float64Array | undefined {
  if (road.kind === 'grade') return road.grade;
  if (road.kind === 'altitude') return road.altitude;
  return undefined;
}
