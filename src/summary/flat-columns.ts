import { LIMITS } from '../physics/limit.ts';
import { LEDGER_LINES, type NodeName } from './ledger-lines.ts';

const BY_LIMIT = LIMITS.filter((name) => name !== '');

/** Lines that stand beside a node of the ledger. */
const BESIDE: { readonly [Name in NodeName]?: readonly string[] } = {
  fuel: ['battery_debt_charge_kJ', 'slope_correction_kJ', 'total_kJ'],
  wheel: ['traction_kJ', 'braking_kJ'],
};

/**
 * The columns of `flatSummary`, known before any case has run: a table of results must not hang on
 * which case is its first.
 */
export const FLAT_COLUMNS: readonly string[] = [
  'schema_version',
  'tool',
  ...group('case', ['car', 'store', 'strategy', 'cycle', 'hash']),
  ...group('cycle', [
    'duration_s',
    'distance_km',
    'max_speed_kmh',
    'mean_speed_kmh',
    'speed_change_kmh',
    'altitude_change_m',
  ]),
  ...group('fuel', [
    'baseline_L_per_100km',
    'stop_start_L_per_100km',
    'store_L_per_100km',
    'baseline_co2_g_per_km',
    'stop_start_co2_g_per_km',
    'store_co2_g_per_km',
  ]),
  ...group('saving', ['vs_baseline_pct', 'vs_stop_start_pct']),
  ...group('saving_balance', [
    'method',
    'laps',
    'residual_pct_of_fuel_energy',
    'slope',
    'correction_pct_of_fuel_energy',
    'bracketed',
    'reason',
  ]),
  ...node('fuel'),
  ...node('wheel'),
  ...node('electric'),
  ...node('store'),
  'ledger_closure_relative',
  ...BY_LIMIT.map((name) => `missed_recovery_${name}_kJ`),
  ...group('shortfall', ['energy_kJ', 'seconds', 'pct_of_tractive']),
  ...group('counts', [
    'engine_starts',
    'engine_starts_per_km',
    'engine_on_s',
    'engine_off_driving_s',
    'standstill_s',
    'overspeed_s',
    'outside_map_s',
  ]),
  ...BY_LIMIT.map((name) => `counts_limit_${name}_s`),
  'warnings',
];

function node(name: NodeName): string[] {
  return group(`ledger_${name}`, [...Object.keys(LEDGER_LINES[name]), ...(BESIDE[name] ?? [])]);
}

function group(name: string, keys: readonly string[]): string[] {
  return keys.map((key) => `${name}_${key}`);
}
