import { type MeasuredTable, tableProblem } from './measured-table.ts';

/**
 * Looks whether the clock of a log goes on from row to row.
 * @param table the rows are of
 * @param time of each row of the table [s]
 * @param rows that count, in their order
 * @param hint what to do about it
 * @throws InputError naming the first row that is no later than the one before it
 */
export function checkTimeOrder(
  table: MeasuredTable,
  time: Float64Array,
  rows: readonly number[],
  hint: string,
): void {
  const at = rows.findIndex((row, k) => k > 0 && time[row]! <= time[rows[k - 1]!]!);
  if (at < 0) return;
  throw tableProblem(table, rows[at], {
    code: 'time-order',
    path: 'time',
    expected: 'a later time than in the row before it',
    hint,
  });
}
