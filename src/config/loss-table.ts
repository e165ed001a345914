import { type Grid, type GridForm, type GridReader, readGrid } from './grid-file.ts';

const FORM: GridForm = {
  what: 'a table of transmission losses',
  x: { header: 'ratio', min: 0.5, max: 5000, why: 'rotor speed over axle speed' },
  y: { header: 'load_share', min: 0, max: 1, why: 'power over the power limit of the store' },
  z: [
    {
      header: 'efficiency',
      min: 0.01,
      max: 1,
      why: 'at 0 nothing would ever come through, above 1 energy would be made',
    },
  ],
};

/**
 * Reads the efficiency of a transmission over ratio and load.
 *
 * @param file path as it is to be shown and opened
 * @param read reads the table
 * @throws InputError with every problem of the file
 */
export function readLossTable(file: string, read: GridReader = readGrid): Grid {
  return read(file, FORM);
}
