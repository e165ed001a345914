import type { Problem } from './problem.ts';
import { PERCENT } from './units.ts';

/** A group of a record, whatever stands in it. */
type Group = Readonly<Record<string, unknown>>;

/** A percentage of a record: 100 (more − less) / of, with fuels of the same record. */
interface Percentage {
  readonly group: 'saving' | 'bound';
  readonly key: string;
  readonly more: string;
  readonly less: string;
  readonly of: string;
}

const BASELINE = 'baseline_L_per_100km';
const STOP_START = 'stop_start_L_per_100km';
const STORE = 'store_L_per_100km';
const BOUND = 'bound_L_per_100km';

const PERCENTAGES: readonly Percentage[] = [
  saving('saving', 'vs_baseline_pct', BASELINE, STORE),
  saving('saving', 'vs_stop_start_pct', STOP_START, STORE),
  saving('bound', 'saving_vs_baseline_pct', BASELINE, BOUND),
  saving('bound', 'saving_vs_stop_start_pct', STOP_START, BOUND),
  { group: 'bound', key: 'gap_pct', more: STORE, less: BOUND, of: BOUND },
];

function saving(group: Percentage['group'], key: string, from: string, to: string): Percentage {
  return { group, key, more: from, less: to, of: from };
}

/** Percentages of unrounded doubles agree to some 1e-13; this is far above that [points]. */
const EXACT = 1e-9;

/**
 * The savings of a record, and its gap to the bound, that do not follow from the fuels beside them:
 * somebody has changed one of them. Each number may be rounded to the digits that it has. A null is
 * no figure, and nothing is held against it.
 *
 * @param record as it was read, its groups unchecked
 * @param place where it stands
 */
export function percentProblems(
  record: Group,
  place: Pick<Problem, 'file' | 'line'>,
): readonly Problem[] {
  const { fuel } = record as Readonly<Record<string, Group | null | undefined>>;
  return PERCENTAGES.flatMap(({ group, key, more, less, of }): Problem[] => {
    const written = (record[group] as Group | null | undefined)?.[key];
    const [high, low, whole] = [fuel?.[more], fuel?.[less], fuel?.[of]];
    if (!isNumber(written) || !isNumber(high) || !isNumber(low) || !isNumber(whole)) return [];
    if (!(whole > 0)) return [];
    const value = (high - low) / whole / PERCENT;
    if (Math.abs(written - value) <= EXACT) return [];
    // The worst that rounding can have done: of the difference, and of what it is a share of.
    const rounded =
      (halfUnit(high) + halfUnit(low) + halfUnit(whole) * Math.abs(value * PERCENT)) / whole;
    if (Math.abs(written - value) <= halfUnit(written) + rounded / PERCENT + EXACT) return [];
    return [
      {
        code: 'not-of-its-fuel',
        ...place,
        path: `${group}.${key}`,
        found: String(written),
        expected: `${Number(value.toPrecision(6))}, which \`fuel.${more}\` ${high} and \`fuel.${less}\` ${low} give`,
        hint: 'the result was changed after it was made, or is damaged: make it again',
      },
    ];
  });
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

/** Half a unit of the last digit that a number is written with. */
function halfUnit(value: number): number {
  const [, fraction = '', exponent = '0'] = /(?:\.(\d+))?(?:e(.+))?$/.exec(String(value)) ?? [];
  return 0.5 * 10 ** (Number(exponent) - fraction.length);
}
