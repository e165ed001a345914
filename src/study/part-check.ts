import { carFile } from '../config/car-file.ts';
import { checkShape } from '../config/check-shape.ts';
import { checkedCar, checkedStore } from '../config/checked-file.ts';
import { DocumentProblems, type JsonDocument } from '../config/document.ts';
import { namedFrom } from '../config/files.ts';
import { type Grid, type GridReader, readGrid } from '../config/grid-file.ts';
import { strategyFrom } from '../config/load.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { storeFile } from '../config/store-file.ts';
import { strategyFile } from '../config/strategy-file.ts';
import { type DocumentKind, valueAt } from './number-path.ts';

const SCHEMAS = { car: carFile, store: storeFile, strategy: strategyFile } as const;

/**
 * Checks cars, stores and strategies without computing what only a run needs, such as the drag curve
 * of a rotor: a study may have a hundred thousand of them. Tables are read once.
 */
export class PartCheck {
  readonly #grids = new Map<string, Grid | InputError>();
  readonly #plugIns = new Set<string>();

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
    if (kind === 'car') return checkedCar(document, this.#read).identity;
    if (kind === 'store') return checkedStore(document, this.#read).identity;
    const module = valueAt(document.value, ['plugin', 'module']);
    if (typeof module === 'string') this.#plugIns.add(namedFrom(document.folder, module));
    return (await strategyFrom(document)).identity as object;
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

  readonly #read: GridReader = (file, form) => {
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
}
