import { caseHash, inputHash } from '../config/hash.ts';
import type { Loaded } from '../config/load.ts';
import { KILO, KMH, PERCENT, RPM } from '../config/units.ts';
import type { DrivenAxle } from '../physics/full-load.ts';
import { LIMIT, LIMITS, type LimitName } from '../physics/limit.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import { ENGINE_LIMITS, type EngineLimitName } from '../simulate/engine-limit.ts';
import { MODEL_VERSION } from '../simulate/model-version.ts';
import {
  SPRINT_STEP,
  type SprintConditions,
  type SprintFigures,
  type SprintResult,
  type StartGoalName,
  type StoreFigures,
  startPassing,
} from '../simulate/sprint.ts';
import type { SprintDrive } from '../simulate/sprint-drive.ts';
import type { SteadyDrive } from '../simulate/sprint-steady.ts';
import { type SprintLines, sprintLines } from './sprint-ledger-lines.ts';
import { notReached } from './sprint-words.ts';
import { SCHEMA_VERSION } from './summary.ts';
import { tool } from './tool.ts';

/** Raised whenever the same inputs may give another sprint. */
const SPRINT_VERSION = '1';

/** Seconds for which each limit acted in a standing start. */
export type LimitSeconds<Name extends string> = { readonly [Key in Name]: number };

/**
 * A car at full load: on its own, or with a store from one fill. The same keys for both; null stands
 * for what was not reached (`not_reached` says why) and for what there is only with a store.
 */
export interface SprintSheet {
  readonly t_0_50_kmh_s: number | null;
  readonly t_0_60_mph_s: number | null;
  readonly t_0_100_kmh_s: number | null;
  readonly t_400_m_s: number | null;
  readonly speed_400_m_kmh: number | null;
  readonly t_1_km_s: number | null;
  readonly speed_1_km_kmh: number | null;
  readonly t_80_120_kmh_s: number | null;
  readonly distance_80_120_kmh_m: number | null;
  /** From the store's first assist until it is first empty or out of its ratio range */
  readonly boost_s: number | null;
  /** Whether that came before the standing start was over; `boost_s` is what was seen of it if not */
  readonly boost_ended: boolean | null;
  /** The same in overtaking */
  readonly overtaking_boost_s: number | null;
  readonly overtaking_boost_ended: boolean | null;
  /** Greatest gain in acceleration over the car without the store at the same speed */
  readonly peak_gain_m_per_s2: number | null;
  readonly peak_gain_at_kmh: number | null;
  /** Steepest road on which it moves off, and on which it keeps 80 km/h for a moment */
  readonly max_grade_start_pct: number | null;
  readonly max_grade_80_kmh_pct: number | null;
  /** Engine off at constant speed, as far as the store goes, and what ends it; null after an hour */
  readonly engine_off_distance_m: number | null;
  readonly engine_off_s: number | null;
  readonly engine_off_ends_by: LimitName | null;
  /** Shortest time in which the engine fills the store at cruise */
  readonly recharge_s: number | null;
  /** What keeps the store from being filled, where something does */
  readonly recharge_kept_by: LimitName | 'engine' | null;
  /** Of the standing start */
  readonly engine_limit_s: LimitSeconds<EngineLimitName>;
  readonly store_limit_s: LimitSeconds<Exclude<LimitName, ''>>;
  readonly ledger: SprintLines<'drive'> & {
    readonly store: SprintLines<'store'>;
    readonly closure_relative: number;
  };
  /** Why a time or a grade is null, one sentence each */
  readonly not_reached: readonly string[];
}

/** The document that `sprint --format json` prints. */
export interface SprintSummary {
  readonly schema_version: typeof SCHEMA_VERSION;
  readonly tool: string;
  readonly case: { readonly car: string; readonly store: string; readonly hash: string };
  readonly conditions: {
    readonly grade_pct: number;
    readonly tyre_adhesion: number;
    readonly driven_axle: DrivenAxle;
    readonly store_axle: Store['axle'];
    readonly shift_time_s: number;
    readonly launch_speed_rpm: number;
    readonly engine_off_speed_kmh: number;
    readonly cruise_speed_kmh: number;
    readonly step_s: number;
  };
  readonly without_store: SprintSheet;
  /** From a full store */
  readonly with_store: SprintSheet;
  readonly with_store_half: SprintSheet;
  readonly with_store_empty: SprintSheet;
}

/**
 * The summary of a sprint of a loaded car and store, signed with this program and with the hash of
 * everything that decided the result.
 * @param car as it was loaded
 * @param store as it was loaded
 * @param conditions of the sprint
 * @param result what `sprint` gave for them
 */
export function summariseSprint(
  car: Loaded<Car>,
  store: Loaded<Store>,
  conditions: SprintConditions,
  result: SprintResult,
): SprintSummary {
  const { sprint } = car.value;
  const driven = {
    grade_pct: gradePercent(conditions.sine),
    tyre_adhesion: conditions.adhesion ?? sprint.tyreAdhesion,
    driven_axle: sprint.driven,
    store_axle: store.value.axle,
    shift_time_s: sprint.shiftTime,
    launch_speed_rpm: sprint.launchSpeed / RPM,
    engine_off_speed_kmh: conditions.engineOffSpeed / KMH,
    cruise_speed_kmh: conditions.cruiseSpeed / KMH,
    step_s: conditions.step ?? SPRINT_STEP,
  };
  const hash = caseHash(
    {
      car: inputHash(car.identity),
      store: inputHash(store.identity),
      strategy: inputHash(`sprint ${SPRINT_VERSION}`),
      cycle: inputHash(driven),
    },
    MODEL_VERSION,
  );
  const withStore = (figures: StoreFigures): SprintSheet => ({
    ...sheetOf(figures),
    ...storeCells(figures, conditions.engineOffSpeed),
  });
  return {
    schema_version: SCHEMA_VERSION,
    tool: tool(),
    case: { car: car.name, store: store.name, hash },
    conditions: driven,
    without_store: sheetOf(result.without),
    with_store: withStore(result.full),
    with_store_half: withStore(result.half),
    with_store_empty: withStore(result.empty),
  };
}

function gradePercent(sine: number): number {
  return sine / Math.sqrt(1 - sine * sine) / PERCENT;
}

function sheetOf(figures: SprintFigures): SprintSheet {
  const { standingStart: start, overtaking, startGrade, overtakingGrade } = figures;
  const time = (name: StartGoalName) => startPassing(start, name)?.time ?? null;
  const speed = (name: StartGoalName) => inUnit(startPassing(start, name)?.speed, KMH);
  const { ledger } = start;
  return {
    t_0_50_kmh_s: time('kmh50'),
    t_0_60_mph_s: time('mph60'),
    t_0_100_kmh_s: time('kmh100'),
    t_400_m_s: time('m400'),
    speed_400_m_kmh: speed('m400'),
    t_1_km_s: time('km1'),
    speed_1_km_kmh: speed('km1'),
    t_80_120_kmh_s: overtaking.passings[0]?.time ?? null,
    distance_80_120_kmh_m: overtaking.passings[0]?.distance ?? null,
    boost_s: null,
    boost_ended: null,
    overtaking_boost_s: null,
    overtaking_boost_ended: null,
    peak_gain_m_per_s2: null,
    peak_gain_at_kmh: null,
    max_grade_start_pct: inUnit(startGrade, PERCENT),
    max_grade_80_kmh_pct: inUnit(overtakingGrade, PERCENT),
    engine_off_distance_m: null,
    engine_off_s: null,
    engine_off_ends_by: null,
    recharge_s: null,
    recharge_kept_by: null,
    engine_limit_s: secondsOf(ENGINE_LIMITS, start.engineLimitTime),
    store_limit_s: storeLimitSeconds(start),
    ledger: {
      ...sprintLines('drive', ledger, KILO),
      store: sprintLines('store', ledger, KILO),
      closure_relative: Math.max(start.closure, overtaking.closure),
    },
    not_reached: notReached(figures),
  };
}

function storeCells(figures: StoreFigures, engineOffSpeed: number): Partial<SprintSheet> {
  const { standingStart, overtaking, peakGain, engineOff, recharge } = figures;
  return {
    boost_s: standingStart.boostTime,
    boost_ended: standingStart.boostEnded,
    overtaking_boost_s: overtaking.boostTime,
    overtaking_boost_ended: overtaking.boostEnded,
    peak_gain_m_per_s2: peakGain?.acceleration ?? null,
    peak_gain_at_kmh: inUnit(peakGain?.speed, KMH),
    engine_off_distance_m: engineOff.time * engineOffSpeed,
    engine_off_s: engineOff.time,
    engine_off_ends_by: limitName(engineOff),
    recharge_s: recharge.done ? recharge.time : null,
    recharge_kept_by: recharge.done
      ? null
      : recharge.limit === LIMIT.none
        ? 'engine'
        : limitName(recharge),
  };
}

function limitName({ limit }: SteadyDrive): LimitName | null {
  return limit === LIMIT.none ? null : LIMITS[limit]!;
}

function inUnit(value: number | undefined, unit: number): number | null {
  return value === undefined ? null : value / unit;
}

function secondsOf<Name extends string>(
  names: readonly Name[],
  seconds: ArrayLike<number>,
): LimitSeconds<Name> {
  return Object.fromEntries(names.map((name, i) => [name, seconds[i]!])) as LimitSeconds<Name>;
}

function storeLimitSeconds({ ledger }: SprintDrive): SprintSheet['store_limit_s'] {
  const { '': _, ...named } = secondsOf(LIMITS, ledger.limitTime);
  return named;
}
