import { type CarFile, carFile } from './car-file.ts';
import { checkCar } from './check-car.ts';
import { checkShape, type ShapeParser } from './check-shape.ts';
import { checkStore } from './check-store.ts';
import { checkStrategy } from './check-strategy.ts';
import { DocumentProblems, type JsonDocument } from './document.ts';
import { readEngineTable } from './engine-table.ts';
import { namedFrom } from './files.ts';
import type { Grid, GridReader } from './grid-file.ts';
import { readLossTable } from './loss-table.ts';
import { InputError } from './problem.ts';
import { type StoreFile, storeFile } from './store-file.ts';
import { type StrategyFile, strategyFile } from './strategy-file.ts';

/** A file that nothing is wrong with, before anything is computed from it. */
export interface CheckedFile<File> {
  /** With the defaults of its keys filled in. */
  readonly file: File;
  /** All of its content that decides the results (`Loaded`). */
  readonly identity: object;
}

/** The same, with the table that it names, if it names one. */
export interface CheckedFileWithTable<File> extends CheckedFile<File> {
  readonly table: Grid | undefined;
}

/** What files are checked with: a table, or a section of a file, may have been read before. */
export interface Reading {
  readonly parse?: ShapeParser;
  readonly readGrid?: GridReader;
}

/**
 * Checks a car file.
 *
 * @param document as it was read
 * @param reading of its sections and of the engine table
 * @throws InputError with every problem of it
 */
export function checkedCar(
  document: JsonDocument,
  { parse, readGrid }: Reading = {},
): CheckedFileWithTable<CarFile> {
  const problems = new DocumentProblems(document);
  const sound = checkShape(carFile, document, problems, parse);
  checkCar(sound, problems);
  const { engine } = sound;
  const table =
    engine?.fuel_use.form === 'table'
      ? tableOf(document, engine.fuel_use.file, problems, (path) =>
          readEngineTable(path, engine, readGrid),
        )
      : undefined;
  problems.throwIfAny();
  const file = sound as Required<typeof sound>;
  // What only a sprint needs is no part of what a drive cycle is known by.
  const { sprint: _, ...driven } = content(file);
  const fuelUse = withoutFile(driven.engine.fuel_use);
  const identity = { ...driven, engine: { ...driven.engine, fuel_use: fuelUse } };
  return { file, table, identity: { ...identity, engine_table: table } };
}

/**
 * Checks a store file.
 *
 * @param document as it was read
 * @param reading of its sections and of the loss table
 * @throws InputError with every problem of it
 */
export function checkedStore(
  document: JsonDocument,
  { parse, readGrid }: Reading = {},
): CheckedFileWithTable<StoreFile> {
  const problems = new DocumentProblems(document);
  const sound = checkShape(storeFile, document, problems, parse);
  checkStore(sound, problems);
  const table =
    sound.losses?.form === 'table'
      ? tableOf(document, sound.losses.file, problems, (path) => readLossTable(path, readGrid))
      : undefined;
  problems.throwIfAny();
  const file = sound as Required<typeof sound>;
  const identity = {
    ...content(file),
    losses: file.losses && withoutFile(file.losses),
    loss_table: table,
  };
  return { file, table, identity };
}

/**
 * Checks a strategy file; a plug-in that it names is not looked at.
 *
 * @param document as it was read
 * @param reading of its sections
 * @throws InputError with every problem of it
 */
export function checkedStrategy(
  document: JsonDocument,
  { parse }: Reading = {},
): CheckedFile<StrategyFile> {
  const problems = new DocumentProblems(document);
  const sound = checkShape(strategyFile, document, problems, parse);
  checkStrategy(sound, document.value, problems);
  problems.throwIfAny();
  const file = sound as Required<typeof sound>;
  return { file, identity: content(file) };
}

/** The table that a file names, or undefined with its problems added. */
function tableOf(
  document: JsonDocument,
  file: string,
  problems: DocumentProblems,
  read: (path: string) => Grid,
): Grid | undefined {
  try {
    return read(namedFrom(document.folder, file));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    problems.addOthers(error.problems);
    return undefined;
  }
}

/** What names a table, without that name: the table itself is known by its numbers. */
function withoutFile(named: { readonly form: string; readonly file?: string }): object {
  const { file: _, ...rest } = named;
  return rest;
}

/** A file without what has no effect on results. */
function content<T extends { $schema?: unknown; notes?: unknown }>(file: T) {
  const { $schema, notes, ...rest } = file;
  return rest;
}
