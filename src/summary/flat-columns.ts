import { LIMITS } from '../physics/limit.ts';
import type { Cell } from './flat.ts';
import { LEDGER_LINES, type NodeName } from './ledger-lines.ts';
import type { Summary } from './summary.ts';

/** A column of `flatSummary`, read by itself. */
export interface FlatColumn {
  readonly name: string;
  readonly of: (summary: Summary) => Cell;
}

const BY_LIMIT = LIMITS.filter((name) => name !== '');

/** Lines that stand beside a node of the ledger. */
const BESIDE: { readonly [Name in NodeName]?: readonly string[] } = {
  fuel: ['battery_debt_charge_kJ', 'slope_correction_kJ', 'total_kJ'],
  wheel: ['traction_kJ', 'braking_kJ'],
};

/**
 * The columns of `flatSummary` that every summary has, known before any case has run: a table of
 * results must not hang on which case is its first. Reading them one by one is also much quicker
 * than making the row as an object.
 */
export const FLAT_COLUMNS: readonly FlatColumn[] = [
  ...group([], ['schema_version', 'tool']),
  ...group(['case'], ['car', 'store', 'strategy', 'cycle', 'hash']),
  ...group(
    ['cycle'],
    [
      'duration_s',
      'distance_km',
      'max_speed_kmh',
      'mean_speed_kmh',
      'speed_change_kmh',
      'altitude_change_m',
    ],
  ),
  ...group(
    ['fuel'],
    [
      'baseline_L_per_100km',
      'stop_start_L_per_100km',
      'store_L_per_100km',
      'baseline_co2_g_per_km',
      'stop_start_co2_g_per_km',
      'store_co2_g_per_km',
    ],
  ),
  ...group(['saving'], ['vs_baseline_pct', 'vs_stop_start_pct']),
  ...group(
    ['saving', 'balance'],
    [
      'method',
      'laps',
      'residual_pct_of_fuel_energy',
      'slope',
      'correction_pct_of_fuel_energy',
      'bracketed',
      'reason',
    ],
  ),
  ...node('fuel'),
  ...node('wheel'),
  ...node('electric'),
  ...node('store'),
  ...group(['ledger'], ['closure_relative']),
  ...BY_LIMIT.map((limit) => column(`missed_recovery_${limit}_kJ`, ['missed_recovery_kJ', limit])),
  ...group(['shortfall'], ['energy_kJ', 'seconds', 'pct_of_tractive']),
  ...group(
    ['counts'],
    [
      'engine_starts',
      'engine_starts_per_km',
      'engine_on_s',
      'engine_off_driving_s',
      'standstill_s',
      'overspeed_s',
      'outside_map_s',
      'lowest_stored_pct',
    ],
  ),
  ...BY_LIMIT.map((limit) => column(`counts_limit_${limit}_s`, ['counts', 'limit_s', limit])),
  { name: 'search_factor', of: ({ search }) => search?.factor ?? null },
  { name: 'search_gain', of: ({ search }) => search?.gain ?? null },
  { name: 'search_start_price_kJ', of: ({ search }) => search?.start_price_kJ ?? null },
  { name: 'warnings', of: ({ warnings }) => warnings.join(' | ') },
];

function node(name: NodeName): FlatColumn[] {
  return group(['ledger', name], [...Object.keys(LEDGER_LINES[name]), ...(BESIDE[name] ?? [])]);
}

function group(path: readonly string[], keys: readonly string[]): FlatColumn[] {
  return keys.map((key) => column([...path, key].join('_'), [...path, key]));
}

function column(name: string, path: readonly string[]): FlatColumn {
  return {
    name,
    of: (summary) => {
      let value: unknown = summary;
      for (const key of path) value = (value as Readonly<Record<string, unknown>>)[key];
      return value as Cell;
    },
  };
}
