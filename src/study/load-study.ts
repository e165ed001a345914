import { checkShape } from '../config/check-shape.ts';
import { type JsonDocument, readDocument } from '../config/document.ts';
import type { InputHashes } from '../config/hash.ts';
import type { DriveReport } from '../config/load-drive.ts';
import { shippedPath } from '../config/shipped.ts';
import { type StudyFile, studyFile } from '../config/study-file.ts';
import { type Axis, axesOf } from './axes.ts';
import { casesOf } from './cases.ts';
import { checkPath } from './check-paths.ts';
import { cycleSharesOf } from './cycle-shares.ts';
import type { Listing } from './documents.ts';
import { ListedDrafts, ProductDrafts } from './drafts.ts';
import { checkHasCases, checkUsed, hasProduct, type Lists, listsOf } from './lists.ts';
import { PartCheck } from './part-check.ts';
import type { Plan, PlanShape } from './plan.ts';
import { type PlannedProduct, planListed, planProduct } from './planned.ts';
import { PART_KINDS, type PartKind, Product } from './product.ts';
import { sourcesOf } from './sources.ts';
import { StudyPlan } from './study-plan.ts';
import { StudyProblems } from './study-problems.ts';
import { Variants } from './variants.ts';

/**
 * Reads a study and plans its cases. Everything that it names is read and checked, so that no case
 * fails later for what could have been seen now.
 *
 * @param path of the study's JSON file, or the bare name of a study of the example set
 * @param limit longest that a plug-in may take to load [s]
 * @throws InputError with every problem of the file and of the files that it names
 */
export async function loadStudy(path: string, limit?: number): Promise<Plan> {
  const check = new PartCheck(limit);
  try {
    return await planStudy(readDocument(shippedPath('study', path), 'a study file'), check);
  } finally {
    check.end();
  }
}

/**
 * Plans the cases of a study that was read.
 *
 * @param document of the study; the files that it names are found from its folder
 * @param check of the parts that it names
 * @throws InputError with every problem of it and of the files that it names
 */
async function planStudy(document: JsonDocument, check: PartCheck): Promise<Plan> {
  const problems = new StudyProblems(document);
  const study = checkShape(studyFile, document, problems.own);
  const notices: string[] = [];
  const listing: Listing = { check, problems };
  checkHasCases(study, problems);
  const lists = await listsOf(study, listing, notices);
  const { axes, areSound } = axesOf(study.vary ?? [], problems);
  const cases = await casesOf(study.cases ?? [], lists, listing);
  if (cases.length > 0 && cases.length === study.cases?.length) checkUsed(lists, cases, problems);
  const cycleNames = lists.cycle.parts.map(({ name }) => name);
  const cycleShares = cycleSharesOf(study.cycle_shares, cycleNames, problems);

  const variants = new Variants(listing.check, problems);
  const pathsAreSound = checkPaths(axes, lists, listing);
  const product =
    study.vary !== undefined && areSound && pathsAreSound && isWhole(lists, problems)
      ? new Product(
          byKind((kind) => lists[kind].listed),
          axes,
        )
      : undefined;
  const planned =
    product &&
    study.exclude &&
    (await planProduct(product, study.exclude, lists, variants, problems));
  const inputs = await planListed(cases, lists, variants);
  variants.end();
  problems.throwIfAny();

  const { name, outputs } = study as StudyFile;
  const settings = cases.flatMap((listed) => listed.settings);
  const varied = [...axes.flatMap(({ paths }) => paths), ...settings.map(({ path }) => path)];
  const paths = [...new Set(varied.map(({ text }) => text))];
  const listedDrafts = cases.map((listed, k) => ({ listed, inputs: inputs[k] as InputHashes }));
  const cycles = lists.cycle.parts.map(({ digest }) => digest);
  return new StudyPlan({
    name,
    varied: paths,
    cycleShares,
    outputs,
    inputs: PART_KINDS.flatMap((kind) =>
      lists[kind].parts.map(({ name, digest: hash }) => ({ kind, name, hash })),
    ),
    sources: sourcesOf(lists, paths),
    drives: drivesOf(lists),
    files: filesOf(document, lists, axes, listing.check),
    notices,
    names: byKind((kind) => lists[kind].parts.map((part) => part.name)),
    drafts: [
      ...(planned === undefined ? [] : [new ProductDrafts(planned, cycles, paths)]),
      new ListedDrafts(listedDrafts, paths),
    ],
    shape: shapeOf(planned, lists, cases.length),
  });
}

function checkPaths(axes: readonly Axis[], lists: Lists, listing: Listing): boolean {
  const sound = axes.flatMap(({ paths, place }) =>
    paths.map((path) => checkPath(path, lists[path.kind].parts, place, listing)),
  );
  return !sound.includes(false);
}

/** Whether the study has all four lists, with something in each. */
function isWhole(lists: Lists, problems: StudyProblems): boolean {
  return hasProduct(problems) && PART_KINDS.every((kind) => lists[kind].listed > 0);
}

function filesOf(
  document: JsonDocument,
  lists: Lists,
  axes: readonly Axis[],
  check: PartCheck,
): string[] {
  const tables = axes.flatMap(({ place }) => ('file' in place ? place.file : []));
  const documents = [lists.car, lists.store, lists.strategy].flatMap(({ parts }) =>
    parts.map((part) => part.document.file),
  );
  const cycles = drivesOf(lists)
    .filter(({ form }) => form !== 'built-in')
    .map(({ file }) => file);
  return [...new Set([document.file, ...documents, ...cycles, ...tables, ...check.files])];
}

/** Each drive once, though several cycles may be made from it. */
function drivesOf(lists: Lists): DriveReport[] {
  const drives = lists.cycle.parts.flatMap((cycle) => cycle.drives);
  return [...new Map(drives.map((drive) => [drive.file, drive])).values()];
}

function shapeOf(
  planned: PlannedProduct | undefined,
  lists: Lists,
  listed: number,
): Omit<PlanShape, 'repeated'> {
  const names = (kind: PartKind) =>
    lists[kind].parts.slice(0, lists[kind].listed).map(({ name }) => name);
  const combinations = planned?.product.count ?? 0;
  return {
    combinations,
    product: byKind((kind) => (planned === undefined ? [] : names(kind))),
    axes: (planned?.product.axes ?? []).map(({ form, count, paths, columns }) => ({
      form,
      count,
      paths: paths.map(({ text }, k) => ({ path: text, values: columns[k]! })),
    })),
    exclusions: planned?.exclusions ?? [],
    excluded: combinations - (planned?.included.length ?? 0),
    listed,
  };
}

function byKind<T>(make: (kind: PartKind) => T): Record<PartKind, T> {
  return {
    car: make('car'),
    store: make('store'),
    strategy: make('strategy'),
    cycle: make('cycle'),
  };
}
