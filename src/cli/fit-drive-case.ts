import { checkedCar, checkedStore } from '../config/checked-file.ts';
import { type JsonDocument, readDocument } from '../config/document.ts';
import { type Loaded, loadStrategy, type NamedStrategy } from '../config/load.ts';
import { type LoadedCycle, loadCycle } from '../config/load-cycle.ts';
import type { DriveOptions } from '../config/load-drive.ts';
import { InputError, type Problem, throwIfAny } from '../config/problem.ts';
import { resolveCar } from '../config/resolve-car.ts';
import { resolveStore } from '../config/resolve-store.ts';
import { shippedPath } from '../config/shipped.ts';
import { suggest } from '../config/suggest.ts';
import { type DriveParameter, MOST_PARAMETERS, type Simulate } from '../fit/drive-estimate.ts';
import { DriveSeries } from '../fit/drive-series.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import {
  isFault,
  type NumberPath,
  parseNumberPath,
  pathFault,
  valueAt,
  withNumber,
} from '../study/number-path.ts';

/** A case whose numbers can be set while it is loaded. */
export interface AdjustableCase {
  readonly car: Car;
  readonly store: Store;
  readonly strategy: Loaded<NamedStrategy>;
  readonly cycle: LoadedCycle;
  readonly names: { readonly car: string; readonly store: string };
  readonly parameters: readonly DriveParameter[];
  readonly simulate: Simulate;
  /** Problems that the files would have with these values. */
  readonly problemsWith: (values: readonly number[]) => readonly Problem[];
}

/** Where the parts of a case come from, and what is estimated. */
export interface AdjustablePaths {
  readonly car: string;
  readonly store: string;
  readonly strategy: string;
  readonly cycle: string;
  readonly drive: DriveOptions;
  readonly estimate: readonly string[];
}

/**
 * Loads a case and finds the numbers that are to be estimated.
 * @throws InputError with every problem of it
 */
export async function adjustableCase(paths: AdjustablePaths): Promise<AdjustableCase> {
  const carDocument = readDocument(shippedPath('car', paths.car), 'a car file');
  const storeDocument = readDocument(shippedPath('store', paths.store), 'a store file');
  const car = checkedCar(carDocument);
  const store = checkedStore(storeDocument);
  const strategy = await loadStrategy(paths.strategy);
  const cycle = await loadCycle(paths.cycle, paths.drive);
  const found = paths.estimate.map(parameterPath);
  if (found.length > MOST_PARAMETERS) throw tooMany(found.length);
  throwIfAny(
    found.flatMap((path) => {
      const fault = pathFault(path, documentOf(path).value) ?? startFault(path);
      return fault === undefined ? [] : [{ ...fault, file: documentOf(path).file }];
    }),
  );

  function documentOf({ kind }: NumberPath): JsonDocument {
    return kind === 'car' ? carDocument : storeDocument;
  }
  function startOf(path: NumberPath): number {
    return valueAt(path.kind === 'car' ? car.file : store.file, path.keys) as number;
  }
  function startFault(path: NumberPath): Omit<Problem, 'file'> | undefined {
    const start = startOf(path);
    if (typeof start === 'number' && start !== 0) return undefined;
    if (start === 0) {
      return {
        code: 'no-start',
        path: path.inFile,
        found: '0',
        expected: 'a value to start from, other than 0',
        hint: 'write a likely value into the file',
      };
    }
    const parent = path.keys.slice(0, -1);
    const around = valueAt(path.kind === 'car' ? car.file : store.file, parent);
    const near = suggest(String(path.keys.at(-1)), Object.keys(around as object));
    return {
      code: 'no-start',
      path: path.inFile,
      found: 'no such key',
      expected: 'the number of a key that is there, to start from',
      hint:
        near === undefined
          ? 'write a likely value into the file'
          : `did you mean \`${[path.kind, ...parent, near].join('.')}\`?`,
    };
  }
  function changed<File>(file: File, kind: 'car' | 'store', values: readonly number[]): File {
    return found.reduce<unknown>(
      (now, path, k) => (path.kind === kind ? withNumber(now, path.keys, values[k]!) : now),
      file,
    ) as File;
  }

  const trace = cycle.value;
  const asFiled = resolveStore(store.file, store.table);
  const top = asFiled.rotor.maxSpeed;
  return {
    car: resolveCar(car.file, car.table),
    store: asFiled,
    strategy,
    cycle,
    names: { car: car.file.name, store: store.file.name },
    parameters: found.map((path) => ({ path: path.text, start: startOf(path) })),
    simulate: (values, rotorSpeed) =>
      new DriveSeries(
        resolveCar(changed(car.file, 'car', values), car.table),
        resolveStore(changed(store.file, 'store', values), store.table),
        trace,
        strategy.value.make,
        Math.min(Math.max(rotorSpeed, 0), top),
      ),
    problemsWith: (values) => [
      ...problemsOf(() =>
        checkedCar(documentWith(carDocument, changed(carDocument.value, 'car', values))),
      ),
      ...problemsOf(() =>
        checkedStore(documentWith(storeDocument, changed(storeDocument.value, 'store', values))),
      ),
    ],
  };
}

function tooMany(count: number): InputError {
  return new InputError([
    {
      code: 'too-many-parameters',
      file: '--estimate',
      found: `${count} numbers`,
      expected: `${MOST_PARAMETERS} at most, since a log tells no more apart`,
    },
  ]);
}

function parameterPath(text: string): NumberPath {
  const path = parseNumberPath(text);
  if (isFault(path)) throw new InputError([{ ...path, file: '--estimate' }]);
  if (path.kind !== 'strategy') return path;
  throw new InputError([
    {
      code: 'unknown-path',
      file: '--estimate',
      found: text,
      expected: 'a number of the car or the store',
      hint: 'what a strategy does changes in steps, which no least squares can follow',
    },
  ]);
}

function documentWith(document: JsonDocument, value: unknown): JsonDocument {
  return { ...document, value };
}

function problemsOf(check: () => unknown): readonly Problem[] {
  try {
    check();
    return [];
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.problems;
  }
}
