import { KMH, PERCENT } from '../config/units.ts';
import { type RoadSamples, STANDING_DRIFT_M } from './road.ts';

/** The quantities of a sample. */
export type SampleQuantity = 'time' | 'speed' | 'grade' | 'altitude';

/** One thing that is wrong with one quantity of a sample. */
export interface SampleFault {
  readonly quantity: SampleQuantity;
  readonly code: string;
  readonly expected: string;
  readonly hint?: string;
}

/** Above this a speed is taken for a mistake of units [km/h]: no road car in a cycle is as fast. */
const MAX_SPEED_KMH = 500;
/** Steepest road [%], as tan θ of a grade and as height over distance of an altitude. */
const MAX_GRADE_PCT = 35;
/** Farthest a clock may be from zero [s], some 300 years: beyond it the unit is not the second. */
const MAX_TIME = 1e10;
/** Shortest interval [s]: below it an acceleration is nothing but rounding of the two instants. */
export const MIN_STEP = 1e-6;
/** Altitudes of roads [m]: lowest shore and highest pass, with room to spare. */
const MIN_ALTITUDE = -1000;
const MAX_ALTITUDE = 9000;
/** What a difference of two altitudes may be off [m]: 10.05 - 10 is a little more than 0.05. */
const ROUNDING = 1e-9;

/** What a good sample has. */
const NO_FAULTS: readonly SampleFault[] = [];

const SMOOTH_ALTITUDE = 'smooth the altitude over distance first, or give grade_pct instead';

/**
 * Checks samples one after the other, each against those before it. A value that is not a number
 * is a fault of its own and then left out of account, so that one bad cell does not make its
 * neighbours look bad.
 */
export class SampleCheck {
  readonly #road: RoadSamples['kind'];
  readonly #written: (time: number) => string;
  #time = Number.NaN;
  #speed = Number.NaN;
  #altitude = Number.NaN;

  /**
   * @param road what is known of the road
   * @param written a time [s] as the source of the samples would write it
   */
  constructor(road: RoadSamples['kind'], written: (time: number) => string = String) {
    this.#road = road;
    this.#written = written;
  }

  /**
   * @param time [s]; NaN stands for a value that could not be read, here and below
   * @param speed [m/s]
   * @param road grade as tan θ [-] or altitude [m], as the constructor was told; ignored if flat
   * @returns what is wrong with this sample, in the order time, speed, road; for a good one always
   *   the same empty list, so that nothing is made for it
   */
  next(time: number, speed: number, road: number): readonly SampleFault[] {
    const timeFault = this.#timeFault(time);
    const badSpeed = speedFault(speed);
    const roadFault = this.#roadFault(time, speed, road);
    if (Math.abs(time) <= MAX_TIME) this.#time = time;
    this.#speed = speed;
    if (timeFault === undefined && badSpeed === undefined && roadFault === undefined) {
      return NO_FAULTS;
    }
    return [timeFault, badSpeed, roadFault].filter((fault) => fault !== undefined);
  }

  #roadFault(time: number, speed: number, road: number): SampleFault | undefined {
    if (this.#road === 'flat') return undefined;
    if (this.#road === 'grade') return gradeFault(road);
    const fault = altitudeFault(road);
    if (fault === undefined) return this.#slopeFault(time, speed, road);
    this.#altitude = Number.NaN;
    return fault;
  }

  #timeFault(time: number): SampleFault | undefined {
    if (!Number.isFinite(time)) return notANumber('time');
    if (Math.abs(time) > MAX_TIME) {
      return {
        quantity: 'time',
        code: 'out-of-range',
        expected: `a time in seconds, within ${MAX_TIME} s of zero`,
        hint: 'is the clock in milliseconds? A column `time_ms` is read as such',
      };
    }
    if (time <= this.#time) {
      return {
        quantity: 'time',
        code: 'time-order',
        expected: `a time later than ${this.#written(this.#time)}, the one before it`,
        hint:
          time === this.#time
            ? 'the same instant stands twice: leave one of the rows out'
            : 'time runs backward here: sort the rows, or split the file where the clock was set back',
      };
    }
    if (time - this.#time < MIN_STEP) {
      return {
        quantity: 'time',
        code: 'time-order',
        expected: `a time at least ${MIN_STEP} s later than ${this.#written(this.#time)}, the one before it`,
        hint: 'two rows of the same instant: leave one of them out',
      };
    }
    return undefined;
  }

  #slopeFault(time: number, speed: number, altitude: number): SampleFault | undefined {
    const before = this.#altitude;
    const distance = 0.5 * (this.#speed + speed) * (time - this.#time);
    const rise = altitude - before;
    // A standing car keeps the altitude at which it stopped, as the integrals of the road have it.
    if (distance === 0 && Math.abs(rise) <= STANDING_DRIFT_M + ROUNDING) return undefined;
    this.#altitude = altitude;
    // Where the values before are missing or themselves wrong there is nothing to compare with.
    if (Number.isNaN(rise) || !(distance >= 0)) return undefined;
    if (distance === 0) {
      return {
        quantity: 'altitude',
        code: 'altitude-at-rest',
        expected: `an altitude within ${STANDING_DRIFT_M} m of ${before} m, because the car stands still`,
        hint: SMOOTH_ALTITUDE,
      };
    }
    if (Math.abs(rise) <= MAX_GRADE_PCT * PERCENT * distance + ROUNDING) return undefined;
    return {
      quantity: 'altitude',
      code: 'too-steep',
      expected: `a slope of ${MAX_GRADE_PCT} % at most; from ${before} m this is ${rounded(rise)} m of height over ${rounded(distance)} m of road`,
      hint: SMOOTH_ALTITUDE,
    };
  }
}

function speedFault(speed: number): SampleFault | undefined {
  if (!Number.isFinite(speed)) return notANumber('speed');
  if (speed < 0) {
    return {
      quantity: 'speed',
      code: 'negative-speed',
      expected: 'a speed of 0 or more',
      hint: 'a cycle is driven forward only; a sensor that reads a little below zero at rest has to be set to 0',
    };
  }
  if (speed > MAX_SPEED_KMH * KMH) {
    return {
      quantity: 'speed',
      code: 'out-of-range',
      expected: `a speed of ${MAX_SPEED_KMH} km/h at most`,
      hint: 'does the header name the right unit of speed?',
    };
  }
  return undefined;
}

function gradeFault(grade: number): SampleFault | undefined {
  if (!Number.isFinite(grade)) return notANumber('grade');
  if (Math.abs(grade) <= MAX_GRADE_PCT * PERCENT) return undefined;
  return {
    quantity: 'grade',
    code: 'out-of-range',
    expected: `a grade between -${MAX_GRADE_PCT} and ${MAX_GRADE_PCT} %`,
    hint: 'a grade is height over horizontal distance, in per cent',
  };
}

function altitudeFault(altitude: number): SampleFault | undefined {
  if (!Number.isFinite(altitude)) return notANumber('altitude');
  if (altitude >= MIN_ALTITUDE && altitude <= MAX_ALTITUDE) return undefined;
  return {
    quantity: 'altitude',
    code: 'out-of-range',
    expected: `an altitude between ${MIN_ALTITUDE} and ${MAX_ALTITUDE} m`,
    hint: 'altitude is in metres above the sea',
  };
}

function notANumber(quantity: SampleQuantity): SampleFault {
  return {
    quantity,
    code: 'not-a-number',
    expected: 'a number with a decimal point, such as 12.5',
  };
}

function rounded(value: number): string {
  return String(Number(value.toPrecision(4)));
}

/** Shortest distance of a drive [m]: fuel per distance has no meaning for a car that stands. */
export const MIN_DISTANCE = 1;

/** What is wrong with a drive in which the car does not move. */
export const NEVER_MOVES = {
  code: 'never-moves',
  expected: `a distance of ${MIN_DISTANCE} m at least`,
  hint: 'the car never moves: fuel per distance has no meaning without distance',
} as const;
