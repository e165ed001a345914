import type { Curve } from '../study/curves.ts';
import type { CurvePoint, NoKnee } from '../study/knee.ts';
import { type RankedCase, type RankedRow, type Ranking, savingOf } from '../study/rank.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { printable } from './problems.ts';
import { shortNames, valueText } from './study-names.ts';
import type { StudyReport } from './study-report.ts';

/** Cycles and curves that are named one by one; the rest is counted. */
const NAMED_CYCLES = 6;
const NAMED_CURVES = 6;

const PARTS = ['car', 'store', 'strategy'] as const;

/** How many cases there are, and what the figures below are means over. */
export function headWords({ tool, ranking }: StudyReport): string[] {
  const { done, failed, rows } = ranking;
  const all = counted(done + failed, 'case');
  const cases = failed === 0 ? all : `${all}, ${failed} of them failed`;
  const constant = PARTS.filter((part) => !differs(ranking, part)).map(
    (part) => `${part} ${printable(rows[0]?.[part] ?? '')}`,
  );
  return [
    `${cases}; ${tool}`,
    ...(rows.length > 0 && constant.length > 0 ? [`All with ${constant.join(', ')}.`] : []),
    ...cycleWords(ranking),
  ];
}

function cycleWords({ cycles }: Ranking): string[] {
  const counting = cycles.filter(({ share }) => share > 0);
  const without = cycles.filter(({ share }) => share === 0).map(({ name }) => printable(name));
  const [first] = counting;
  const words: string[] = [];
  if (counting.length === 1) words.push(`On ${printable(first!.name)}.`);
  if (counting.length > 1) {
    const areEqual = counting.every(({ share }) => share === first!.share);
    const named = counting
      .slice(0, NAMED_CYCLES)
      .map(
        ({ name, share }) => `${printable(name)}${areEqual ? '' : ` ${fixed(100 * share, 1)} %`}`,
      );
    const more = counting.length - named.length;
    const list = [...named, ...(more > 0 ? [`${more} more`] : [])].join(', ');
    words.push(`Means over ${list}${areEqual ? ', all with the same share' : ''} of the distance.`);
  }
  if (without.length > 0) words.push(`Without a share, so in no mean: ${without.join(', ')}.`);
  return words;
}

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

function differs({ rows }: Ranking, part: (typeof PARTS)[number]): boolean {
  return rows.some((row) => row[part] !== rows[0]![part]);
}

/** Headers of the figures of a row. */
export const FIGURES = ['without', 'with', 'saving', 'stop-st.', ''] as const;

/** What the figures are. */
export const FIGURE_WORDS =
  'Without and with the store in L/100 km; saving in % against the car as it is, then against stop-start.';

/** The figures of a row, its marks with them. */
export function figuresOf(row: RankedRow): readonly string[] {
  const { fuel, saving } = row;
  return [
    fixed(fuel?.baseline_L_per_100km ?? null, 3),
    fixed(fuel?.store_L_per_100km ?? null, 3),
    fixed(saving.vs_baseline_pct, 2),
    fixed(saving.vs_stop_start_pct, 2),
    marksOf(row),
  ];
}

function marksOf(row: RankedRow): string {
  const marks = [
    row.failed > 0 && 'f',
    !row.complete && row.fuel !== null && 'g',
    row.notFollowed > 0 && 't',
    row.slopeCorrected > 0 && 's',
  ];
  return marks.filter((mark) => mark !== false).join('');
}

/** What the marks of the rows mean, those that there are; and what failed. */
export function noteWords(ranking: Ranking): string[] {
  const { rows, failed, failures, notFollowed, slopeCorrected, tolerance } = ranking;
  const gaps = rows.filter((row) => !row.complete && row.fuel !== null).length;
  const told = failures.reduce((sum, { cases }) => sum + cases, 0);
  const notes: string[] = [];
  if (failed > 0) notes.push(`f: ${counted(failed, 'case')} failed.`);
  for (const { kind, message, cases } of failures) {
    const why = kind === 'defect' ? 'by a defect of the program' : 'by their inputs';
    notes.push(`   ${cases} ${why}: ${printable(message)}`);
  }
  if (told < failed) notes.push(`   ${failed - told} for other reasons.`);
  if (gaps > 0) {
    notes.push(
      `g: ${counted(gaps, 'mean')} without all of the cycles, which can be compared with no other.`,
    );
  }
  if (notFollowed > 0) {
    notes.push(
      `t: in ${counted(notFollowed, 'case')} the trace was not followed (more than ${tolerance} % of the tractive energy missing), so that the saving is none to rely on.`,
    );
  }
  if (slopeCorrected > 0) {
    notes.push(
      `s: ${counted(slopeCorrected, 'case')} with fuel corrected along a slope, not balanced by repetition.`,
    );
  }
  return notes;
}

/** The single cases at both ends; they say nothing new where there is but one cycle. */
export function extremeWords(ranking: Ranking): string[] {
  const { best, worst, cycles } = ranking;
  if (cycles.length < 2 || best === null || worst === null) return [];
  return [
    `Highest saving of a single case: ${caseWords(ranking, best)}.`,
    `Lowest saving of a single case: ${caseWords(ranking, worst)}.`,
  ];
}

function caseWords(ranking: Ranking, single: RankedCase): string {
  const { headers, names, of } = labelsOf(ranking);
  const labels = of(single).map((text, k) => (k < names ? text : `${headers[k]} ${text || '–'}`));
  const who = labels.length === 0 ? '' : ` with ${labels.join(', ')}`;
  return `${fixed(single.vs_baseline_pct, 2)} % on ${printable(single.cycle)}${who}`;
}

/** Cycles that there is room for. */
const CYCLES = 8;

/** The title of what `cycleGrid` holds. */
export const CYCLE_TITLE = 'The best of them on each cycle';

/** Cycle, share in %, and figures of the best row on each of its cycles; none of a single cycle. */
export function cycleGrid({ cycles, rows }: Ranking): readonly (readonly string[])[] {
  const cases = rows[0]?.cases ?? [];
  if (cases.length < 2) return [];
  const shares = new Map(cycles.map(({ name, share }) => [name, fixed(100 * share, 1)]));
  const lines = cases.slice(0, CYCLES).map((one) => {
    const { vs_baseline_pct, vs_stop_start_pct } = savingOf(one);
    return [
      printable(one.cycle),
      shares.get(one.cycle)!,
      fixed(one.baseline_L_per_100km, 3),
      fixed(one.store_L_per_100km, 3),
      fixed(vs_baseline_pct, 2),
      fixed(vs_stop_start_pct, 2),
    ];
  });
  const more = cases.length - lines.length;
  return more > 0 ? [...lines, [`… ${more} more`, '', '', '', '', '']] : lines;
}

/** Headers of `cycleGrid`. */
export const CYCLE_HEADERS = ['cycle', 'share %', ...FIGURES.slice(0, 4)] as const;

/** The title of what `kneeWords` says. */
export const KNEE_TITLE = 'Where more store brings less';

/**
 * A sentence a curve; none where a study varies no number of the store. Curves of too few points
 * are passed over if there are others.
 */
export function kneeWords({ ranking, curves }: StudyReport): string[] {
  const drawable = curves.filter(
    ({ knee }) => !(knee.kind === 'none' && knee.reason === 'few_points'),
  );
  const told = drawable.length > 0 ? drawable : curves.slice(0, 1);
  const named = told.slice(0, NAMED_CURVES).map((curve) => curveWords(ranking, curve));
  const more = told.length - named.length;
  return more > 0 ? [...named, `${counted(more, 'more curve')} of other parts.`] : named;
}

/** Which number, of which parts, with what held. */
export function curveName(ranking: Ranking, curve: Curve): string {
  const short = new Map(ranking.varied.map((path, k) => [path, shortNames(ranking.varied)[k]!]));
  const parts = PARTS.filter((part) => differs(ranking, part)).map((part) =>
    printable(curve[part]),
  );
  const held = curve.held
    .filter(({ value }) => value !== null)
    .map(({ path, value }) => `${short.get(path)} ${valueText(value)}`);
  const together = curve.together.map((path) => short.get(path));
  const name = [short.get(curve.path), ...together].join(' and ');
  const where = [...parts, ...held];
  return where.length === 0 ? name : `${name} (${where.join(', ')})`;
}

/** The one curve that there is room to draw: the first that has a shape. */
export function drawnCurve({ curves }: StudyReport): Curve | undefined {
  return curves.find(
    ({ knee }) => knee.kind !== 'none' || (knee.reason !== 'few_points' && knee.reason !== 'flat'),
  );
}

function curveWords(ranking: Ranking, curve: Curve): string {
  const { knee, points } = curve;
  const name = curveName(ranking, curve);
  const first = points[0];
  switch (knee.kind) {
    case 'none':
      return `${name}: ${NO_KNEE[knee.reason](points)}.`;
    case 'peak':
      return `${name}: no bend before the highest saving, ${fixed(knee.at.saving_pct, 2)} % at ${valueText(knee.at.value)}; beyond it the saving falls.`;
    case 'knee': {
      const { at, top } = knee;
      const [start, bend, end] = [first!, at, top].map(({ value }) => valueText(value));
      const further = at === top ? '' : `, and by ${gain(at, top)} from there to ${end}`;
      const falls = top === points[points.length - 1] ? '' : '; beyond that it falls';
      return `${name}: knee at ${bend}, saving ${fixed(at.saving_pct, 2)} %. The saving grows by ${gain(first!, at)} points from ${start} to ${bend}${further}${falls}.`;
    }
  }
}

const NO_KNEE: { readonly [Reason in NoKnee]: (points: readonly CurvePoint[]) => string } = {
  few_points: (points) =>
    `no knee can be seen with ${counted(points.length, 'value')}; give four or more`,
  flat: () => 'no knee, it hardly changes the saving',
  falling: (points) => `no knee, the saving falls from the least value (${ends(points)[0]}) on`,
  rising: (points) =>
    `no knee, the saving still rises at the end of the range (${ends(points)[1]}); widen the range`,
};

function ends(points: readonly CurvePoint[]): readonly [string, string] {
  return [valueText(points[0]!.value), valueText(points[points.length - 1]!.value)];
}

function gain(from: CurvePoint, to: CurvePoint): string {
  return rounded(to.saving_pct - from.saving_pct);
}

export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}
