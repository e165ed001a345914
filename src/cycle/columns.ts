import { parseNumber } from '../config/number.ts';
import type { Problem } from '../config/problem.ts';
import { suggest } from '../config/suggest.ts';
import {
  findUnit,
  type HeaderName,
  nearQuantity,
  type Quantity,
  readHeaderName,
  type Unit,
  unitInHeader,
  unitsOf,
  usualHeader,
  usualHeaders,
} from './column-names.ts';
import { DELIMITER_WORDS, type Delimiter, type Dialect } from './dialect.ts';
import {
  CYCLE_QUANTITIES,
  missingHeader,
  missingUnit,
  misspelt,
  notOfACycle,
  secondColumn,
  unknownUnit,
  wrongDelimiter,
} from './header-problems.ts';

/** So many headers of a file are listed in a hint. */
const LISTED_HEADERS = 8;

/** A column of a file: what it holds, and which cell of a row it is. */
export interface PlacedColumn {
  readonly quantity: Quantity;
  /** Its header as it stands in the file. */
  readonly header: string;
  readonly index: number;
  /** Undefined only for times, whose first value then shows what they are. */
  readonly unit: Unit | undefined;
}

/** What the header row of a drive says, together with the row of units below it, if there is one. */
export interface Header {
  /** The columns to read; without problems there is time, and speed or both parts of a position. */
  readonly columns: Partial<Readonly<Record<Quantity, PlacedColumn>>>;
  /** How many cells a row has. */
  readonly width: number;
  /** Headers of all other columns. */
  readonly ignored: readonly string[];
  /** What is wrong with the header row, without file and line. */
  readonly problems: readonly Problem[];
  /** What is wrong with the row of units, likewise. */
  readonly unitProblems: readonly Problem[];
}

/** The header row of a drive, before it is known whether a row of units follows. */
export class HeaderRow {
  readonly #texts: readonly string[];
  readonly #names: readonly HeaderName[];
  readonly #dialect: Dialect;
  readonly #strict: boolean;
  readonly #problems: Problem[] = [];
  readonly #unitProblems: Problem[] = [];
  /** Headers of the columns with an unknown unit in the row of units. */
  readonly #oddUnits = new Set<string>();
  /** Quantities of which something is said already: they are not missing besides. */
  readonly #told = new Set<Quantity>();

  /**
   * @param cells of the row
   * @param dialect of the file
   * @param strict whether the file may have nothing but the columns of a cycle
   */
  constructor(cells: readonly string[], dialect: Dialect, strict: boolean) {
    this.#texts = cells.map((cell) => cell.trim());
    this.#dialect = dialect;
    this.#strict = strict;
    this.#names =
      dialect.columns.size === 0 ? this.#texts.map(readHeaderName) : this.#mappedNames();
  }

  /** What is wrong if this is no header row in this dialect at all. */
  formProblem(): Problem | undefined {
    if (this.#names.some((name) => name.quantity !== undefined)) return undefined;
    const row = this.#texts.join(this.#dialect.delimiter);
    const delimiter = this.#likelierDelimiter(row);
    if (delimiter !== undefined) return wrongDelimiter(row, delimiter, this.#dialect.delimiter);
    const numbers = this.#texts.some((text) => parseNumber(text.replace(',', '.')) !== undefined);
    return numbers ? missingHeader(row) : undefined;
  }

  /** A delimiter under which the row has more to say. */
  #likelierDelimiter(row: string): Delimiter | undefined {
    const others = (Object.keys(DELIMITER_WORDS) as Delimiter[]).filter(
      (delimiter) => delimiter !== this.#dialect.delimiter && row.includes(delimiter),
    );
    const headers = new Set(this.#dialect.columns.values());
    return (
      others.find((delimiter) =>
        row
          .split(delimiter)
          .map((cell) => cell.trim())
          .some((cell) => headers.has(cell) || readHeaderName(cell).quantity !== undefined),
      ) ?? (this.#texts.length === 1 ? others[0] : undefined)
    );
  }

  /**
   * Whether the row below is one of units: it has a unit, and neither a number nor a time, under the
   * columns whose names are known.
   * @param cells of that row, without blanks around them
   */
  isUnitsRow(cells: readonly string[]): boolean {
    let units = 0;
    for (const [index, { quantity }] of this.#names.entries()) {
      const cell = cells[index] ?? '';
      if (quantity === undefined || cell === '') continue;
      if (/^[+-]?[.,]?\d/.test(cell)) return false;
      if (findUnit(quantity, cell) !== undefined) units++;
    }
    return units > 0;
  }

  /**
   * Says which column is what.
   * @param units cells of the row of units, if there is one, without blanks around them
   */
  place(units: readonly string[] = []): Header {
    const names = this.#names.map((name, index) => this.#withUnit(name, units[index] ?? ''));
    const surest = new Set(
      names.filter(({ unit }) => unit !== undefined).map(({ quantity }) => quantity),
    );
    const wanted = names.filter((name) => this.#isWanted(name, surest));
    const filled = new Set(wanted.map(({ quantity }) => quantity));
    const columns: Partial<Record<Quantity, PlacedColumn>> = {};
    const ignored: string[] = [];
    for (const [index, name] of names.entries()) {
      const { quantity, text, unit } = name;
      if (quantity !== undefined && this.#isWanted(name, surest)) {
        const rival = columns[quantity] ?? this.#rivalRoad(quantity, columns);
        if (rival === undefined) columns[quantity] = { quantity, header: text, index, unit };
        else this.#problems.push(secondColumn(text, quantity, rival, this.#strict));
        continue;
      }
      if (quantity !== undefined && this.#oddUnits.has(text)) {
        this.#told.add(quantity);
        continue;
      }
      const fault = this.#fault(name, index, filled);
      if (fault === undefined) {
        ignored.push(text === '' ? `column ${index + 1}` : text);
      } else {
        this.#problems.push(fault.problem);
        if (fault.quantity !== undefined) this.#told.add(fault.quantity);
      }
    }
    this.#addMissing(columns);
    return {
      columns,
      width: this.#texts.length,
      ignored,
      problems: this.#problems,
      unitProblems: this.#unitProblems,
    };
  }

  #withUnit(name: HeaderName, cell: string): HeaderName {
    const { quantity } = name;
    if (quantity === undefined || cell === '') return name;
    const unit = findUnit(quantity, cell);
    if (unit === undefined) {
      if (needsUnit(quantity) && name.unit === undefined) {
        this.#unitProblems.push(unknownUnit(name.text, cell, quantity));
        this.#oddUnits.add(name.text);
      }
      return name;
    }
    if (name.unit !== undefined && name.unit !== unit && !this.#dialect.columns.has(quantity)) {
      this.#unitProblems.push({
        code: 'conflicting-units',
        path: name.text,
        found: cell,
        expected: `${name.unit.words}, as the header says, or no unit`,
        hint: 'the row of units contradicts the header: mend the one that is wrong',
      });
    }
    return name.unit === undefined ? { ...name, unit } : name;
  }

  /**
   * Whether a column can be read, and no other is to be preferred.
   * @param surest quantities with a column that names its unit
   */
  #isWanted(
    { quantity, unit, unitText }: HeaderName,
    surest: ReadonlySet<Quantity | undefined>,
  ): boolean {
    switch (quantity) {
      case undefined:
        return false;
      case 'time':
        return unit !== undefined || this.#strict || !surest.has('time');
      case 'latitude':
      case 'longitude':
        if (this.#strict || surest.has('speed')) return false;
        return unit !== undefined || unitText === undefined;
      default:
        return unit !== undefined;
    }
  }

  /** A cycle has a grade or an altitude; a log may have both. */
  #rivalRoad(
    quantity: Quantity,
    columns: Partial<Record<Quantity, PlacedColumn>>,
  ): PlacedColumn | undefined {
    if (!this.#strict) return undefined;
    if (quantity === 'grade') return columns.altitude;
    return quantity === 'altitude' ? columns.grade : undefined;
  }

  /** What is wrong with a column that is not read, or undefined if it may be passed over. */
  #fault(
    name: HeaderName,
    index: number,
    filled: ReadonlySet<Quantity | undefined>,
  ): { readonly problem: Problem; readonly quantity?: Quantity } | undefined {
    const { quantity, text, unitText } = name;
    const mapped = this.#dialect.columns.size > 0;
    const isMissing = (candidate: Quantity): boolean =>
      !filled.has(candidate) && !(isPosition(candidate) && filled.has('speed'));
    if (quantity !== undefined && needsUnit(quantity)) {
      if (!this.#strict && !isMissing(quantity)) return undefined;
      const problem =
        unitText === undefined
          ? missingUnit(text, quantity, mapped)
          : unknownUnit(text, unitText, quantity);
      return { problem, quantity };
    }
    if (mapped) return undefined;
    const near = quantity === undefined ? nearQuantity(text) : undefined;
    if (!this.#strict && (near === undefined || !isMissing(near.quantity))) return undefined;
    if (near !== undefined && (!this.#strict || CYCLE_QUANTITIES.includes(near.quantity))) {
      return { problem: misspelt(text, near, this.#strict), quantity: near.quantity };
    }
    return { problem: notOfACycle(text, index) };
  }

  #addMissing(columns: Header['columns']): void {
    const has = (quantity: Quantity): boolean =>
      columns[quantity] !== undefined || this.#told.has(quantity);
    if (!has('time')) this.#problems.push(this.#missing('time'));
    if (has('speed')) return;
    if (!has('latitude') && !has('longitude')) this.#problems.push(this.#missing('speed'));
    else if (!has('longitude')) this.#problems.push(this.#missing('longitude'));
    else if (!has('latitude')) this.#problems.push(this.#missing('latitude'));
  }

  #missing(quantity: Quantity): Problem {
    const hint = this.#strict
      ? 'the first row that is no comment names the columns, as in `time_s,speed_kmh`'
      : `this file has ${this.#listed()}; a column of another name is taken with \`--columns ${quantity}=NAME\`, and lines above the header have to begin with #`;
    return {
      code: 'missing-column',
      path: usualHeader(quantity, unitsOf(quantity)[0]!),
      expected: `one column of ${usualHeaders([quantity])}`,
      hint,
    };
  }

  #listed(): string {
    const names = this.#texts.filter((text) => text !== '');
    const listed = names.slice(0, LISTED_HEADERS).join(', ');
    return names.length > LISTED_HEADERS
      ? `${listed} and ${names.length - LISTED_HEADERS} more`
      : listed;
  }

  /** The columns that are asked for by their headers, and those without which there is no drive. */
  #mappedNames(): HeaderName[] {
    const names = this.#texts.map(
      (text): HeaderName => ({ text, quantity: undefined, unitText: undefined, unit: undefined }),
    );
    for (const [quantity, asked] of this.#dialect.columns) {
      const found = this.#asked(quantity, asked);
      if (found === undefined) continue;
      const rival = names[found.index]!.quantity;
      if (rival !== undefined) {
        this.#problems.push({
          code: 'conflicting-columns',
          path: `--columns ${quantity}`,
          found: asked,
          expected: `another column than that of ${rival}`,
        });
      }
      names[found.index] = found.name;
    }
    const own = this.#texts.map(readHeaderName);
    const add = (quantity: Quantity): void => {
      if (this.#dialect.columns.has(quantity)) return;
      for (const [index, name] of own.entries()) {
        if (name.quantity === quantity && names[index]!.quantity === undefined) names[index] = name;
      }
    };
    add('time');
    const position =
      this.#dialect.columns.has('latitude') && this.#dialect.columns.has('longitude');
    if (!position)
      for (const quantity of ['speed', 'latitude', 'longitude'] as const) add(quantity);
    return names;
  }

  #asked(
    quantity: Quantity,
    asked: string,
  ): { readonly index: number; readonly name: HeaderName } | undefined {
    const trimmed = asked.trim();
    const colon = trimmed.lastIndexOf(':');
    const whole = this.#texts.indexOf(trimmed);
    const index = whole < 0 && colon > 0 ? this.#texts.indexOf(trimmed.slice(0, colon)) : whole;
    if (index < 0) {
      this.#problems.push(this.#noSuchColumn(quantity, trimmed));
      this.#told.add(quantity);
      return undefined;
    }
    const text = this.#texts[index]!;
    if (this.#texts.indexOf(text, index + 1) >= 0) {
      this.#problems.push({
        code: 'duplicate-column',
        path: text,
        found: text,
        expected: `\`${text}\` once, as it is to be read`,
        hint: 'rename one of the two columns',
      });
    }
    const unitText = whole < 0 ? trimmed.slice(colon + 1).trim() : undefined;
    const unit =
      unitText === undefined ? unitInHeader(quantity, text) : findUnit(quantity, unitText);
    return { index, name: { text, quantity, unitText, unit } };
  }

  #noSuchColumn(quantity: Quantity, asked: string): Problem {
    const near = suggest(asked, this.#texts);
    const hint = this.#texts.some((text) => text.includes('\uFFFD'))
      ? 'the header has characters that are no UTF-8: save the file as UTF-8'
      : near === undefined
        ? `this file has ${this.#listed()}`
        : `did you mean \`${near}\`?`;
    return {
      code: 'missing-column',
      path: `--columns ${quantity}`,
      found: asked,
      expected: 'the header of a column of this file, if need be with a unit, as in `vFzg:kmh`',
      hint,
    };
  }
}

function isPosition(quantity: Quantity): boolean {
  return quantity === 'latitude' || quantity === 'longitude';
}

function needsUnit(quantity: Quantity): boolean {
  return quantity === 'speed' || quantity === 'grade' || quantity === 'altitude';
}
