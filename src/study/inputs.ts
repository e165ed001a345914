import { inputHash } from '../config/hash.ts';
import {
  carFrom,
  type Loaded,
  type LoadedCase,
  type LoadedCycle,
  storeFrom,
  strategyFrom,
} from '../config/load.ts';
import { InputError } from '../config/problem.ts';
import { cycleFrom } from './cycles.ts';
import { type DocumentKind, isFault, type NumberPath, parseNumberPath } from './number-path.ts';
import type { PlannedCase } from './plan.ts';
import type { PartKind } from './product.ts';
import type { StudySources } from './sources.ts';
import { withSettings } from './variants.ts';

/** So many resolved cars, stores and strategies are kept, of each kind: some kilobytes each. */
const KEPT_PARTS = 64;
/** Samples of all cycles that are kept, at 32 bytes each. */
const KEPT_SAMPLES = 2_000_000;

const FROM = { car: carFrom, store: storeFrom, strategy: strategyFrom } as const;

type LoadedPart<Kind extends DocumentKind> = Awaited<ReturnType<(typeof FROM)[Kind]>>;

/**
 * Makes cases of a plan ready to run. Cases that share a part get the very same object for it, as
 * long as it is among those that are kept.
 */
export class CaseInputs {
  readonly #sources: StudySources;
  readonly #paths: readonly NumberPath[];
  readonly #cycles: KeptCycles;
  readonly #parts: { readonly [Kind in DocumentKind]: Map<string, LoadedPart<Kind>> } = {
    car: new Map(),
    store: new Map(),
    strategy: new Map(),
  };

  /**
   * @param sources of the plan
   * @param samples of all cycles that are kept between cases; one cycle always is
   */
  constructor(sources: StudySources, samples: number = KEPT_SAMPLES) {
    this.#sources = sources;
    this.#paths = sources.varied
      .map(parseNumberPath)
      .filter((path): path is NumberPath => !isFault(path));
    this.#cycles = new KeptCycles(samples);
  }

  /**
   * @param planned a case of the plan that the sources belong to
   * @throws InputError where a file that the plan was made from has changed since
   */
  async load(planned: PlannedCase): Promise<LoadedCase> {
    const car = await this.#part('car', planned);
    const store = await this.#part('store', planned);
    const strategy = await this.#part('strategy', planned);
    const cycle = await this.#cycle(planned);
    const subject = {
      car: car.value,
      store: store.value,
      makeStrategy: strategy.value.make,
      trace: cycle.value,
    };
    return { car, store, strategy, cycle, subject };
  }

  async #part<Kind extends DocumentKind>(
    kind: Kind,
    { parts, values, inputs }: PlannedCase,
  ): Promise<LoadedPart<Kind>> {
    const kept: Map<string, LoadedPart<Kind>> = this.#parts[kind];
    const known = kept.get(inputs[kind]);
    if (known !== undefined) return known;
    const source = this.#sources[kind][parts[kind]]!;
    const settings = this.#paths.flatMap((path, k) => {
      const value = values[k];
      return path.kind === kind && typeof value === 'number' ? { path, value } : [];
    });
    const loaded = (await FROM[kind](withSettings(source, settings))) as LoadedPart<Kind>;
    refuseChanged(kind, loaded, source.file, inputs[kind]);
    if (kept.size >= KEPT_PARTS) kept.delete(kept.keys().next().value!);
    kept.set(inputs[kind], loaded);
    return loaded;
  }

  async #cycle({ parts, inputs }: PlannedCase): Promise<LoadedCycle> {
    const known = this.#cycles.get(inputs.cycle);
    if (known !== undefined) return known;
    const source = this.#sources.cycle[parts.cycle]!;
    const loaded = await cycleFrom(source);
    refuseChanged(
      'cycle',
      loaded,
      source.form === 'named' ? source.text : source.file,
      inputs.cycle,
    );
    this.#cycles.add(inputs.cycle, loaded);
    return loaded;
  }
}

/**
 * Cycles as long as they fit, and the last one besides. What is kept stays: a study goes through
 * its cycles in turns, in which the one that was used longest ago is the next to be used.
 */
class KeptCycles {
  readonly #kept = new Map<string, LoadedCycle>();
  #room: number;
  #last: { readonly digest: string; readonly cycle: LoadedCycle } | undefined;

  constructor(samples: number) {
    this.#room = samples;
  }

  get(digest: string): LoadedCycle | undefined {
    return this.#kept.get(digest) ?? (this.#last?.digest === digest ? this.#last.cycle : undefined);
  }

  add(digest: string, cycle: LoadedCycle): void {
    const samples = cycle.value.time.length;
    if (samples <= this.#room) {
      this.#room -= samples;
      this.#kept.set(digest, cycle);
    } else {
      this.#last = { digest, cycle };
    }
  }
}

/** What a case is known by was settled when the study was planned. */
function refuseChanged(
  kind: PartKind,
  { name, identity }: Loaded<unknown>,
  file: string,
  digest: string,
): void {
  if (inputHash(identity) === digest) return;
  throw new InputError([
    {
      code: 'changed',
      file,
      found:
        kind === 'cycle'
          ? `the cycle ${name} with other samples than when the study was planned`
          : `the ${kind} ${name} with another table or plug-in than when the study was planned`,
      expected: 'files that stay as they are while a study runs',
      hint: 'start the study again: it takes what is finished and has not changed',
    },
  ]);
}
