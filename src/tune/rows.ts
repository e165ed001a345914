import { figureNamed } from '../study/figures.ts';
import type { PlannedCase } from '../study/plan.ts';
import type { FailedRecord } from '../study/record.ts';
import { FigureStore, type ResultRow } from '../study/result-row.ts';
import { FLAT_COLUMNS } from '../summary/flat-columns.ts';
import type { Summary } from '../summary/summary.ts';
import type { Tune } from './tune.ts';

/** What is shown of every cycle, whatever numbers are tuned for. */
export const SHOWN = [
  'fuel_baseline_L_per_100km',
  'fuel_stop_start_L_per_100km',
  'fuel_store_L_per_100km',
  'saving_vs_baseline_pct',
  'saving_vs_stop_start_pct',
] as const;

/** Figure that says how far a trace was followed. */
export const SHORTFALL = 'shortfall_pct_of_tractive';

/** A case that ran, or why it did not. */
export type CaseOutcome = ResultRow | FailedRecord['error'];

/** Reads the figures that a tune needs out of the journal. */
export class RowReader {
  readonly #columns: typeof FLAT_COLUMNS;
  readonly #store: FigureStore;

  constructor({ objective, constraints }: Pick<Tune, 'objective' | 'constraints'>) {
    const figures = [
      ...SHOWN,
      SHORTFALL,
      objective.figure,
      ...constraints.map((one) => one.figure),
    ];
    const wanted = new Set(figures.flatMap((name) => figureNamed(name).columns));
    this.#columns = FLAT_COLUMNS.filter(({ name }) => wanted.has(name));
    this.#store = new FigureStore(this.#columns.map(({ name }) => name));
  }

  /** @param entry line of the journal */
  read(entry: string, { names, hash }: PlannedCase): CaseOutcome {
    const { state, result } = JSON.parse(entry) as {
      readonly state: 'done' | 'failed';
      readonly result: Summary & Pick<FailedRecord, 'error'>;
    };
    if (state === 'failed') return result.error;
    const values = this.#columns.map(({ of }) => {
      const value = of(result);
      return typeof value === 'number' ? value : Number.NaN;
    });
    return { names, varied: [], hash, failure: null, figures: this.#store.add(values) };
  }
}
