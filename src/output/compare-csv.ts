import { type Comparison, isSameInput } from '../study/comparison.ts';
import { COMPARED_FIGURES, pairChanges } from '../study/difference.ts';
import { LEDGER_PARTS, ledgerChange, STORE_FLOWS } from '../study/ledger-change.ts';
import type { Pair } from '../study/match.ts';
import type { Cell } from '../summary/flat.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';

/** Characters that are gathered before they are handed on. */
const CHUNK = 1 << 16;

/**
 * A comparison as CSV, piece by piece: a header, then a row a compared case, in the order of the
 * result after. Names and varied numbers are those after.
 */
export function* compareCsv(
  comparison: Comparison,
  dialect: CsvDialect = PLAIN_DIALECT,
): Generator<string> {
  const line = (cells: readonly Cell[]): string =>
    `${cells.map((cell) => csvCell(cell, dialect)).join(dialect.delimiter)}\n`;
  let text = '';
  for (const cells of rowsOf(comparison)) {
    text += line(cells);
    if (text.length < CHUNK) continue;
    yield text;
    text = '';
  }
  yield text;
}

function* rowsOf(comparison: Comparison): Generator<readonly Cell[]> {
  yield headers(comparison);
  for (const pair of comparison.matching.pairs) yield cellsOf(comparison, pair);
}

function headers({ matching: { dimensions } }: Comparison): string[] {
  return [
    ...dimensions.after.map(({ name }, k) => (k < 4 ? `case_${name}` : name)),
    'before_case_hash',
    'after_case_hash',
    'same_inputs',
    ...COMPARED_FIGURES.flatMap(({ name }) => [
      `before_${name}`,
      `after_${name}`,
      `change_${name}`,
    ]),
    'change_ledger_fuel_total_kJ_per_km',
    ...[...LEDGER_PARTS, ...STORE_FLOWS].map(({ column }) => `change_${column}_per_km`),
  ];
}

function cellsOf({ matching: { dimensions } }: Comparison, pair: Pair): Cell[] {
  const { before, after } = pair;
  const ledger = ledgerChange(
    [{ figures: before.figures, share: 1 }],
    [{ figures: after.figures, share: 1 }],
  );
  return [
    ...dimensions.after.map(({ of }) => of(after) ?? null),
    before.hash,
    after.hash,
    isSameInput(pair),
    ...pairChanges(pair).flatMap((one) => [one.before, one.after, one.change].map(cell)),
    cell(ledger.fuel.perKm),
    // A column is that of its line; only in a sum some lines are taken off.
    ...[...ledger.parts, ...ledger.flows].map(({ part, perKm }) => cell(part.sign * perKm)),
  ];
}

function cell(value: number): Cell {
  return Number.isFinite(value) ? value : null;
}
