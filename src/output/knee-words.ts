import type { BoundCurve, Curve } from '../study/curves.ts';
import type { CurvePoint, NoKnee } from '../study/knee.ts';
import type { Ranking } from '../study/ranking.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { printable } from './problems.ts';
import { sizeGrid } from './size-grid.ts';
import { differs, PARTS } from './study-labels.ts';
import { shortNames, sizeText, valueText } from './study-names.ts';
import type { StudyReport } from './study-report.ts';
import { counted } from './study-words.ts';

/** Curves that are told of one by one; the rest is counted. */
const NAMED_CURVES = 6;

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
  const rest = more > 0 ? [`${counted(more, 'more curve')} of other parts.`] : [];
  return [...named, ...rest, ...boundWords(ranking, curves)];
}

/** Sentences of the curves that no strategy can pass: one for all strategies on the same store. */
function boundWords(ranking: Ranking, curves: readonly Curve[]): readonly string[] {
  const words = curves.flatMap((curve) => {
    const { bound } = curve;
    if (bound === null || (bound.knee.kind === 'none' && bound.knee.reason === 'few_points'))
      return [];
    return [
      shapeWords(`${curveName(ranking, curve, ['car', 'store'])}, any strategy at its best`, {
        ...bound,
        path: curve.path,
      }),
    ];
  });
  const told = [...new Set(words)];
  const more = told.length - NAMED_CURVES;
  const named = told.slice(0, NAMED_CURVES);
  return more > 0 ? [...named, `${counted(more, 'more bound')} of other parts.`] : named;
}

/** Which number, of which parts, with what held. */
export function curveName(
  ranking: Ranking,
  curve: Curve,
  told: readonly (typeof PARTS)[number][] = PARTS,
): string {
  const short = new Map(ranking.varied.map((path, k) => [path, shortNames(ranking.varied)[k]!]));
  const parts = told.filter((part) => differs(ranking, part)).map((part) => printable(curve[part]));
  const held = curve.held
    .filter(({ path, value }) => value !== null && told.some((part) => path.startsWith(`${part}.`)))
    .map(({ path, value }) => `${short.get(path)} ${valueText(value)}`);
  const together = curve.together
    .filter((path) => told.some((part) => path.startsWith(`${part}.`)))
    .map((path) => short.get(path));
  const name = [short.get(curve.path), ...together].join(' and ');
  const where = [...parts, ...held];
  return where.length === 0 ? name : `${name} (${where.join(', ')})`;
}

/**
 * The one curve that there is room to draw: the first that has a shape. A grid of two sizes shows
 * all points of it already, unless it is of the bound.
 */
export function drawnCurve(report: StudyReport): Curve | undefined {
  const grid = sizeGrid(report);
  const isShown = grid?.over === 2 && grid.rows.length > 0;
  if (isShown && !report.ranking.bounded) return undefined;
  return report.curves.find(
    ({ knee }) => knee.kind !== 'none' || (knee.reason !== 'few_points' && knee.reason !== 'flat'),
  );
}

function curveWords(ranking: Ranking, curve: Curve): string {
  return shapeWords(curveName(ranking, curve), curve);
}

/** A curve, or that of any strategy at its best. */
type Shape = BoundCurve & Pick<Curve, 'path'>;

function shapeWords(name: string, { path, knee, points }: Shape): string {
  const first = points[0];
  const text = ({ value }: CurvePoint) => sizeText(path, value);
  switch (knee.kind) {
    case 'none':
      return `${name}: ${NO_KNEE[knee.reason](points.map(text))}.`;
    case 'peak':
      return `${name}: no bend before the highest saving, ${fixed(knee.at.saving_pct, 2)} % at ${text(knee.at)}; beyond it the saving falls.`;
    case 'knee': {
      const { at, top } = knee;
      const [bend, end] = [at, top].map(text);
      const further = at === top ? '' : `, and by ${gain(at, top)} from there to ${end}`;
      const falls = top === points[points.length - 1] ? '' : '; beyond that it falls';
      return `${name}: knee at ${bend}, saving ${fixed(at.saving_pct, 2)} %. The saving grows by ${gain(first!, at)} points from ${valueText(first!.value)} to ${bend}${further}${falls}.`;
    }
  }
}

const NO_KNEE: { readonly [Reason in NoKnee]: (sizes: readonly string[]) => string } = {
  few_points: (sizes) =>
    `no knee can be seen with ${counted(sizes.length, 'value')}; give four or more`,
  flat: () => 'no knee, it hardly changes the saving',
  falling: ([least]) => `no knee, the saving falls from the least value (${least}) on`,
  rising: (sizes) =>
    `no knee, the saving still rises at the end of the range (${sizes.at(-1)}); widen the range`,
};

function gain(from: CurvePoint, to: CurvePoint): string {
  return rounded(to.saving_pct - from.saving_pct);
}
