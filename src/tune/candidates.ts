import { caseHash, type InputHashes, inputHash } from '../config/hash.ts';
import { InputError, problemLine } from '../config/problem.ts';
import { MODEL_VERSION } from '../simulate/model-version.ts';
import type { DocumentKind } from '../study/number-path.ts';
import type { PlannedCase } from '../study/plan.ts';
import { withSettings } from '../study/variants.ts';
import { type Tune, tunedKinds } from './tune.ts';

/** The inputs of a set of numbers but for the cycle; or why its files would not be taken. */
export type Candidate =
  | { readonly values: readonly number[]; readonly inputs: Omit<InputHashes, 'cycle'> }
  | { readonly values: readonly number[]; readonly refusal: string };

/** Makes cases of sets of numbers, known by the hashes that `run` gives them. */
export class Candidates {
  readonly #tune: Tune;
  readonly #kinds: readonly DocumentKind[];

  constructor(tune: Tune) {
    this.#tune = tune;
    this.#kinds = tunedKinds(tune);
  }

  /** @param values in the order of the tune's numbers */
  async candidate(values: readonly number[]): Promise<Candidate> {
    const { parts, numbers, check } = this.#tune;
    const inputs = {
      car: parts.car.digest,
      store: parts.store.digest,
      strategy: parts.strategy.digest,
    };
    for (const kind of this.#kinds) {
      const settings = numbers.flatMap(({ path }, k) =>
        path.kind === kind ? { path, value: values[k]! } : [],
      );
      try {
        const document = withSettings(parts[kind].document, settings);
        inputs[kind] = inputHash(await check.identity(kind, document));
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        return { values, refusal: error.problems.map(problemLine).join('; ') };
      }
    }
    return { values, inputs };
  }

  /**
   * The case of a candidate on a cycle.
   * @param cycle place of it among the cycles of the tune
   * @param index of the case in its batch
   */
  caseOf(
    { values, inputs }: Extract<Candidate, { inputs: unknown }>,
    cycle: number,
    index: number,
  ): PlannedCase {
    const { parts, cycles } = this.#tune;
    const { name, digest } = cycles[cycle]!;
    const whole = { ...inputs, cycle: digest };
    return {
      index,
      names: {
        car: parts.car.name,
        store: parts.store.name,
        strategy: parts.strategy.name,
        cycle: name,
      },
      parts: { car: 0, store: 0, strategy: 0, cycle },
      values,
      inputs: whole,
      hash: caseHash(whole, MODEL_VERSION),
    };
  }
}
