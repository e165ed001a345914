import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import type { Case } from '../simulate/case.ts';
import { type Behaviours, combine } from '../strategy/combine.ts';
import type { StrategyMaker } from '../strategy/contract.ts';
import { leastCost } from '../strategy/least-cost.ts';
import { type JsonDocument, readDocument } from './document.ts';
import { type LoadedCycle, loadCycle } from './load-cycle.ts';
import type { DriveOptions } from './load-drive.ts';
import { InputError, type Problem } from './problem.ts';
import { resolveCar } from './resolve-car.ts';
import { resolveStore } from './resolve-store.ts';
import { behavioursOf, leastCostOf } from './resolve-strategy.ts';
import { shippedPath } from './shipped.ts';

export { type LoadedCycle, loadCycle } from './load-cycle.ts';

/** An input, resolved and ready to run. */
export interface Loaded<T> {
  readonly value: T;
  /** Short name for results. */
  readonly name: string;
  /**
   * All content that decides the results, able to be written as JSON: the file with its defaults,
   * the tables and the plug-in source that it refers to. The same wherever these files lie, whatever
   * they are called and however they are laid out.
   */
  readonly identity: unknown;
}

/** What a strategy file becomes. */
export interface NamedStrategy {
  readonly name: string;
  readonly make: StrategyMaker;
  /** What it combines; undefined for one that decides everything itself. */
  readonly behaviours: Behaviours | undefined;
}

/**
 * Loads a car.
 *
 * @param path of its JSON file, or the bare name of a car of the example set, such as `estate`
 * @throws InputError with every problem of the file, or of the engine table that it names
 */
export async function loadCar(path: string): Promise<Loaded<Car>> {
  return carFrom(readDocument(shippedPath('car', path), 'a car file'));
}

/**
 * Loads a store.
 *
 * @param path of its JSON file, or the bare name of a store of the example set, such as `rim-45`
 * @throws InputError with every problem of the file, or of the loss table that it names
 */
export async function loadStore(path: string): Promise<Loaded<Store>> {
  return storeFrom(readDocument(shippedPath('store', path), 'a store file'));
}

/**
 * Loads a strategy.
 *
 * @param path of its JSON file, or the bare name of a strategy of the example set, such as `coast`
 * @throws InputError with every problem of the file, or of the plug-in that it names
 */
export async function loadStrategy(path: string): Promise<Loaded<NamedStrategy>> {
  return strategyFrom(readDocument(shippedPath('strategy', path), 'a strategy file'));
}

/** Where the inputs of a case come from. */
export interface CasePaths {
  readonly car: string;
  readonly store: string;
  readonly strategy: string;
  readonly cycle: string;
  /** How the drives of the cycle are loaded; the defaults of `loadDrive` if left out. */
  readonly drive?: DriveOptions | undefined;
}

/** A case with its inputs as they were loaded. */
export interface LoadedCase {
  readonly car: Loaded<Car>;
  readonly store: Loaded<Store>;
  readonly strategy: Loaded<NamedStrategy>;
  readonly cycle: LoadedCycle;
  /** The four of them, ready to run. */
  readonly subject: Case;
}

/**
 * Loads the four inputs of a case.
 *
 * @param paths as `loadCar`, `loadStore`, `loadStrategy` and `loadCycle` take them
 * @throws InputError with every problem of all four
 */
export async function loadCase(paths: CasePaths): Promise<LoadedCase> {
  const problems: Problem[] = [];
  const [car, store, strategy, cycle] = await Promise.all([
    gather(loadCar(paths.car), problems),
    gather(loadStore(paths.store), problems),
    gather(loadStrategy(paths.strategy), problems),
    gather(loadCycle(paths.cycle, paths.drive), problems),
  ]);
  if (!car || !store || !strategy || !cycle) throw new InputError(problems);
  const subject: Case = {
    car: car.value,
    store: store.value,
    makeStrategy: strategy.value.make,
    trace: cycle.value,
  };
  return { car, store, strategy, cycle, subject };
}

/** What was loaded, or undefined with its problems added; other errors go on. */
async function gather<T>(loading: Promise<T>, problems: Problem[]): Promise<T | undefined> {
  try {
    return await loading;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    problems.push(...error.problems);
    return undefined;
  }
}

/**
 * A car from a document that is already read.
 * @throws InputError with every problem of it
 */
export async function carFrom(document: JsonDocument): Promise<Loaded<Car>> {
  const { checkedCar } = await import('./checked-file.ts');
  const { file, table, identity } = checkedCar(document);
  return { value: resolveCar(file, table), name: file.name, identity };
}

/**
 * A store from a document that is already read.
 * @throws InputError with every problem of it
 */
export async function storeFrom(document: JsonDocument): Promise<Loaded<Store>> {
  const { checkedStore } = await import('./checked-file.ts');
  const { file, table, identity } = checkedStore(document);
  return { value: resolveStore(file, table), name: file.name, identity };
}

/**
 * A strategy from a document that is already read.
 * @throws InputError with every problem of it
 */
export async function strategyFrom(document: JsonDocument): Promise<Loaded<NamedStrategy>> {
  const { checkedStrategy } = await import('./checked-file.ts');
  const { file, identity } = checkedStrategy(document);
  const { name, plugin, least_cost } = file;
  if (least_cost !== undefined) {
    const make = leastCost(name, leastCostOf(least_cost));
    return { value: { name, make, behaviours: undefined }, name, identity };
  }
  if (plugin === undefined) {
    const behaviours = behavioursOf(file);
    const make = () => combine(name, behaviours);
    return { value: { name, make, behaviours }, name, identity };
  }
  const { loadPlugIn } = await import('./plug-in.ts');
  const loaded = await loadPlugIn(name, document.folder, plugin.module, plugin.parameters);
  return {
    value: { name, make: loaded.make, behaviours: undefined },
    name,
    identity: plugInIdentity(identity, plugin.parameters, loaded.source),
  };
}

/**
 * What decides the results of a strategy with a plug-in: the text of its module, and not what the
 * file with it is called.
 *
 * @param identity of the strategy file
 * @param parameters that the plug-in is made with
 * @param source text of the module
 */
export function plugInIdentity(
  identity: object,
  parameters: Readonly<Record<string, unknown>>,
  source: string,
): object {
  return { ...identity, plugin: { parameters }, source };
}
