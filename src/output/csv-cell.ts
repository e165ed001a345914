import { DefectError } from '../config/problem.ts';

/**
 * A value as a CSV cell (RFC 4180, decimal point). Numbers are written with the fewest digits that
 * read back as the same double; text is quoted where it must be.
 * @throws DefectError for a number that is none: no result may hold one
 */
export function csvCell(value: number | string | null): string {
  if (value === null) return '';
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new DefectError(`a result is ${value}`);
    return String(value);
  }
  return /[",\r\n]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
}
