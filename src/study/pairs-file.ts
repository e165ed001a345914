import { readCsvRows } from '../config/csv-rows.ts';
import { readText } from '../config/files.ts';
import { parseNumber } from '../config/number.ts';
import { ProblemList } from '../cycle/problem-list.ts';
import { countOf } from '../cycle/row-problems.ts';
import type { Axis } from './axes.ts';
import { isFault, type NumberPath, parseNumberPath } from './number-path.ts';

/**
 * Reads numbers that vary together: a comma-separated table whose header names their paths, with a
 * row for each set of values. Lines that begin with `#` and empty lines are passed over.
 *
 * @param file path as it is to be shown and opened
 * @throws InputError with every problem of the file, in file order
 */
export function readPairs(file: string): Omit<Axis, 'form'> {
  const problems = new ProblemList(file);
  const rows: { readonly line: number; readonly values: readonly number[] }[] = [];
  let header:
    | { readonly line: number; readonly paths: readonly (NumberPath | undefined)[] | undefined }
    | undefined;
  const text = readText(file, 'a table of numbers that vary together');
  const broken = readCsvRows(text, (cells, line) => {
    if (header === undefined) header = { line, paths: headerPaths(cells, line, problems) };
    else if (header.paths !== undefined)
      rows.push({ line, values: rowValues(header.paths, cells, line, problems) });
  });
  if (broken !== undefined) problems.add(broken.line, broken.problem);
  const line = header?.line ?? 1;
  if (problems.isEmpty && rows.length === 0) {
    problems.add(line, {
      code: 'too-few-rows',
      expected: 'a header with paths, and at least one row of numbers below it',
    });
  }
  problems.throwIfAny();
  const paths = header!.paths as readonly NumberPath[];
  return {
    paths,
    columns: paths.map((_, column) => rows.map(({ values }) => values[column]!)),
    count: rows.length,
    place: { file, line },
    placeOf: (row) => ({ file, line: rows[row]!.line }),
  };
}

function headerPaths(
  cells: readonly string[],
  line: number,
  problems: ProblemList,
): (NumberPath | undefined)[] | undefined {
  const names = cells.map((cell) => cell.trim());
  if (names.length === 1 && /[;\t]/.test(names[0]!)) {
    problems.add(line, {
      code: 'wrong-delimiter',
      found: names[0]!,
      expected: 'cells separated by commas, numbers with a decimal point',
    });
    return undefined;
  }
  const named = new Set(names.filter((name) => name !== ''));
  for (const name of named) checkOnce(name, names, line, problems);
  return names.map((name, column) => {
    // What is wrong with a doubled one is told once.
    if (names.indexOf(name) < column) return undefined;
    const path = parseNumberPath(name);
    if (!isFault(path)) return path;
    problems.add(line, { ...path, path: 'header', found: name });
    return undefined;
  });
}

function checkOnce(name: string, names: readonly string[], line: number, problems: ProblemList) {
  const columns = names.flatMap((other, k) => (other === name ? [k + 1] : []));
  if (columns.length === 1) return;
  problems.add(line, {
    code: 'duplicate-column',
    path: 'header',
    found: `${name} in columns ${columns.join(', ')}`,
    expected: 'each number in one column',
    hint: 'leave one of them, or name the number that the other was meant for',
  });
}

function rowValues(
  paths: readonly (NumberPath | undefined)[],
  cells: readonly string[],
  line: number,
  problems: ProblemList,
): number[] {
  if (cells.length !== paths.length) {
    problems.add(line, {
      code: 'cell-count',
      found: countOf(cells.length, 'cell'),
      expected: `${countOf(paths.length, 'cell')}, as the header has`,
    });
    return [];
  }
  return cells.map((cell, column) => {
    const value = parseNumber(cell);
    if (value !== undefined) return value;
    problems.add(line, {
      code: 'not-a-number',
      path: paths[column]?.text ?? `column ${column + 1}`,
      found: cell.trim(),
      expected: 'a number with a decimal point, such as 12.5',
    });
    return Number.NaN;
  });
}
