import type { Problem } from '../config/problem.ts';
import { suggest } from '../config/suggest.ts';
import { DELIMITER_WORDS, type Delimiter } from '../cycle/dialect.ts';
import { wrongDelimiter } from '../cycle/header-problems.ts';
import {
  type ColumnKind,
  type MeasuredColumn,
  type MeasuredHeader,
  needsUnit,
  readMeasuredHeader,
  unitInAnyHeader,
  unitOf,
  usualNames,
} from './measured-columns.ts';

/** What a table is read for. */
export interface TableForm {
  /** What it should be, for messages: `a spin-down log` */
  readonly what: string;
  /** All columns that are read where they are there */
  readonly kinds: readonly ColumnKind[];
  /** Quantities without which nothing can be done; of an inner list any one will do. */
  readonly required: readonly (string | readonly string[])[];
}

/** The columns of a table, as its header and the row of units below it say. */
export interface PlacedHeader {
  readonly columns: readonly MeasuredColumn[];
  readonly ignored: readonly string[];
  readonly problems: readonly Problem[];
}

/** So many headers of a file are listed in a hint. */
const LISTED = 10;

/**
 * Says what is wrong if a first row is no header in this dialect at all.
 * @param texts its cells
 */
export function headerFormProblem(
  texts: readonly string[],
  delimiter: Delimiter,
  form: TableForm,
  asked: ReadonlyMap<string, string>,
): Problem | undefined {
  const isKnown = (text: string) =>
    readMeasuredHeader(text, form.kinds) !== undefined ||
    [...asked.values()].some((header) => header === text || header.startsWith(`${text}:`));
  if (texts.some(isKnown)) return undefined;
  const row = texts.join(delimiter);
  const others = (Object.keys(DELIMITER_WORDS) as Delimiter[]).filter(
    (other) => other !== delimiter && row.includes(other),
  );
  const likely =
    others.find((other) => row.split(other).some((cell) => isKnown(cell.trim()))) ??
    (texts.length === 1 ? others[0] : undefined);
  if (likely !== undefined) return wrongDelimiter(row, likely, delimiter);
  if (!texts.some((text) => /^[+-]?[.,]?\d/.test(text))) return undefined;
  return {
    code: 'missing-header',
    found: row,
    expected: `a header row that names the columns of ${form.what}: ${requiredNames(form)}`,
    hint: 'the first row holds numbers: put the names of the columns above it',
  };
}

/**
 * Whether a row is one of units: it has a unit, and no number, under a column whose name is known.
 * @param texts of the header
 * @param cells of that row
 */
export function isUnitsRow(
  texts: readonly string[],
  cells: readonly string[],
  form: TableForm,
): boolean {
  let units = 0;
  for (const [index, text] of texts.entries()) {
    const cell = cells[index] ?? '';
    const found = readMeasuredHeader(text, form.kinds);
    if (found === undefined || cell === '') continue;
    if (/^[+-]?[.,]?\d/.test(cell) && unitOf(found.kind, cell) === undefined) return false;
    if (unitOf(found.kind, cell) !== undefined) units++;
  }
  return units > 0;
}

/**
 * Says which column is what.
 * @param texts of the header
 * @param units of the row of units, if there is one
 * @param asked headers by quantity, of `--columns`
 */
export function placeColumns(
  texts: readonly string[],
  units: readonly string[],
  form: TableForm,
  asked: ReadonlyMap<string, string>,
): PlacedHeader {
  const problems: Problem[] = [];
  const columns = new Map<string, MeasuredColumn>();
  for (const [quantity, header] of asked) {
    const kind = form.kinds.find((known) => known.quantity === quantity);
    const column = kind && askedColumn(kind, header, texts, units, problems);
    if (column !== undefined) columns.set(quantity, column);
  }
  const taken = new Set([...columns.values()].map(({ index }) => index));
  for (const [index, text] of texts.entries()) {
    const found = readMeasuredHeader(text, form.kinds);
    if (found === undefined || taken.has(index) || asked.has(found.kind.quantity)) continue;
    const column = columnOf(found, text, index, units[index] ?? '', problems);
    const rival = columns.get(found.kind.quantity);
    if (rival !== undefined) problems.push(second(text, found.kind, rival));
    else columns.set(found.kind.quantity, column);
  }
  if (problems.length === 0) problems.push(...missing(columns, texts, form));
  const read = new Set([...columns.values()].map(({ index }) => index));
  return {
    columns: [...columns.values()],
    ignored: texts.filter((_, index) => !read.has(index)),
    problems,
  };
}

function columnOf(
  { kind, unitText, unit }: MeasuredHeader,
  header: string,
  index: number,
  below: string,
  problems: Problem[],
): MeasuredColumn {
  const named = unit ?? unitOf(kind, below);
  if (named === undefined && needsUnit(kind)) {
    const found = unitText ?? (below === '' ? undefined : below);
    problems.push({
      code: found === undefined ? 'missing-unit' : 'unknown-unit',
      path: header,
      found: found ?? header,
      expected: `a unit of ${kind.quantity}, as in ${usualNames(kind)}`,
      hint: `name it in the header, or say it as in \`--columns ${kind.quantity}='${header}:${kind.units[0]!.ending}'\``,
    });
  }
  return { kind, header, index, unit: named };
}

function askedColumn(
  kind: ColumnKind,
  asked: string,
  texts: readonly string[],
  units: readonly string[],
  problems: Problem[],
): MeasuredColumn | undefined {
  const colon = asked.lastIndexOf(':');
  const whole = texts.indexOf(asked);
  const index = whole < 0 && colon > 0 ? texts.indexOf(asked.slice(0, colon).trim()) : whole;
  if (index < 0) {
    const near = suggest(colon > 0 ? asked.slice(0, colon) : asked, texts);
    problems.push({
      code: 'missing-column',
      path: `--columns ${kind.quantity}`,
      found: asked,
      expected: `the header of a column of this file, if need be with a unit, as in \`NAME:${kind.units[0]?.ending ?? 's'}\``,
      hint: near === undefined ? `this file has ${listed(texts)}` : `did you mean \`${near}\`?`,
    });
    return undefined;
  }
  const text = texts[index]!;
  const unitText = whole < 0 ? asked.slice(colon + 1).trim() : undefined;
  const unit = unitText === undefined ? unitInAnyHeader(kind, text) : unitOf(kind, unitText);
  return columnOf({ kind, unitText, unit }, text, index, units[index] ?? '', problems);
}

function second(header: string, { quantity }: ColumnKind, rival: MeasuredColumn): Problem {
  return {
    code: 'conflicting-columns',
    path: header,
    found: header,
    expected: `one column of ${quantity}, and \`${rival.header}\` is there already`,
    hint: `say which one to read, as in \`--columns ${quantity}='${rival.header}'\``,
  };
}

function missing(
  columns: ReadonlyMap<string, MeasuredColumn>,
  texts: readonly string[],
  form: TableForm,
): Problem[] {
  return form.required.flatMap((entry) => {
    const wanted = typeof entry === 'string' ? [entry] : entry;
    if (wanted.some((quantity) => columns.has(quantity))) return [];
    const names = wanted.map((quantity) => namesOf(quantity, form)).join(', ');
    return {
      code: 'missing-column',
      path: wanted.join(' or '),
      expected: `one column of ${names}, as ${form.what} needs`,
      hint: `this file has ${listed(texts)}; a column of another name is taken with \`--columns ${wanted[0]}=NAME\``,
    };
  });
}

function namesOf(quantity: string, form: TableForm): string {
  return usualNames(form.kinds.find((kind) => kind.quantity === quantity)!);
}

function requiredNames(form: TableForm): string {
  return form.required
    .map((entry) => (typeof entry === 'string' ? entry : entry.join(' or ')))
    .join(', ');
}

function listed(texts: readonly string[]): string {
  const names = texts.filter((text) => text !== '');
  const first = names.slice(0, LISTED).join(', ');
  return names.length > LISTED ? `${first} and ${names.length - LISTED} more` : first;
}
