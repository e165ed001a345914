import { carFile } from '../config/car-file.ts';
import { checkShape, type ShapeParser } from '../config/check-shape.ts';
import { checkedCar, checkedStore, checkedStrategy, type Reading } from '../config/checked-file.ts';
import { DocumentProblems, type JsonDocument } from '../config/document.ts';
import { namedFrom } from '../config/files.ts';
import { type Grid, type GridReader, readGrid } from '../config/grid-file.ts';
import { unchanging } from '../config/hash.ts';
import { plugInIdentity } from '../config/load.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { storeFile } from '../config/store-file.ts';
import { strategyFile } from '../config/strategy-file.ts';
import type { DocumentKind } from './number-path.ts';
import { LOADING_LIMIT, PlugInThreads } from './plug-in-threads.ts';

type Parsed = ReturnType<ShapeParser>;

const SCHEMAS = { car: carFile, store: storeFile, strategy: strategyFile } as const;

/**
 * Checks cars, stores and strategies without computing what only a run needs, such as the drag curve
 * of a rotor: a study may have a hundred thousand of them. Tables are read once, and sections that
 * such documents share are checked once.
 */
export class PartCheck {
  readonly #grids = new Map<string, Grid | InputError>();
  readonly #plugIns = new Set<string>();
  readonly #threads: PlugInThreads;
  readonly #sections = new Map<unknown, WeakMap<object, Parsed>>();

  /** @param limit longest that a plug-in may take to load [s] */
  constructor(limit: number = LOADING_LIMIT) {
    this.#threads = new PlugInThreads(limit);
  }

  /** The tables and plug-ins that were read. */
  get files(): readonly string[] {
    return [...this.#grids.keys(), ...this.#plugIns];
  }

  /**
   * Checks a document for all that a run would refuse.
   * @returns what decides its results, with the defaults of its keys (`Loaded.identity`)
   * @throws InputError with every problem of it
   */
  async identity(kind: DocumentKind, document: JsonDocument): Promise<object> {
    if (kind === 'car') return checkedCar(document, this.#reading).identity;
    if (kind === 'store') return checkedStore(document, this.#reading).identity;
    const { file, identity } = checkedStrategy(document, this.#reading);
    if (file.plugin === undefined) return identity;
    const { folder } = document;
    const { module, parameters } = file.plugin;
    this.#plugIns.add(namedFrom(folder, module));
    const source = await this.#threads.source({ name: file.name, folder, module, parameters });
    return plugInIdentity(identity, parameters, source);
  }

  /** What the schema alone has against a document. */
  shapeProblems(kind: DocumentKind, document: JsonDocument): readonly Problem[] {
    const problems = new DocumentProblems(document);
    checkShape(SCHEMAS[kind], document, problems);
    try {
      problems.throwIfAny();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      return error.problems;
    }
    return [];
  }

  /** No more documents are checked. */
  end(): void {
    this.#threads.end();
  }

  readonly #parse: ShapeParser = (schema, value) => {
    if (value === null || typeof value !== 'object') return schema.safeParse(value);
    const known = this.#sections.get(schema) ?? new WeakMap<object, Parsed>();
    this.#sections.set(schema, known);
    const before = known.get(value);
    if (before !== undefined) return before;
    const parsed = schema.safeParse(value);
    if (parsed.success) unchanging(parsed.data as object);
    known.set(value, parsed);
    return parsed;
  };

  readonly #readGrid: GridReader = (file, form) => {
    const known = this.#grids.get(file);
    if (known instanceof InputError) throw known;
    if (known !== undefined) return known;
    try {
      const grid = readGrid(file, form);
      this.#grids.set(file, grid);
      return grid;
    } catch (error) {
      if (error instanceof InputError) this.#grids.set(file, error);
      throw error;
    }
  };

  readonly #reading: Reading = { parse: this.#parse, readGrid: this.#readGrid };
}
