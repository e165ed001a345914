import type { DoneRecord, FailedRecord, VariedValues } from '../../src/study/record.ts';
import type { CaseNames } from '../../src/summary/summary.ts';
import { plainSummary } from '../output/plain-case.ts';

/** What a made-up record is about; the rest is that of the plain case. */
export interface Made extends Partial<CaseNames> {
  readonly varied?: VariedValues;
  /** Fuel as it is, with stop-start and with the store [L/100 km] */
  readonly fuel?: readonly [number, number, number];
  /** [% of the tractive energy] */
  readonly shortfall?: number;
  readonly slope?: boolean;
  /** Least fuel of any strategy [L/100 km] */
  readonly bound?: number;
}

const NAMES = { car: 'a', store: 'b', strategy: 'c', cycle: 'd' } as const;

function namesOf({ car, store, strategy, cycle }: Made): DoneRecord['case'] {
  return {
    car: car ?? NAMES.car,
    store: store ?? NAMES.store,
    strategy: strategy ?? NAMES.strategy,
    cycle: cycle ?? NAMES.cycle,
    hash: '0123456789abcdef',
  };
}

/** A finished case with the fuel that is given; its savings follow from that. */
export function doneRecord(made: Made = {}): DoneRecord {
  const { varied = {}, fuel: [asIs, stopStart, store] = [5, 4.8, 4.5], shortfall = 0 } = made;
  const percentOf = (reference: number, used = store) =>
    reference > 0 ? (100 * (reference - used)) / reference : null;
  return {
    ...plainSummary,
    state: 'done',
    varied,
    case: namesOf(made),
    fuel: {
      baseline_L_per_100km: asIs,
      stop_start_L_per_100km: stopStart,
      store_L_per_100km: store,
      baseline_co2_g_per_km: 26 * asIs,
      stop_start_co2_g_per_km: 26 * stopStart,
      store_co2_g_per_km: 26 * store,
      ...(made.bound !== undefined && {
        bound_L_per_100km: made.bound,
        bound_co2_g_per_km: 26 * made.bound,
      }),
    },
    saving: {
      vs_baseline_pct: percentOf(asIs),
      vs_stop_start_pct: percentOf(stopStart),
      balance: made.slope === true ? SLOPE : plainSummary.saving.balance,
    },
    ...(made.bound !== undefined && {
      bound: {
        gap_pct: (100 * (store - made.bound)) / made.bound,
        refinement_pct: 0.01,
        saving_vs_baseline_pct: percentOf(asIs, made.bound),
        saving_vs_stop_start_pct: percentOf(stopStart, made.bound),
        shortfall_kJ: 0,
      },
    }),
    shortfall: { ...plainSummary.shortfall, pct_of_tractive: shortfall },
  };
}

const SLOPE = {
  method: 'slope',
  laps: 5,
  residual_pct_of_fuel_energy: 0.4,
  slope: 2.5,
  correction_pct_of_fuel_energy: -1,
  bracketed: false,
  reason: 'open_trace',
} as const;

/** A case that failed. */
export function failedRecord(
  made: Made = {},
  message = 'it broke',
  kind: FailedRecord['error']['kind'] = 'defect',
): FailedRecord {
  return {
    state: 'failed',
    varied: made.varied ?? {},
    tool: plainSummary.tool,
    case: namesOf(made),
    error: { kind, message, problems: [] },
  };
}
