import { traceFromSamples } from '../cycle/samples.ts';
import { cycleIdentity, type LoadedCycle } from './load-cycle.ts';
import { InputError, type Problem } from './problem.ts';
import type { InlineCycle } from './study-file.ts';
import { KMH, PERCENT } from './units.ts';

/** The key of each quantity of a sample. */
const KEYS = {
  time: 'time_s',
  speed: 'speed_kmh',
  altitude: 'altitude_m',
  grade: 'grade_pct',
} as const;

type Quantity = keyof typeof KEYS;

/**
 * A cycle from the samples that stand in a study.
 *
 * @param cycle checked by its schema
 * @returns the trace, which a file with the same numbers gives too
 * @throws InputError whose paths begin with a key of the cycle, as `speed_kmh[12]`
 */
export function loadInlineCycle(cycle: InlineCycle): LoadedCycle {
  const { name, time_s, speed_kmh, altitude_m, grade_pct } = cycle;
  if (altitude_m !== undefined && grade_pct !== undefined) {
    throw new InputError([
      {
        code: 'conflicting-keys',
        path: 'grade_pct',
        expected: 'one of `altitude_m` and `grade_pct`, not both',
        hint: 'each follows from the other and from the distance: leave one of them out',
      },
    ]);
  }
  try {
    const value = traceFromSamples({
      name,
      time: Float64Array.from(time_s),
      speed: Float64Array.from(speed_kmh, (speed) => speed * KMH),
      ...(altitude_m && { road: { kind: 'altitude', altitude: Float64Array.from(altitude_m) } }),
      ...(grade_pct && {
        road: { kind: 'grade', grade: Float64Array.from(grade_pct, (grade) => grade * PERCENT) },
      }),
    });
    return { value, name, identity: cycleIdentity(value), drives: [] };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.problems.map((problem) => inFileUnits(problem, cycle)));
  }
}

/** Puts the key and the user's own number in the place of the quantity in SI. */
function inFileUnits(problem: Problem, cycle: InlineCycle): Problem {
  const place = /^(time|speed|altitude|grade)(?:\[(\d+)\])?$/.exec(problem.path ?? '');
  if (place === null) return problem;
  const key = KEYS[place[1] as Quantity];
  if (place[2] === undefined) return { ...problem, path: key };
  const found = cycle[key]?.[Number(place[2])];
  return { ...problem, path: `${key}[${place[2]}]`, found: String(found) };
}
