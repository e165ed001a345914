import { ProblemList } from '../cycle/problem-list.ts';
import { countOf } from '../cycle/row-problems.ts';
import { readCsvRows } from './csv-rows.ts';
import { readText } from './files.ts';
import { unchanging } from './hash.ts';
import { parseNumber } from './number.ts';
import type { Problem } from './problem.ts';
import { suggest } from './suggest.ts';

/** A column of a table in long form: its header, and what its values may be. */
export interface GridColumn {
  readonly header: string;
  readonly min: number;
  readonly max: number;
  /** Why the range ends there. */
  readonly why: string;
}

/** z over x and y in long form; the file has one of the columns that z may be. */
export interface GridForm {
  /** What the file should be, for messages: `an engine table`. */
  readonly what: string;
  readonly x: GridColumn;
  readonly y: GridColumn;
  readonly z: readonly GridColumn[];
  /** What else its points must be: throws an InputError that names the file. */
  readonly check?: (file: string, grid: Grid) => void;
}

/** A full rectangular grid, values row by row: z[ix · ny + iy]. */
export interface Grid {
  /** Rising, as they stand in the file. */
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly z: readonly number[];
  /** Header of the column that z was read from. */
  readonly zHeader: string;
}

/**
 * Reads a table in long form: comma-separated, a header row, then one row for each point of a full
 * rectangular grid, in any order. Lines that begin with `#` and empty lines are passed over.
 *
 * @param file path as it is to be shown and opened
 * @param form the columns it must have, in any order, and no others
 * @throws InputError with every problem of the file, in file order (after 20 only their number)
 */
export function readGrid(file: string, form: GridForm): Grid {
  const rows = new GridRows(file, form);
  const broken = readCsvRows(readText(file, form.what), (cells, line) => rows.add(cells, line));
  if (broken !== undefined) rows.breakOff(broken.line, broken.problem);
  const grid = unchanging(rows.grid());
  form.check?.(file, grid);
  return grid;
}

interface Place {
  readonly column: GridColumn;
  readonly index: number;
}

interface Header {
  readonly line: number;
  readonly width: number;
  /** x, y and z, as far as the header has them. */
  readonly places: readonly (Place | undefined)[];
}

/** Reads a table, or hands over what was read of it before. */
export type GridReader = (file: string, form: GridForm) => Grid;

class GridRows {
  readonly #form: GridForm;
  readonly #problems: ProblemList;
  readonly #points = new Map<string, { readonly line: number; readonly z: number }>();
  readonly #x = new Set<number>();
  readonly #y = new Set<number>();
  #header: Header | undefined;

  constructor(file: string, form: GridForm) {
    this.#form = form;
    this.#problems = new ProblemList(file);
  }

  add(cells: readonly string[], line: number): void {
    if (this.#header === undefined) this.#addHeader(cells, line);
    else this.#addRow(this.#header, cells, line);
  }

  breakOff(line: number, problem: Problem): void {
    this.#problems.add(line, problem);
  }

  #addHeader(cells: readonly string[], line: number): void {
    const { x, y, z } = this.#form;
    const names = cells.map((cell) => cell.trim());
    const columns = [x, y, ...z];
    const known = columns.map((column) => column.header);
    for (const [index, name] of names.entries()) {
      const fault = headerFault(names, index, name, known);
      if (fault !== undefined) this.#problems.add(line, fault);
    }
    const place = (column: GridColumn): Place | undefined => {
      const index = names.indexOf(column.header);
      return index < 0 ? undefined : { column, index };
    };
    const found = z.map(place).filter((one) => one !== undefined);
    const places = [place(x), place(y), found[0]];
    if (this.#problems.isEmpty && (found.length !== 1 || places.includes(undefined))) {
      this.#problems.add(line, {
        code: 'missing-column',
        found: names.join(','),
        expected: `the columns ${x.header}, ${y.header} and one of ${z.map((column) => column.header).join(', ')}`,
      });
    }
    this.#header = { line, width: names.length, places };
  }

  #addRow(header: Header, cells: readonly string[], line: number): void {
    if (cells.length !== header.width) {
      this.#problems.add(line, {
        code: 'cell-count',
        found: countOf(cells.length, 'cell'),
        expected: `${countOf(header.width, 'cell')}, as the header has`,
      });
      return;
    }
    const [x, y, z] = header.places.map((place) => this.#number(place, cells, line));
    if (x === undefined || y === undefined || z === undefined) return;
    const key = `${x},${y}`;
    const earlier = this.#points.get(key);
    if (earlier !== undefined) {
      this.#problems.add(line, {
        code: 'duplicate-point',
        path: `${this.#form.x.header}, ${this.#form.y.header}`,
        found: key,
        expected: `each point once; this one stands already on line ${earlier.line}`,
      });
      return;
    }
    this.#points.set(key, { line, z });
    this.#x.add(x);
    this.#y.add(y);
  }

  #number(place: Place | undefined, cells: readonly string[], line: number): number | undefined {
    if (place === undefined) return undefined;
    const { header, min, max, why } = place.column;
    const cell = cells[place.index]!.trim();
    const value = parseNumber(cell);
    if (value !== undefined && value >= min && value <= max) return value;
    this.#problems.add(line, {
      code: value === undefined ? 'not-a-number' : 'out-of-range',
      path: header,
      found: cell,
      expected: `a number from ${min} to ${max} (${why})`,
    });
    return undefined;
  }

  grid(): Grid {
    const { x: xColumn, y: yColumn } = this.#form;
    const x = [...this.#x].toSorted((a, b) => a - b);
    const y = [...this.#y].toSorted((a, b) => a - b);
    const line = this.#header?.line ?? 1;
    if (this.#problems.isEmpty && (x.length < 2 || y.length < 2)) {
      this.#problems.add(line, {
        code: 'too-few-rows',
        found: `${x.length} of ${xColumn.header} and ${y.length} of ${yColumn.header}`,
        expected: `two values at least of ${xColumn.header} and of ${yColumn.header}`,
      });
    }
    // A cell that cannot be read would be named a second time as a missing point.
    if (this.#problems.isEmpty) this.#addMissing(x, y, line);
    this.#problems.throwIfAny();
    const z = x.flatMap((valueX) => y.map((valueY) => this.#points.get(`${valueX},${valueY}`)!.z));
    return { x, y, z, zHeader: this.#header!.places[2]!.column.header };
  }

  #addMissing(x: readonly number[], y: readonly number[], line: number): void {
    for (const valueX of x) {
      for (const valueY of y) {
        if (this.#points.has(`${valueX},${valueY}`)) continue;
        this.#problems.add(line, {
          code: 'missing-point',
          path: `${this.#form.x.header} ${valueX}, ${this.#form.y.header} ${valueY}`,
          found: 'no such row',
          expected: `a full grid: each of ${x.length} ${this.#form.x.header} with each of ${y.length} ${this.#form.y.header}`,
          hint: 'add the row, or take out the others of that value',
        });
      }
    }
  }
}

function headerFault(
  names: readonly string[],
  index: number,
  name: string,
  known: readonly string[],
): Problem | undefined {
  if (known.includes(name)) {
    if (names.indexOf(name) === index) return undefined;
    return { code: 'duplicate-column', path: name, found: name, expected: `\`${name}\` once` };
  }
  if (names.length === 1 && /[;\t]/.test(name)) {
    return {
      code: 'wrong-delimiter',
      found: name,
      expected: 'cells separated by commas, numbers with a decimal point',
    };
  }
  const near = suggest(name, known);
  return {
    code: 'unknown-column',
    path: name === '' ? `column ${index + 1}` : name,
    found: name,
    expected: `one of ${known.join(', ')}`,
    ...(near === undefined ? {} : { hint: `did you mean \`${near}\`?` }),
  };
}
