import { KMH, MPH } from '../config/units.ts';
import { rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import { type Car, fitStore } from './car.ts';
import { FullLoadDrive, type SprintDrive, type SprintWatch } from './sprint-drive.ts';
import type { Passing, SprintGoal } from './sprint-goals.ts';
import { type PeakGain, peakGain, steepestGrade } from './sprint-limits.ts';
import { driveOnStore, recharge, type SteadyDrive } from './sprint-steady.ts';

/** What a sprint is driven under. */
export interface SprintConditions {
  /** sin θ of the road */
  readonly sine: number;
  /** μ of the tyres; the car's own where it is left out */
  readonly adhesion?: number | undefined;
  /** At which the engine is off and the store drives [m/s] */
  readonly engineOffSpeed: number;
  /** At which the engine recharges the store [m/s] */
  readonly cruiseSpeed: number;
  /** Time step [s]; SPRINT_STEP where it is left out */
  readonly step?: number | undefined;
}

/** Half of this moves no result by more than 0.1 % [s]. */
export const SPRINT_STEP = 0.01;

/** What is timed in a standing start, in the order of its passings. */
const START_GOALS = {
  kmh50: { speed: 50 * KMH },
  mph60: { speed: 60 * MPH },
  kmh100: { speed: 100 * KMH },
  m400: { distance: 400 },
  km1: { distance: 1000 },
} as const satisfies Record<string, SprintGoal>;

/** Names of these goals, in the order of the passings of a standing start. */
export type StartGoalName = keyof typeof START_GOALS;

/** The overtaking [m/s]. */
const OVERTAKING_FROM = 80 * KMH;
const OVERTAKING_TO = 120 * KMH;

/** Fills of the store that a sprint is driven from. */
export type FillName = 'empty' | 'half' | 'full';

/** The car on its own, or with the store at one fill. */
export interface SprintFigures {
  readonly standingStart: SprintDrive;
  readonly overtaking: SprintDrive;
  /** tan θ on which it moves off, and on which it keeps 80 km/h; undefined where not even on the flat */
  readonly startGrade: number | undefined;
  readonly overtakingGrade: number | undefined;
}

/** The car with the store at one fill. */
export interface StoreFigures extends SprintFigures {
  /** Undefined where the car does not move off */
  readonly peakGain: PeakGain | undefined;
  readonly engineOff: SteadyDrive;
  readonly recharge: SteadyDrive;
}

/** What the store does for a car at full load. */
export interface SprintResult {
  readonly without: SprintFigures;
  readonly empty: StoreFigures;
  readonly half: StoreFigures;
  readonly full: StoreFigures;
}

/** Which drive an interval belongs to. */
export interface SprintLabel {
  readonly manoeuvre: 'standing_start' | 'overtaking';
  readonly store: 'none' | FillName;
}

/**
 * Drives a car at full load with and without a store, from an empty, a half full and a full one.
 *
 * Overtaking starts at 80 km/h in the gear with the most pull, already engaged, with the store as
 * full as the standing start began.
 *
 * @param car without a store
 * @param store
 * @param conditions
 * @param watch called with each interval of each drive
 * @throws DefectError on an open ledger
 */
export function sprint(
  car: Car,
  store: Store,
  conditions: SprintConditions,
  watch?: (label: SprintLabel, ...interval: Parameters<SprintWatch>) => void,
): SprintResult {
  const fitted = fitStore(car, store);
  const { sine, adhesion = car.sprint.tyreAdhesion, step = SPRINT_STEP } = conditions;
  const road = { sine, adhesion };

  const figures = (
    driven: Car,
    carried: Store | undefined,
    turning: number,
    name: SprintLabel['store'],
  ): SprintFigures => {
    const drive = (
      manoeuvre: SprintLabel['manoeuvre'],
      speed: number,
      goals: readonly SprintGoal[],
    ): SprintDrive => {
      const label = { manoeuvre, store: name };
      const start = { speed, rotorSpeed: turning };
      const told = watch && ((...interval: Parameters<SprintWatch>) => watch(label, ...interval));
      return new FullLoadDrive(driven, carried, road, start, goals, step, told).run();
    };
    return {
      standingStart: drive('standing_start', 0, Object.values(START_GOALS)),
      overtaking: drive('overtaking', OVERTAKING_FROM, [{ speed: OVERTAKING_TO }]),
      startGrade: steepestGrade(driven, carried, adhesion, turning, 0),
      overtakingGrade: steepestGrade(driven, carried, adhesion, turning, OVERTAKING_FROM),
    };
  };

  const without = figures(car, undefined, 0, 'none');
  const atFill = (name: FillName, share: number): StoreFigures => {
    const turning = fillSpeed(store, share);
    const { topSpeed } = without.standingStart;
    return {
      ...figures(fitted, store, turning, name),
      peakGain: peakGain(car, fitted, store, road, turning, topSpeed),
      engineOff: driveOnStore(fitted, store, sine, conditions.engineOffSpeed, turning),
      recharge: recharge(fitted, store, sine, conditions.cruiseSpeed, turning),
    };
  };
  return {
    without,
    empty: atFill('empty', 0),
    half: atFill('half', 0.5),
    full: atFill('full', 1),
  };
}

/** A passing of a standing start by its name; undefined where it was not reached. */
export function startPassing(drive: SprintDrive, name: StartGoalName): Passing | undefined {
  return drive.passings[Object.keys(START_GOALS).indexOf(name)];
}

/** Rotor speed at a share of the working range's energy [rad/s]. */
function fillSpeed({ rotor }: Store, share: number): number {
  const bottom = rotorEnergy(rotor, rotor.minSpeed);
  return rotorSpeed(rotor, bottom + share * (rotorEnergy(rotor, rotor.maxSpeed) - bottom));
}
