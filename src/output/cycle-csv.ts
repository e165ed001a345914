import type { Cell } from '../summary/flat.ts';
import type { CsvDialect } from './csv-dialect.ts';
import type { CycleSheet } from './cycle-sheet.ts';
import { recordsCsv } from './records-csv.ts';

/**
 * The figures of a drive cycle as CSV: a header and one row. The columns are the keys of the JSON
 * document with their groups in front; an ideal store is called by its size, as in
 * `ideal_store_200kJ_60kW_taken_kJ`.
 */
export function cycleCsv(sheet: CycleSheet, dialect?: CsvDialect): string {
  const { ideal_stores: stores, car, ...rest } = sheet;
  const sizes = stores.map(({ energy_kJ, power_kW, ...figures }) =>
    flat(figures, `ideal_store_${energy_kJ}kJ_${power_kW}kW_`),
  );
  const parts = [flat(rest, ''), ...(car === null ? [] : [flat(car, 'car_')]), ...sizes];
  return recordsCsv([Object.assign({}, ...parts)], dialect);
}

function flat(group: object, prefix: string): Record<string, Cell> {
  const cells = Object.entries(group).map(([key, value]: [string, Cell | object]) =>
    typeof value === 'object' && value !== null
      ? flat(value, `${prefix}${key}_`)
      : { [prefix + key]: value },
  );
  return Object.assign({}, ...cells);
}
