import type { DriveOptions, LoadedDrive } from '../../src/config/load-drive.ts';
import { driveFrom } from '../../src/config/load-drive.ts';

const encoder = new TextEncoder();

async function* streamOf(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}

/** Loads a drive from the text of its file, which is called `logs/monday.csv`. */
export function loadText(text: string, options?: DriveOptions): Promise<LoadedDrive> {
  return loadBytes(encoder.encode(text), options);
}

/** The same from its bytes. */
export function loadBytes(bytes: Uint8Array, options?: DriveOptions): Promise<LoadedDrive> {
  return driveFrom(streamOf(bytes), { file: 'logs/monday.csv', name: 'monday' }, options);
}

/** Rows of numbers under headers, as text. */
export function tableOf(headers: string, rows: readonly (readonly (number | string)[])[]): string {
  return `${headers}\n${rows.map((row) => row.join(',')).join('\n')}\n`;
}
