import { KMH } from '../config/units.ts';
import type { SmoothingMethod } from './smooth.ts';

/**
 * What may be done to a logged drive. Every rule can be 'off'; then that fault stays in the drive,
 * and the check of the samples refuses it if no trace can be made of it.
 *
 * All defaults are choices of this project, without a source unless one is named.
 */
export interface CleaningRules {
  readonly clock: ClockRules | 'off';
  readonly gaps: GapRules | 'off';
  readonly spikes: SpikeRules | 'off';
  readonly belowZero: BelowZeroRules | 'off';
  readonly standstill: StandstillRules | 'off';
  /** Altitudes and grades that are missing: filled linearly over distance, held at both ends. */
  readonly road: 'fill' | 'off';
  readonly resampling: ResamplingRules | 'off';
  readonly smoothing: SmoothingMethod | 'off';
}

/**
 * Time stamps. Of rows with the same instant the first stays. A row that stands ahead of the rows
 * on both sides of it is dropped. Where time steps back, rows are dropped until it has passed the
 * last good instant again; a step back by more than `setBack` is a clock that was set, and a new
 * part begins.
 */
export interface ClockRules {
  /** Longest step back that is taken for rows out of order [s]. */
  readonly setBack: number;
}

/**
 * Gaps. A row without a speed is dropped. An interval longer than both limits is a gap. Up to
 * `bridge` the speed is taken as linear across it, which is what the interval does if it is left as
 * it is; a longer one ends the part.
 */
export interface GapRules {
  /** An interval up to this is no gap [s]. */
  readonly least: number;
  /** An interval up to so many median steps is no gap. */
  readonly steps: number;
  /** Longest gap over which the speed is taken as linear [s]. */
  readonly bridge: number;
}

/**
 * Spikes: the speed jumps faster than a car can, and jumps back. The samples between the two jumps
 * are put on the straight line between the good ones, if these are no more than `bridge` apart. A
 * jump without a way back is reported and left.
 */
export interface SpikeRules {
  /** Highest acceleration of a car [m/s²]. */
  readonly acceleration: number;
  /** Highest deceleration of a car [m/s²]. */
  readonly deceleration: number;
  /** Steps of speed up to this are the resolution of the signal, whatever their acceleration [m/s]. */
  readonly resolution: number;
  /** Longest time from good sample to good sample [s]. */
  readonly bridge: number;
}

/** A sensor that reads a little below zero at rest; lower speeds stay, and are refused later. */
export interface BelowZeroRules {
  /** Down to minus this a speed is set to 0 [m/s]. */
  readonly down: number;
}

/**
 * A standing car whose speed from satellites creeps: speeds below a limit for some time become 0.
 * Only on request for a speed that has a column of its own, because slow traffic really creeps: the
 * New York City cycle drives at 0.1 mph.
 */
export interface StandstillRules {
  /** Speeds below this are taken for standstill [m/s] … */
  readonly below: number;
  /** … if they last at least so long [s]. */
  readonly least: number;
  /** Which drives: those whose speed comes from positions, or all. */
  readonly drives: 'from-positions' | 'all';
}

/** Speed, altitude and grade read at evenly spaced instants, linear in time between the rows. */
export interface ResamplingRules {
  /** [s] */
  readonly step: number;
}

/** What is done to a log unless something else is asked for. */
export const DEFAULT_RULES: CleaningRules = {
  clock: { setBack: 5 },
  gaps: { least: 1, steps: 1.5, bridge: 3 },
  // A sports car starts with some 8 m/s² at most, a full stop on a dry road reaches some 10 m/s².
  spikes: { acceleration: 8, deceleration: 10, resolution: 2 * KMH, bridge: 3 },
  belowZero: { down: 1 * KMH },
  standstill: { below: 1 * KMH, least: 3, drives: 'from-positions' },
  road: 'fill',
  resampling: 'off',
  smoothing: 'off',
};

/** Nothing is touched. */
export const NO_CLEANING: CleaningRules = {
  clock: 'off',
  gaps: 'off',
  spikes: 'off',
  belowZero: 'off',
  standstill: 'off',
  road: 'off',
  resampling: 'off',
  smoothing: 'off',
};
