import type { Curve } from '../study/curves.ts';
import type { RankedRow } from '../study/ranking.ts';
import { fixed } from '../summary/numbers.ts';
import { printable } from './problems.ts';
import { differs, marksOf } from './study-labels.ts';
import { shortNames, valueText } from './study-names.ts';
import type { StudyReport } from './study-report.ts';

/** Values of a number that a screen has room for: of one alone, and of each of two. */
const MOST = 12;
const MOST_OF_TWO = 8;

/** The title of what `sizeGrid` holds. */
export const SIZE_TITLE = 'Least fuel by size of the store';

/** What each size of a store makes possible. */
export interface SizeGrid {
  /** Over how many numbers it goes */
  readonly over: 1 | 2;
  /** What the cells are, in sentences */
  readonly words: string;
  readonly headers: readonly string[];
  /** Cells of each row, of which the first is its size; none where there are too many sizes */
  readonly rows: readonly (readonly string[])[];
}

/** A varied number of the store, by rising values. */
interface Size {
  readonly name: string;
  /** With those of the numbers that change with it */
  readonly names: string;
  readonly at: (row: RankedRow) => number | null;
  readonly values: readonly number[];
}

/**
 * The least fuel over one or two numbers of the store that a study varies: of any strategy, where the
 * study asks for it, else of the best of its own. Car and store are those of the best row. One number
 * without the bound has no grid: the ranking says it all.
 */
export function sizeGrid({ ranking, curves }: StudyReport): SizeGrid | undefined {
  const rows = sameStore(ranking.rows, ranking.varied);
  const [one, other, third] = sizesOf(ranking.varied, curves, rows);
  if (one === undefined || third !== undefined) return undefined;
  if (other === undefined && !ranking.bounded) return undefined;
  if (other === undefined) return alongOne(one, rows, differs(ranking, 'strategy'));
  return overTwo(one, other, rows, ranking.bounded);
}

/** The numbers whose curves go through the best row. */
function sizesOf(
  varied: readonly string[],
  curves: readonly Curve[],
  rows: readonly RankedRow[],
): readonly Size[] {
  const [first] = curves;
  const names = shortNames(varied);
  const short = (path: string) => names[varied.indexOf(path)]!;
  return curves
    .filter(
      ({ car, store, strategy }) =>
        car === first!.car && store === first!.store && strategy === first!.strategy,
    )
    .map(({ path, together }) => {
      const k = varied.indexOf(path);
      const at = ({ values }: RankedRow) => values[k] ?? null;
      const values = [...new Set(rows.map(at))].filter((value) => value !== null);
      return {
        name: short(path),
        names: [path, ...together].map(short).join(' and '),
        at,
        values: values.toSorted((a, b) => a - b),
      };
    });
}

/** Rows that compare: of the car and the store of the best one, all numbers of that car the same. */
function sameStore(rows: readonly RankedRow[], varied: readonly string[]): readonly RankedRow[] {
  const [best] = rows;
  const ofCar = varied.flatMap((path, k) => (path.startsWith('car.') ? k : []));
  return rows.filter(
    ({ complete, car, store, values }) =>
      complete &&
      car === best!.car &&
      store === best!.store &&
      ofCar.every((k) => values[k] === best!.values[k]),
  );
}

/** Any strategy at its best, and the best of those of the study, a row a value. */
function alongOne(size: Size, rows: readonly RankedRow[], hasStrategies: boolean): SizeGrid {
  if (size.values.length > MOST) return tooLarge([size]);
  const named = hasStrategies ? ['strategy'] : [];
  const together = size.names === size.name ? '' : ` Sizes: ${size.names} change together.`;
  return {
    over: 1,
    words: `Bound: what any strategy burns at least, in L/100 km, and what that saves against the car as it is, in %. With: the ${hasStrategies ? 'best strategy' : 'strategy'} of this study.${together}`,
    headers: [size.name, 'bound', 'saving', 'with', 'saving', ...named, ''],
    rows: size.values.map((value) => {
      // The ranking has the best first.
      const best = rows.find((row) => size.at(row) === value);
      return [
        valueText(value),
        fixed(best?.fuel?.bound_L_per_100km ?? null, 3),
        fixed(best?.bound?.saving_vs_baseline_pct ?? null, 2),
        fixed(best?.fuel?.store_L_per_100km ?? null, 3),
        fixed(best?.saving.vs_baseline_pct ?? null, 2),
        ...named.map(() => printable(best?.strategy ?? '–')),
        best === undefined ? '' : marksOf(best),
      ];
    }),
  };
}

/** The least fuel, one number downwards and the other across. */
function overTwo(
  down: Size,
  across: Size,
  rows: readonly RankedRow[],
  isBounded: boolean,
): SizeGrid {
  if ([down, across].some(({ values }) => values.length > MOST_OF_TWO)) {
    return tooLarge([down, across]);
  }
  const cell = (value: number, second: number) => {
    // The ranking has the best first, and the same car burns the same without a store.
    const best = rows.find((row) => down.at(row) === value && across.at(row) === second);
    if (best === undefined) return fixed(null, 3);
    if (isBounded) return fixed(best.fuel?.bound_L_per_100km ?? null, 3);
    return `${fixed(best.fuel?.store_L_per_100km ?? null, 3)} ${marksOf(best)}`.trimEnd();
  };
  const whose = isBounded
    ? 'what any strategy burns at least'
    : 'what the best strategy of this study burns';
  return {
    over: 2,
    words: `In L/100 km, ${whose}: ${down.names} downwards, ${across.names} across.`,
    headers: [down.name, ...across.values.map(valueText)],
    rows: down.values.map((value) => [
      valueText(value),
      ...across.values.map((second) => cell(value, second)),
    ]),
  };
}

/** A grid that is too large for a screen is not shown in part: no size is more telling than another. */
function tooLarge(sizes: readonly Size[]): SizeGrid {
  const counts = sizes.map(({ values }) => values.length).join(' × ');
  return {
    over: sizes.length === 1 ? 1 : 2,
    words: `${counts} sizes are more than fit here: results.csv has them all.`,
    headers: [],
    rows: [],
  };
}
