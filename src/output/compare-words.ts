import { CASE_PARTS } from '../config/gates-file.ts';
import { GATE_LIMITS, type Gate } from '../config/load-gates.ts';
import type { Comparison } from '../study/comparison.ts';
import type { Dimension, DimensionValue } from '../study/dimensions.ts';
import type { GateValue } from '../study/gate-values.ts';
import type { GateResult } from '../study/gates.ts';
import type { OneSided } from '../study/match.ts';
import { valueWords } from '../study/notices.ts';
import { fixed } from '../summary/numbers.ts';
import { printable } from './problems.ts';
import { shortNames, valueText } from './study-names.ts';

/** Digits of figures in sentences about gates. */
const DIGITS = 6;

/** A number with a fixed number of decimals; a dash for none. */
export function figure(value: number, decimals: number): string {
  return fixed(Number.isFinite(value) ? value : null, decimals);
}

/** The same with its sign. */
export function signed(value: number, decimals: number): string {
  const text = figure(value, decimals);
  return value > 0 && Number(text) > 0 ? `+${text}` : text;
}

/** What cases are called in tables: only that in which they differ. */
export class CaseLabels {
  readonly #comparison: Comparison;
  readonly #shown: readonly string[];
  readonly #short: ReadonlyMap<string, string>;

  constructor(comparison: Comparison) {
    this.#comparison = comparison;
    const { dimensions, changed } = comparison.matching;
    const names = dimensions.after.map(({ name }) => name);
    this.#shown = names.filter(
      (name, k) => !changed.some((one) => one.name === name) && this.#differs(k),
    );
    const paths = names.slice(4);
    const short = shortNames(paths);
    this.#short = new Map(paths.map((path, k) => [path, short[k] ?? path]));
  }

  /** Of a case; all that it is called where no two cases differ. */
  of({ side, row }: OneSided): string {
    if (this.isSingle) return this.#whole(row);
    return this.#label({ side, row }, (name) => this.#shown.includes(name));
  }

  /** Of the mean over the cycles of a case. */
  ofMean({ side, row }: OneSided): string {
    const shown = this.#shownFor(true);
    if (shown.length === 0) return 'all cycles';
    return this.#label({ side, row }, (name) => shown.includes(name));
  }

  /** Of a row under `names`: values alone. */
  brief({ side, row }: OneSided, isMean = false): string {
    const shown = this.#shownFor(isMean);
    if (shown.length === 0) return isMean ? 'all cycles' : 'the case';
    return this.#comparison.matching.dimensions[side]
      .filter(({ name }) => shown.includes(name))
      .map(({ of }) => briefValue(of(row)))
      .join(' · ');
  }

  /** What the values of `brief` are of. */
  names(isMean = false): string {
    return this.#shownFor(isMean)
      .map((name) => this.#short.get(name) ?? name)
      .join(' · ');
  }

  /** Whether there is one case alone, which needs not be told from others. */
  get isSingle(): boolean {
    return this.#shown.length === 0;
  }

  #shownFor(isMean: boolean): readonly string[] {
    return isMean ? this.#shown.filter((name) => name !== 'cycle') : this.#shown;
  }

  #differs(k: number): boolean {
    const { before, after, matching } = this.#comparison;
    const values = new Set([
      ...after.rows.map((row) => matching.dimensions.after[k]?.of(row)),
      ...before.rows.map((row) => matching.dimensions.before[k]?.of(row)),
    ]);
    return values.size > 1;
  }

  #label({ side, row }: OneSided, isShown: (name: string) => boolean): string {
    return this.#comparison.matching.dimensions[side]
      .filter(({ name }) => isShown(name))
      .map((dimension) => this.#text(dimension, row))
      .join(' · ');
  }

  #text({ name, of }: Dimension, row: OneSided['row']): string {
    const value = of(row);
    if (typeof value === 'string') return printable(value);
    const short = this.#short.get(name) ?? name;
    return typeof value === 'number'
      ? `${short}=${valueText(value)}`
      : `${short} ${valueWords(value)}`;
  }

  #whole({ names }: OneSided['row']): string {
    const { changed } = this.#comparison.matching;
    const text = (name: (typeof CASE_PARTS)[number]) => {
      const both = changed.find((one) => one.name === name);
      return both === undefined ? names[name] : `${both.before} → ${both.after}`;
    };
    return printable(CASE_PARTS.map(text).join(' · '));
  }
}

function briefValue(value: DimensionValue): string {
  if (typeof value === 'string') return printable(value);
  return typeof value === 'number' ? valueText(value) : valueWords(value);
}

/** What a gate asks for, as in `saving_vs_stop_start_pct, mean over cycles, at least 7`. */
export function gateCondition(gate: Gate): string {
  const figure = {
    after: gate.figure,
    change: `change of ${gate.figure}`,
    change_pct: `change of ${gate.figure} in %`,
  }[gate.of];
  const over = gate.over === 'mean' ? ', mean over cycles,' : '';
  return printable(`${figure}${over} ${limitWords(gate)}`);
}

function limitWords(gate: Gate): string {
  const limits = Object.entries(GATE_LIMITS) as [keyof typeof GATE_LIMITS, string][];
  return limits
    .flatMap(([key, words]) => (gate[key] === undefined ? [] : [`${words} ${gate[key]}`]))
    .join(' and ');
}

/** How a gate turned out, in one line: the value that decides, and how many were looked at. */
export function gateOutcome(result: GateResult, labels: CaseLabels): string {
  const { gate, looked, missed, worst, nearest, why } = result;
  if (why !== null) return printable(why);
  const decisive = nearest ?? worst[0];
  if (decisive === undefined) return '';
  const outcome = valueOutcome(gate, decisive, labels);
  if (looked === 1) return outcome;
  const what = gate.over === 'mean' ? 'means' : 'cases';
  if (nearest !== null) return `${outcome}; nearest to the limit of ${looked} ${what}`;
  return missed === 1
    ? `${outcome}; the only one of ${looked} ${what} that does not hold`
    : `${outcome}; worst of the ${missed} of ${looked} ${what} that do not hold`;
}

/** A value that a gate was held against, with the case it is of. */
export function valueOutcome(gate: Gate, value: GateValue, labels: CaseLabels): string {
  const name = gate.over === 'mean' ? labels.ofMean(value.of) : labels.of(value.of);
  const label = labels.isSingle ? '' : `${name}: `;
  if (value.why !== null) return `${label}${printable(value.why)}`;
  const text = gateNumber(gate, value.value);
  if (gate.of === 'after') return `${label}${text}`;
  const sign = value.value > 0 ? '+' : '';
  const unit = gate.of === 'change_pct' ? ' %' : '';
  const from = `${gateNumber(gate, value.before)} before, ${gateNumber(gate, value.after)} after`;
  return `${label}${sign}${text}${unit} (${from})`;
}

/** A figure in few digits, but all of them where it would look like a limit that it is not. */
function gateNumber(gate: Gate, value: number): string {
  const short = Number(value.toPrecision(DIGITS));
  const { at_least, at_most, above, below } = gate;
  return String([at_least, at_most, above, below].includes(short) ? value : short);
}

/** Whether all gates hold; undefined without gates. */
export function gatesHold({ gates }: Comparison): boolean | undefined {
  return gates?.results.every(({ holds }) => holds);
}

/** The verdict of the gates in one line; undefined without gates. */
export function verdictWords({ gates }: Comparison): string | undefined {
  if (gates === null) return undefined;
  const name = printable(gates.name);
  const all = gates.results.length;
  const missed = gates.results.filter(({ holds }) => !holds).length;
  if (all === 1) return `The gate of ${name} ${missed === 0 ? 'holds' : 'does not hold'}`;
  if (missed === 0) return `All ${all} gates of ${name} hold`;
  return `${missed} of ${all} gates of ${name} ${missed === 1 ? 'does' : 'do'} not hold`;
}

/** What became of the cases, in sentences: matched ones first, then all that are not. */
export function countWords({ matching, counts }: Comparison): string[] {
  const { pairs, failed, unmatched, doubled } = matching;
  const { better, worse, unchanged, noFigure, sameInputs } = counts;
  const only = (side: OneSided['side']) => unmatched.filter((one) => one.side === side).length;
  const inputs =
    sameInputs === 0
      ? ''
      : sameInputs === pairs.length
        ? ' The inputs are the same before and after.'
        : ` ${sameInputs} ${sameInputs === 1 ? 'has' : 'have'} the same inputs before and after.`;
  const lost = [
    ...(failed.length > 0 ? [`${failed.length} failed`] : []),
    ...(only('before') > 0 ? [`${only('before')} only before`] : []),
    ...(only('after') > 0 ? [`${only('after')} only after`] : []),
    ...(doubled.length > 0 ? [`${doubled.length} more than once on a side`] : []),
  ];
  const unknown = noFigure > 0 ? `, ${noFigure} without a figure for fuel` : '';
  return [
    `${pairs.length} ${pairs.length === 1 ? 'case' : 'cases'} compared: ${better} with less fuel, ${worse} with more, ${unchanged} unchanged${unknown}.${inputs}`,
    ...(lost.length > 0 ? [`Not compared: ${lost.join(', ')}.`] : []),
  ];
}

/** The weights of means, in a sentence. */
export function shareWords({ shares }: Comparison): string {
  if (shares.shares === null) return 'cycles with the same share of the distance';
  const sum = Object.values(shares.shares).reduce((total, share) => total + share, 0);
  const named = (shares.needed ?? []).map(
    (cycle) => `${printable(cycle)} ${fixed((100 * shares.of(cycle)) / sum, 1)} %`,
  );
  const from = shares.from === 'gates' ? 'the gates file' : 'the study';
  return `cycles with the shares of ${from}: ${named.join(', ')}`;
}
