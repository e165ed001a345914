import {
  boundOf,
  type CycleFuel,
  NO_SAVING,
  type RankedRow,
  type Ranking,
  savingOf,
} from '../study/ranking.ts';
import { fixed } from '../summary/numbers.ts';
import { printable } from './problems.ts';
import { shortNames, valueText } from './study-names.ts';

/** Parts of a row; its cycles are what it is a mean of. */
export const PARTS = ['car', 'store', 'strategy'] as const;

/** Parts and numbers that tell the rows apart. */
export interface Labels {
  /** Of the parts, then of the varied numbers. */
  readonly headers: readonly string[];
  /** How many of them are names, which stand to the left. */
  readonly names: number;
  readonly of: (row: Pick<RankedRow, (typeof PARTS)[number] | 'values'>) => readonly string[];
}

/** What tells the rows of a ranking apart: that which is the same in all is not repeated. */
export function labelsOf(ranking: Ranking): Labels {
  const parts = PARTS.filter((part) => differs(ranking, part));
  const varied = shortNames(ranking.varied);
  return {
    headers: [...parts, ...varied],
    names: parts.length,
    of: (row) => [...parts.map((part) => printable(row[part])), ...row.values.map(valueText)],
  };
}

/** Whether the rows of a ranking have more than one such part. */
export function differs({ rows }: Ranking, part: (typeof PARTS)[number]): boolean {
  return rows.some((row) => row[part] !== rows[0]![part]);
}

/** Figures of a row or of a cycle, from the left. */
const FIGURES = ['without', 'with', 'saving', 'stop-st.'] as const;
/** Those that stand behind them where the study asks for the bound. */
const BOUND_FIGURES = ['bound', 'gap'] as const;

/** Headers of the figures of a row or of a cycle. */
export function figureHeaders({ bounded }: Ranking): readonly string[] {
  return bounded ? [...FIGURES, ...BOUND_FIGURES] : FIGURES;
}

/** What the figures are. */
export function figureWords({ bounded }: Ranking): string {
  const words =
    'Without and with the store in L/100 km; saving in % against the car as it is, then against stop-start.';
  if (!bounded) return words;
  return `${words} Bound: the least that any strategy could burn there, in L/100 km; gap in % above it.`;
}

/** Figures of mean fuels or of those of a case. */
export function figuresOf(
  { bounded }: Ranking,
  fuel: Omit<CycleFuel, 'cycle'> | null,
): readonly string[] {
  const { vs_baseline_pct, vs_stop_start_pct } = fuel === null ? NO_SAVING : savingOf(fuel);
  return [
    fixed(fuel?.baseline_L_per_100km ?? null, 3),
    fixed(fuel?.store_L_per_100km ?? null, 3),
    fixed(vs_baseline_pct, 2),
    fixed(vs_stop_start_pct, 2),
    ...(bounded
      ? [
          fixed(fuel?.bound_L_per_100km ?? null, 3),
          fixed((fuel && boundOf(fuel)?.gap_pct) ?? null, 2),
        ]
      : []),
  ];
}

/** Letters for what has to be known of a row; `noteWords` says what they mean. */
export function marksOf(row: RankedRow): string {
  const marks = [
    row.failed > 0 && 'f',
    !row.complete && row.fuel !== null && 'g',
    row.notFollowed > 0 && 't',
    row.slopeCorrected > 0 && 's',
  ];
  return marks.filter((mark) => mark !== false).join('');
}

/** Cycles that there is room for. */
const CYCLES = 8;

/** The title of what `cycleGrid` holds. */
export const CYCLE_TITLE = 'The best of them on each cycle';

/** Cycle, share in %, and figures of the best row on each of its cycles; none of a single cycle. */
export function cycleGrid(ranking: Ranking): readonly (readonly string[])[] {
  const { cycles, rows } = ranking;
  const cases = rows[0]?.cases ?? [];
  if (cases.length < 2) return [];
  const shares = new Map(cycles.map(({ name, share }) => [name, fixed(100 * share, 1)]));
  const lines = cases.slice(0, CYCLES).map((one) => {
    return [printable(one.cycle), shares.get(one.cycle)!, ...figuresOf(ranking, one)];
  });
  const more = cases.length - lines.length;
  const empty = cycleHeaders(ranking)
    .slice(1)
    .map(() => '');
  return more > 0 ? [...lines, [`… ${more} more`, ...empty]] : lines;
}

/** Headers of `cycleGrid`. */
export function cycleHeaders(ranking: Ranking): readonly string[] {
  return ['cycle', 'share %', ...figureHeaders(ranking)];
}
