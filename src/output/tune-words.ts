import { fixed, rounded } from '../summary/numbers.ts';
import type { ConstraintReport, Gain, NumberReport, TuneReport } from '../tune/report.ts';
import { printable } from './problems.ts';
import { valueText } from './study-names.ts';
import { counted } from './study-words.ts';

/** A gain on other driving of less than this share of the gain on the tuned cycles is told of. */
const OVER_FITTED = 0.5;
/** A number of which a small move costs more than this share of the gain is tuned sharply. */
const SHARP = 0.5;
/** A loss below this when a number is moved by a tenth of its range: it hardly matters. */
const HARDLY = 0.02;

const FIGURES = {
  saving_vs_stop_start_pct: { words: 'saving against stop-start', unit: '%', step: 'points' },
  saving_vs_baseline_pct: { words: 'saving against the car as it is', unit: '%', step: 'points' },
  fuel_store_L_per_100km: { words: 'fuel with the store', unit: 'L/100 km', step: 'L/100 km' },
} as const;

/** What the numbers are tuned for, in words and units. */
export function figureWords({ objective }: Pick<TuneReport, 'objective'>) {
  return FIGURES[objective.figure];
}

/** Decimals of the figure that numbers are tuned for. */
export function decimalsOf({ objective }: Pick<TuneReport, 'objective'>): number {
  return objective.figure === 'fuel_store_L_per_100km' ? 3 : 2;
}

/** What it is about. */
export function headWords({ inputs, tool, search }: TuneReport): string[] {
  const name = (kind: string) => printable(inputs.find((one) => one.kind === kind)?.name ?? '');
  return [
    `Car ${name('car')}, store ${name('store')}, strategy ${name('strategy')}.`,
    `${tool}; ${counted(search.different, 'set')} of numbers tried, seed ${search.seed}.`,
  ];
}

/**
 * The figure before and after, on the tuned cycles and on those held back; where no numbers hold all
 * constraints, which are missed and by how much, since nothing has become better then.
 */
export function gainWords(report: TuneReport): string[] {
  const { objective, held_back: heldBack, cycles } = report;
  if (!report.feasible) {
    const found = isSearched(report)
      ? 'Nothing was found: no set of numbers that was tried holds all constraints. Of the set that comes nearest:'
      : 'The numbers of the files do not hold all constraints, and no others were tried:';
    return [found, ...missWords(report)];
  }
  const { words, unit, step } = figureWords(report);
  const decimals = decimalsOf(report);
  const one = (where: string, { before, after, gain }: Gain) => {
    if (gain === 0) return `${where}: ${fixed(before, decimals)} ${unit} before and after.`;
    const by = `${fixed(Math.abs(gain), decimals)} ${step} ${gain < 0 ? 'worse' : 'better'}`;
    return `${where}: ${fixed(before, decimals)} ${unit} before, ${fixed(after, decimals)} ${unit} after: ${by}.`;
  };
  const count = (isHeld: boolean) => cycles.filter((cycle) => cycle.held_back === isHeld).length;
  const over = (isHeld: boolean) => {
    const number = count(isHeld);
    const which = isHeld ? 'held-back cycle' : 'cycle';
    if (number === 1) return `on the ${which}`;
    return objective.over === 'mean'
      ? `mean over ${counted(number, which)}`
      : `worst of ${counted(number, which)}`;
  };
  const start = words[0]!.toUpperCase() + words.slice(1);
  return [
    one(`${start}, ${over(false)}`, objective),
    ...(heldBack === null ? [] : [one(`The same, ${over(true)}`, heldBack)]),
  ];
}

/** The constraints that the best numbers miss, each with its limit and by how much. */
export function missWords({ constraints }: Pick<TuneReport, 'constraints'>): string[] {
  return constraints
    .filter(({ after }) => !after.holds)
    .map((constraint) => {
      const { value, slack, cycle, why } = constraint.after;
      const name = `"${printable(constraint.name)}" (${limitsText(constraint)})`;
      if (value === null || slack === null) {
        return `${name} cannot be told: ${printable(why ?? 'its figure has no value')}.`;
      }
      const unit = constraint.of === 'change_pct' ? ' %' : '';
      const where = cycle === null ? 'in the mean' : `on ${printable(cycle)}`;
      const by = slack === 0 ? 'just at the limit' : `missed by ${figureText(-slack)}${unit}`;
      return `${name} is ${by}: ${figureText(value)}${unit} ${where}.`;
    });
}

/** What is to be known before the numbers are used. */
export function warningWords(report: TuneReport): string[] {
  const { objective, feasible } = report;
  const warnings: string[] = [];
  if (!feasible) {
    const mend = isSearched(report)
      ? 'loosen a constraint, widen the bounds or free other numbers.'
      : 'raise `budget.evaluations`.';
    return [
      ...unsearchedWords(report),
      `The numbers below are of no use as they stand: ${mend}`,
      ...boundWarnings(report),
      ...searchWarnings(report),
    ];
  }
  if (!isSearched(report)) {
    warnings.push(...unsearchedWords(report));
  } else if (objective.gain === 0) {
    warnings.push('Nothing better was found than the numbers of the files.');
  } else if (objective.gain < 0) {
    warnings.push('The numbers of the files are better, but break a constraint.');
  }
  return [
    ...warnings,
    ...boundWarnings(report),
    ...sharpWarnings(report),
    ...heldBackWarnings(report),
    ...searchWarnings(report),
  ];
}

/** Whether other numbers than those of the files were tried. */
export function isSearched({ search }: Pick<TuneReport, 'search'>): boolean {
  return search.different > 1;
}

function unsearchedWords(report: TuneReport): string[] {
  if (isSearched(report)) return [];
  return [
    `Nothing was searched: the budget is ${counted(report.search.budget, 'set')} of numbers, and the first is that of the files.`,
  ];
}

function boundWarnings({ numbers }: TuneReport): string[] {
  const names = namesOf(numbers);
  return numbers.flatMap(({ at_bound: bound, after, ...number }, k) => {
    if (bound === null) return [];
    const which = bound === 'from' ? 'lower' : 'upper';
    return `${names[k]} stands at its ${which} bound (${valueText(after)}, bounds ${number.from} to ${number.to}): the best may lie beyond it.`;
  });
}

function sharpWarnings({ numbers, objective }: TuneReport): string[] {
  const names = namesOf(numbers);
  const sharp = numbers.flatMap((number, k) => {
    const isSharp = number.moved.every(
      ({ loss }) => loss !== null && loss > SHARP * objective.gain,
    );
    return isSharp && isLookedAround(number) ? names[k]! : [];
  });
  if (objective.gain <= 0 || sharp.length === 0) return [];
  const each = sharp.length === 1 ? 'its range' : 'the range of each by itself';
  return [
    `More than half of the gain is lost with a tenth of ${each}, either way: ${sharp.join(', ')}. So narrow a best is of use only to a car that holds it as closely.`,
  ];
}

function heldBackWarnings(report: TuneReport): string[] {
  const { objective, held_back: heldBack, constraints } = report;
  if (heldBack === null) {
    return [
      'No cycle was held back, so nothing says what these numbers are worth on other driving: name some under `held_back`.',
    ];
  }
  const { step } = figureWords(report);
  const text = (value: number) => fixed(value, decimalsOf(report));
  const broken = constraints.filter(({ held_back: held }) => held !== null && !held.holds);
  const warnings = broken.map(
    ({ name }) => `On the held-back cycles this constraint does not hold: ${printable(name)}.`,
  );
  if (objective.gain <= 0 || heldBack.gain >= OVER_FITTED * objective.gain) return warnings;
  const much =
    heldBack.gain <= 0
      ? `nothing is gained (${text(heldBack.gain)} ${step})`
      : `the gain is ${text(heldBack.gain)} of ${text(objective.gain)} ${step}`;
  return [
    ...warnings,
    `On the held-back cycles ${much}: the numbers fit the cycles that they were tuned on, and other driving less.`,
  ];
}

function searchWarnings({ search }: TuneReport): string[] {
  const { refused, failed, different, reason } = search;
  const warnings: string[] = [];
  if (refused > 0) {
    warnings.push(
      `${counted(refused, 'set')} of numbers of ${different} would make no valid file, and counted as worse than any.`,
    );
  }
  if (failed > 0) {
    warnings.push(
      `${counted(failed, 'set')} of numbers of ${different} could not be run to the end, and counted as worse than any.`,
    );
  }
  if (reason !== null) warnings.push(`The first of these: ${printable(reason)}`);
  return warnings;
}

/** Names of numbers: their paths, without the kind of file where it is the same for all. */
export function namesOf(numbers: readonly NumberReport[]): readonly string[] {
  const isOne = new Set(numbers.map(({ kind }) => kind)).size === 1;
  return numbers.map(({ path, kind }) => printable(isOne ? path.slice(kind.length + 1) : path));
}

/** Whether a number was moved every way that its bounds allow: the budget may have ended before. */
export function isLookedAround({ moved, after, from, to }: NumberReport): boolean {
  const ways = [after > from, after < to].filter((isOpen) => isOpen);
  return moved.length === ways.length;
}

/** Which numbers hardly matter. */
export function flatWords(report: TuneReport): string[] {
  const names = namesOf(report.numbers);
  const flat = report.numbers.flatMap((number, k) => {
    const isFlat = number.moved.every(({ loss }) => loss !== null && loss < hardly(report));
    return isFlat && isLookedAround(number) ? names[k]! : [];
  });
  if (flat.length === 0) return [];
  const { step } = figureWords(report);
  const verb = flat.length === 1 ? 'hardly matters' : 'hardly matter';
  return [
    `${flat.join(', ')} ${verb} here: a tenth of the range up or down costs less than ${hardly(report)} ${step}.`,
  ];
}

/** In fuel a tenth of it: a point of saving is of the size of 0.1 L/100 km. */
function hardly({ objective }: TuneReport): number {
  return objective.figure === 'fuel_store_L_per_100km' ? HARDLY / 10 : HARDLY;
}

/** What a constraint asks for: `at most 6`. */
export function limitsText({ limits, of }: ConstraintReport): string {
  const words = { at_least: '≥', above: '>', at_most: '≤', below: '<' } as const;
  const unit = of === 'change_pct' ? ' %' : '';
  return Object.entries(limits)
    .map(([key, limit]) => `${words[key as keyof typeof words]} ${limit}${unit}`)
    .join(', ');
}

/** A figure of a constraint, which may be of any size. */
export function figureText(value: number | null): string {
  return value === null ? '–' : rounded(value);
}
