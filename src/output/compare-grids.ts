import { type Comparison, groupChange, UNCHANGED } from '../study/comparison.ts';
import { type FigureChange, fuelChange, pairChanges } from '../study/difference.ts';
import type { LedgerChange, LineChange } from '../study/ledger-change.ts';
import type { OneSided, Pair } from '../study/match.ts';
import { type CaseLabels, figure, shareWords, signed } from './compare-words.ts';
import { printable } from './problems.ts';

/** A table of figures in any form: its title, its headers, and a label with cells a row. */
export interface Grid {
  readonly title: string;
  /** What the labels of the rows are of. */
  readonly names?: string;
  /** A line end parts the two lines of a header, where there is room for them. */
  readonly headers: readonly string[];
  readonly rows: readonly (readonly [label: string, ...cells: string[]])[];
  /** Rows that are left out. */
  readonly omitted: number;
  /** A sentence below it. */
  readonly note?: string;
}

const CHANGE_HEADERS = [
  'fuel\nbefore',
  'fuel\nafter',
  'fuel\n%',
  'saving\nas is',
  'saving\nstop-st.',
  'starts\nper km',
  'short-\nfall',
] as const;

/** What the columns of CHANGE_HEADERS are. */
export const CHANGE_WORDS =
  'Fuel with the store before and after in L/100 km and its change in %; then changes: of the saving against the car as it is and against stop-start in points, of engine starts per km, of the shortfall in points of the tractive energy. A dash is no figure.';

/** Means over cycles; none where each of them is a single case. */
export function meanGrid(comparison: Comparison, labels: CaseLabels, most: number): Grid[] {
  const { means, matching } = comparison;
  if (means.length === 0 || means.length === matching.pairs.length) return [];
  return [
    {
      title: 'Means over cycles',
      names: labels.names(true),
      headers: CHANGE_HEADERS,
      rows: means.slice(0, most).map((group) => {
        const { pairs, lacking } = group;
        const label = labels.brief({ side: 'after', row: pairs[0]!.after }, true);
        const part = lacking > 0 ? ` (${pairs.length} of ${pairs.length + lacking} cycles)` : '';
        return [`${label}${part}`, ...changeCells(groupChange(group, comparison).figures)];
      }),
      omitted: Math.max(0, means.length - most),
      note: `Means over ${shareWords(comparison)}.`,
    },
  ];
}

/** Cases without a figure for fuel, then those that burn more, most first, and less, most first. */
export function caseGrids(comparison: Comparison, labels: CaseLabels, most: number): Grid[] {
  const { pairs } = comparison.matching;
  const changes = pairs.map((pair) => ({ pair, change: fuelChange(pair) }));
  const worse = changes
    .filter(({ change }) => change > UNCHANGED)
    .toSorted((a, b) => b.change - a.change);
  const better = changes
    .filter(({ change }) => change < -UNCHANGED)
    .toSorted((a, b) => a.change - b.change);
  const grid = (title: string, list: readonly { readonly pair: Pair }[]): Grid[] => {
    if (list.length === 0) return [];
    const shown = list.slice(0, most).map(({ pair }) => pair);
    return [pairGrid(title, shown, labels, list.length - shown.length)];
  };
  const [only] = pairs;
  if (only !== undefined && pairs.length === 1) {
    const cells = changeCells(pairChanges(only));
    const title = labels.of({ side: 'after', row: only.after });
    return [
      { title, names: '', headers: CHANGE_HEADERS, rows: [['the case', ...cells]], omitted: 0 },
    ];
  }
  const unknown = changes.filter(({ change }) => Number.isNaN(change));
  return [
    ...grid('No figure for fuel', unknown),
    ...grid('More fuel', worse),
    ...grid('Less fuel', better),
  ];
}

/** Every compared case, in the order of the result after. */
export function allCasesGrid({ matching }: Comparison, labels: CaseLabels, most: number): Grid {
  const { pairs } = matching;
  return pairGrid('All cases', pairs.slice(0, most), labels, Math.max(0, pairs.length - most));
}

function pairGrid(
  title: string,
  pairs: readonly Pair[],
  labels: CaseLabels,
  omitted: number,
): Grid {
  return {
    title,
    names: labels.names(),
    headers: CHANGE_HEADERS,
    rows: pairs.map((pair) => [
      labels.brief({ side: 'after', row: pair.after }),
      ...changeCells(pairChanges(pair)),
    ]),
    omitted,
  };
}

function changeCells([
  fuel,
  asIs,
  stopStart,
  starts,
  shortfall,
]: readonly FigureChange[]): string[] {
  const { before, after, change } = fuel!;
  const percent = before === after ? 0 : (100 * change) / before;
  return [
    figure(before, 3),
    figure(after, 3),
    signed(percent, 2),
    signed(asIs!.change, 2),
    signed(stopStart!.change, 2),
    signed(starts!.change, 2),
    signed(shortfall!.change, 3),
  ];
}

/**
 * What moved in the ledger: its lines by size, and what they add up to; none where nothing moved.
 * @param change of a case or of means
 * @param most lines that stand by themselves
 */
export function ledgerGrid({ ledger: change, means }: Comparison, most: number): Grid[] {
  if (change === null) return [];
  const of = means.length > 1 ? `, in the mean of all ${means.length}` : '';
  const moved = change.parts
    .filter(({ perKm }) => perKm !== 0)
    .toSorted((a, b) => sizeOf(b) - sizeOf(a));
  if (moved.length === 0) return [];
  const shown = moved.slice(0, most);
  const rest = moved.slice(most);
  const sum = (pick: (line: LineChange) => number) =>
    rest.reduce((total, line) => total + pick(line), 0);
  return [
    {
      title: `What moved in the ledger${of}`,
      headers: ['kJ/km', '% of fuel'],
      rows: [
        ...shown.map(({ part, ...figures }) => ledgerRow(part.words, figures)),
        ...(rest.length > 0
          ? [
              ledgerRow(`${rest.length} other lines`, {
                perKm: sum(({ perKm }) => perKm),
                ofFuel: sum(({ ofFuel }) => ofFuel),
              }),
            ]
          : []),
        ledgerRow('= fuel that counts', change.fuel),
      ],
      omitted: 0,
    },
  ];
}

/** A line without a figure stands first: what is below it does not add up. */
function sizeOf({ perKm }: LineChange): number {
  return Number.isFinite(perKm) ? Math.abs(perKm) : Number.MAX_VALUE;
}

/** What went through the store, in a sentence; none where nothing of it moved. */
export function flowWords({ ledger }: Comparison): string[] {
  const moved = ledger?.flows.filter(({ perKm }) => perKm !== 0) ?? [];
  if (moved.length === 0) return [];
  const named = moved.map(
    ({ part, perKm }) => `${part.words.replace(/^store: /, '')} ${signed(perKm, 2)}`,
  );
  return [`Through the store, kJ/km: ${named.join(', ')}.`];
}

function ledgerRow(
  words: string,
  { perKm, ofFuel }: LedgerChange['fuel'],
): [string, string, string] {
  return [words, signed(perKm, 2), signed(ofFuel, 3)];
}

/** Cases that could not be compared, each with its reason. */
export function notComparedGrid(
  { matching }: Comparison,
  labels: CaseLabels,
  most: number,
): Grid[] {
  const { failed, unmatched, doubled } = matching;
  const failure = ({ side, row }: OneSided): string =>
    row.failure === null ? `ran ${side}` : `failed ${side}: ${printable(row.failure)}`;
  const rows = [
    ...failed.map(({ before, after }): [string, string] => [
      labels.of({ side: 'after', row: after }),
      [failure({ side: 'before', row: before }), failure({ side: 'after', row: after })].join('; '),
    ]),
    ...unmatched.map((one): [string, string] => [
      labels.of(one),
      one.row.failure === null ? `only ${one.side}` : `only ${one.side}, and ${failure(one)}`,
    ]),
    ...doubled.map((one): [string, string] => [
      labels.of(one),
      `more than once on a side; ${one.side}`,
    ]),
  ];
  if (rows.length === 0) return [];
  return [
    {
      title: 'Not compared',
      headers: ['why'],
      rows: rows.slice(0, most),
      omitted: Math.max(0, rows.length - most),
    },
  ];
}
