import type { InputHashes } from '../config/hash.ts';
import type { LeastFuel } from '../optimum/bound-summary.ts';
import type { PlannedCase } from './plan.ts';

type BoundInputs = Pick<InputHashes, 'car' | 'store' | 'cycle'>;

/** A bound with the digests of what it is the bound of. */
export type KnownBound = readonly [inputs: string, bound: LeastFuel];

/**
 * Bounds that were found, a few numbers each. A bound does not hang on the strategy, so that all
 * strategies with one car and store on one cycle share it.
 */
export class KnownBounds {
  readonly #bounds = new Map<string, LeastFuel>();

  of(inputs: BoundInputs): LeastFuel | undefined {
    return this.#bounds.get(keyOf(inputs));
  }

  set(inputs: BoundInputs, bound: LeastFuel): void {
    this.#bounds.set(keyOf(inputs), bound);
  }

  /** Takes in what another thread knows. */
  add(bounds: readonly KnownBound[]): void {
    for (const [key, bound] of bounds) this.#bounds.set(key, bound);
  }

  /** What is known for some cases, for another thread. */
  among(cases: readonly PlannedCase[]): KnownBound[] {
    return [...new Set(cases.map(({ inputs }) => keyOf(inputs)))].flatMap((key) => {
      const bound = this.#bounds.get(key);
      return bound === undefined ? [] : [[key, bound] as const];
    });
  }
}

function keyOf({ car, store, cycle }: BoundInputs): string {
  return `${car} ${store} ${cycle}`;
}
