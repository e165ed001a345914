import { DefectError } from '../config/problem.ts';
import { isFeasible, type Merit } from '../optimum/merit.ts';
import type { Journal } from '../study/journal.ts';
import type { PlannedCase } from '../study/plan.ts';
import type { ResultRow } from '../study/result-row.ts';
import type { Crew } from '../study/work.ts';
import { type Candidate, Candidates } from './candidates.ts';
import { type Conditions, violationOf } from './conditions.ts';
import type { Objective } from './objective.ts';
import { type CaseOutcome, RowReader } from './rows.ts';
import type { Tune } from './tune.ts';

/** A set of numbers that was tried. */
export interface Trial {
  readonly values: readonly number[];
  /**
   * `held`: all constraints hold; `broken`: one does not; `refused`: the files with these numbers are
   * none; `failed`: a case could not be finished.
   */
  readonly state: 'held' | 'broken' | 'refused' | 'failed';
  /** Figure that numbers are tuned for; NaN where there is none */
  readonly figure: number;
  readonly merit: Merit;
  /** A case a cycle to tune on; none where a case is missing */
  readonly rows: readonly ResultRow[];
  /** Why there are none */
  readonly reason: string | null;
}

/** The signal came that ends all work. */
export class Stopped extends Error {}

/** Cases of a tune as they are run: by whom, and where they are kept. */
export interface Workshop {
  readonly crew: Pick<Crew, 'run'>;
  readonly journal: Journal;
  readonly signal: AbortSignal;
}

/** Runs the cases of sets of numbers. One that the journal has is not run again. */
export class CaseDesk {
  readonly #workshop: Workshop;
  readonly #candidates: Candidates;
  readonly #reader: RowReader;
  /** Cases that were run and not taken from the journal. */
  run = 0;
  /** Hashes of failed cases that have been tried by this process. */
  readonly #tried = new Set<string>();

  constructor(tune: Tune, workshop: Workshop) {
    this.#workshop = workshop;
    this.#candidates = new Candidates(tune);
    this.#reader = new RowReader(tune);
  }

  candidate(values: readonly number[]): Promise<Candidate> {
    return this.#candidates.candidate(values);
  }

  /**
   * What candidates come to on some cycles.
   * @param cycles their places among the cycles of the tune
   * @returns for each candidate a case a cycle; none for one that is refused
   * @throws Stopped at the signal
   */
  async outcomes(
    candidates: readonly Candidate[],
    cycles: readonly number[],
  ): Promise<CaseOutcome[][]> {
    const planned = candidates.map((candidate) =>
      'refusal' in candidate
        ? []
        : cycles.map((cycle, index) => this.#candidates.caseOf(candidate, cycle, index)),
    );
    await this.#work(planned.flat());
    return planned.map((cases) =>
      cases.map((one) => this.#reader.read(this.#workshop.journal.read(one.hash), one)),
    );
  }

  async #work(planned: readonly PlannedCase[]): Promise<void> {
    const { crew, journal, signal } = this.#workshop;
    const missing = new Map<string, PlannedCase>();
    for (const one of planned) {
      const isKnown = journal.head(one.hash)?.state === 'done' || this.#tried.has(one.hash);
      if (!isKnown) missing.set(one.hash, one);
    }
    const cases = [...missing.values()];
    if (cases.length > 0) {
      const source = {
        caseAt: (index: number) => cases[index]!,
        outputs: { logs: false, explain: false, bound: false },
      };
      await crew.run(source, [...cases.keys()], journal);
    }
    if (signal.aborted) throw new Stopped();
    for (const { hash } of cases) this.#tried.add(hash);
    this.run += cases.length;
  }
}

/** Judges sets of numbers, and keeps all that were tried in the order in which they came. */
export class Trials {
  readonly #desk: CaseDesk;
  readonly #tune: Tune;
  readonly #objective: Objective;
  readonly #conditions: Conditions;
  readonly #cycles: readonly number[];
  readonly #known = new Map<string, Trial>();
  readonly #onTried: () => void;

  constructor(
    desk: CaseDesk,
    tune: Tune,
    objective: Objective,
    conditions: Conditions,
    onTried: () => void,
  ) {
    this.#desk = desk;
    this.#tune = tune;
    this.#objective = objective;
    this.#conditions = conditions;
    this.#cycles = tune.cycles.flatMap(({ isHeldBack }, k) => (isHeldBack ? [] : k));
    this.#onTried = onTried;
  }

  /** Every set of numbers once. */
  get all(): readonly Trial[] {
    return [...this.#known.values()];
  }

  /**
   * Of some sets of numbers those that a budget reaches, in their order: what was tried before costs
   * nothing.
   * @param budget most different sets, those that were tried before among them
   */
  within<Set extends Pick<Trial, 'values'>>(budget: number, sets: readonly Set[]): readonly Set[] {
    let left = budget - this.#known.size;
    return sets.filter(({ values }) => this.#known.has(keyOf(values)) || left-- > 0);
  }

  /** Tries sets of numbers, those that are new. */
  async of(sets: readonly (readonly number[])[]): Promise<Trial[]> {
    const fresh = new Map(
      sets
        .filter((values) => !this.#known.has(keyOf(values)))
        .map((values) => [keyOf(values), values]),
    );
    const candidates: Candidate[] = [];
    for (const values of fresh.values()) candidates.push(await this.#desk.candidate(values));
    const outcomes = await this.#desk.outcomes(candidates, this.#cycles);
    for (const [k, candidate] of candidates.entries()) {
      this.#known.set(keyOf(candidate.values), this.#trial(candidate, outcomes[k]!));
    }
    this.#onTried();
    return sets.map((values) => this.#known.get(keyOf(values))!);
  }

  #trial(candidate: Candidate, outcomes: readonly CaseOutcome[]): Trial {
    const { values } = candidate;
    if ('refusal' in candidate) return this.#none(values, 'refused', candidate.refusal);
    const rows: ResultRow[] = [];
    for (const outcome of outcomes) {
      if ('figures' in outcome) rows.push(outcome);
      else return this.#none(values, 'failed', failure(outcome));
    }
    const tuned = this.#tune.cycles.filter(({ isHeldBack }) => !isHeldBack);
    const figure = this.#objective.of(rows, tuned);
    const violations = this.#conditions.standings(rows).map(violationOf);
    const merit = { objective: this.#objective.sign * figure, violations };
    const state = isFeasible(merit) ? 'held' : 'broken';
    return { values, state, figure, merit, rows, reason: null };
  }

  #none(values: readonly number[], state: 'refused' | 'failed', reason: string): Trial {
    const violations = this.#conditions.gates.map(() => Number.POSITIVE_INFINITY);
    const merit = { objective: Number.NaN, violations };
    return { values, state, figure: Number.NaN, merit, rows: [], reason };
  }
}

function failure(error: Exclude<CaseOutcome, ResultRow>): string {
  if (error.kind === 'defect') throw new DefectError(error.message);
  return error.message;
}

function keyOf(values: readonly number[]): string {
  return JSON.stringify(values);
}
