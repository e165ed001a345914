import type { Cell } from '../summary/flat.ts';
import type { DoneRecord } from './record.ts';

/** A column of the bound, read by itself; null where a case has none. */
interface BoundColumn {
  readonly name: string;
  readonly of: (record: Pick<DoneRecord, 'fuel' | 'bound'>) => Cell;
}

/** The columns of the bound, named as those of a single run that has it. */
export const BOUND_COLUMNS: readonly BoundColumn[] = [
  ...(['bound_L_per_100km', 'bound_co2_g_per_km'] as const).map((key) => ({
    name: `fuel_${key}`,
    of: ({ fuel }: Pick<DoneRecord, 'fuel'>) => fuel[key] ?? null,
  })),
  ...(
    [
      'gap_pct',
      'refinement_pct',
      'saving_vs_baseline_pct',
      'saving_vs_stop_start_pct',
      'shortfall_kJ',
    ] as const
  ).map((key) => ({
    name: `bound_${key}`,
    of: ({ bound }: Pick<DoneRecord, 'bound'>) => bound?.[key] ?? null,
  })),
];
