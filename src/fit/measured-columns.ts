import { plainName, splitBrackets, splits, type Unit } from '../cycle/column-names.ts';

/** What a column of a measured table may hold. */
export interface ColumnKind {
  /** The quantity, as `--columns` names it and as a header usually does. */
  readonly quantity: string;
  /** Other names of it in a header, in lower case with underscores. */
  readonly names: readonly string[];
  /** How its cells are read: as a number in a unit, a time, a text, or on and off. */
  readonly form: 'number' | 'time' | 'label' | 'flag';
  /** Units that the numbers may be in, the usual one first; none for labels and flags. */
  readonly units: readonly Unit[];
}

/** A column of a table, and how its cells become SI. */
export interface MeasuredColumn {
  readonly kind: ColumnKind;
  /** Its header as it stands in the file */
  readonly header: string;
  readonly index: number;
  /** Undefined for labels, flags, and for times that are dates */
  readonly unit: Unit | undefined;
}

/** What a header cell says: a quantity and perhaps a unit, known or not. */
export interface MeasuredHeader {
  readonly kind: ColumnKind;
  readonly unitText: string | undefined;
  readonly unit: Unit | undefined;
}

/** Longest header that is looked into. */
const LONGEST_HEADER = 200;

/**
 * Reads a header cell: a name with its unit behind it (`rotor_speed_rpm`), in brackets
 * (`n_rotor [1/min]`), or without one.
 * @param text the cell
 * @param kinds what may stand there
 * @returns undefined where it names nothing of all that
 */
export function readMeasuredHeader(
  text: string,
  kinds: readonly ColumnKind[],
): MeasuredHeader | undefined {
  const cell = text.trim();
  if (cell.length > LONGEST_HEADER) return undefined;
  const bracketed = splitBrackets(cell);
  if (bracketed !== undefined) {
    const kind = kindNamed(bracketed.name, kinds);
    return kind && headerOf(kind, bracketed.unit === '' ? undefined : bracketed.unit);
  }
  const whole = kindNamed(cell, kinds);
  if (whole !== undefined) return headerOf(whole, undefined);
  for (const { name, tail } of splits(cell)) {
    const kind = kindNamed(name, kinds);
    const found = kind && headerOf(kind, tail);
    if (found?.unit !== undefined) return found;
  }
  return undefined;
}

/** The unit of a kind by any of its spellings. */
export function unitOf(kind: ColumnKind, text: string): Unit | undefined {
  const written = text.trim().toLowerCase();
  return kind.units.find((unit) => unit.ending === written || unit.spellings.includes(written));
}

/** The unit that a header of whatever name carries: `nRotor [1/min]`, `vFzg_kmh`. */
export function unitInAnyHeader(kind: ColumnKind, header: string): Unit | undefined {
  const bracketed = splitBrackets(header);
  if (bracketed !== undefined) return unitOf(kind, bracketed.unit);
  for (const { tail } of splits(header)) {
    const unit = unitOf(kind, tail);
    if (unit !== undefined) return unit;
  }
  return undefined;
}

/** Headers as one would write them, for messages: `rotor_speed_rpm, rotor_speed_rad_per_s`. */
export function usualNames({ quantity, units }: ColumnKind): string {
  if (units.length === 0) return quantity;
  return units.map(({ ending }) => `${quantity}_${ending}`).join(', ');
}

/** Whether the cells mean nothing without a unit. */
export function needsUnit({ form }: ColumnKind): boolean {
  return form === 'number';
}

function headerOf(kind: ColumnKind, unitText: string | undefined): MeasuredHeader {
  return { kind, unitText, unit: unitText === undefined ? undefined : unitOf(kind, unitText) };
}

function kindNamed(name: string, kinds: readonly ColumnKind[]): ColumnKind | undefined {
  const plain = plainName(name);
  return kinds.find(({ quantity, names }) => quantity === plain || names.includes(plain));
}
