import { InputError } from '../config/problem.ts';
import { MIN_DISTANCE, NEVER_MOVES } from './check.ts';
import type { ReadOptions } from './dialect.ts';
import type { Drive } from './drive.ts';
import { type CycleSource, DriveTable, type LoggedDrive } from './drive-table.ts';
import { type RoadSamples, roadIntegrals } from './road.ts';
import { distance, type Trace } from './trace.ts';
import { encode, Utf8Pieces } from './utf8.ts';

export type { ReadOptions } from './dialect.ts';
export type { CycleSource, LoggedDrive } from './drive-table.ts';
export type { ReadReport, TrackReport, UsedColumn } from './read-report.ts';

/** A file as it comes, in pieces of any size: bytes of UTF-8, or text. */
export type Pieces = AsyncIterable<Uint8Array | string>;

/** So much of a file is looked at to see whether it is XML [bytes]. */
const LOOKED_AT = 4096;
/** So many characters of a text are read at once, so that it is not copied as a whole. */
const PIECE_LENGTH = 1 << 20;
const LESS_THAN = 0x3c;
const BLANKS = [0x09, 0x0a, 0x0d, 0x20];
const BYTE_ORDER_MARK = [0xef, 0xbb, 0xbf];

/**
 * Reads a logged drive: a GPX file, or a table in text form with
 *
 * - a header row whose columns name what they hold and its unit, such as `time_s`, `speed [km/h]`,
 *   `v_mph`, `altitude_m`, `alt (ft)`, `grade_pct`, `grade [-]`; units may stand in a row of their own
 *   right below; other columns are passed over, but a misspelt one or one without its unit is an
 *   error if nothing else fills its place;
 * - times in s or ms, as dates with time and zone (ISO 8601), or as h:mm:ss;
 * - speed, or else latitude and longitude, from which it is computed (`PositionSpeeds`).
 *
 * A row may lack any value. Times, speeds and altitudes are taken as they are: cleaning decides.
 *
 * @param pieces the file, read as it comes
 * @param source where it comes from
 * @param options how it is written
 * @returns the drive in SI, and what was found in the file
 * @throws InputError with every problem of the file, in file order (after 20 only their number)
 */
export async function readDrive(
  pieces: Pieces,
  source: CycleSource,
  options: ReadOptions = {},
): Promise<LoggedDrive> {
  return read(pieces, source, options, false);
}

/**
 * Reads a logged drive from a table in text form, as `readDrive` does. GPX is for `readDrive` alone.
 *
 * @param text the whole file
 * @param source where it comes from
 * @param options how it is written
 * @returns the drive in SI, and what was found in the file
 * @throws InputError with every problem of the file, in file order (after 20 only their number)
 */
export function parseDrive(
  text: string,
  source: CycleSource,
  options: ReadOptions = {},
): LoggedDrive {
  return parse(text, source, options, false);
}

/**
 * Reads a cycle, which can be driven as it stands: a table as `readDrive` takes it, but with no other
 * columns than time, speed and at most one of grade and altitude, no value missing, times that only
 * go forward, and speeds and slopes that are possible.
 *
 * @param text the whole file
 * @param source where it comes from
 * @param options how it is written
 * @returns the trace, in SI
 * @throws InputError with every problem of the file, in file order (after 20 only their number)
 */
export function parseCycle(text: string, source: CycleSource, options: ReadOptions = {}): Trace {
  return traceOf(parse(text, source, options, true), source);
}

/** Reads a cycle as `parseCycle` does, from a file as it comes. */
export async function readCycle(
  pieces: Pieces,
  source: CycleSource,
  options: ReadOptions = {},
): Promise<Trace> {
  return traceOf(await read(pieces, source, options, true), source);
}

function parse(
  text: string,
  source: CycleSource,
  options: ReadOptions,
  strict: boolean,
): LoggedDrive {
  const table = new DriveTable(source, options, strict);
  if (looksLikeXml(encode(text.slice(0, LOOKED_AT)))) throw noTable(source);
  const utf8 = new Utf8Pieces();
  for (let from = 0; from < text.length; from += PIECE_LENGTH) {
    table.push(utf8.bytes(text.slice(from, from + PIECE_LENGTH)));
  }
  return table.end();
}

async function read(
  pieces: Pieces,
  source: CycleSource,
  options: ReadOptions,
  strict: boolean,
): Promise<LoggedDrive> {
  const table = new DriveTable(source, options, strict);
  const utf8 = new Utf8Pieces();
  let reader: Pick<DriveTable, 'push' | 'end'> | undefined;
  let head: Uint8Array = new Uint8Array(0);
  for await (const piece of pieces) {
    const bytes = utf8.bytes(piece);
    if (reader !== undefined) {
      reader.push(bytes);
      continue;
    }
    head = joined(head, bytes);
    const isXml = looksLikeXml(head);
    if (isXml === undefined) continue;
    if (isXml && strict) throw noTable(source);
    // The parser of XML is loaded only where there is XML.
    reader = isXml ? new (await import('./gpx.ts')).GpxReader(source) : table;
    reader.push(head);
  }
  if (reader !== undefined) return reader.end();
  table.push(head);
  return table.end();
}

/** Whether the first character that is no blank is a `<`; undefined as long as there is none. */
function looksLikeXml(head: Uint8Array): boolean | undefined {
  for (const [at, byte] of head.subarray(0, LOOKED_AT).entries()) {
    const isPassedOver = BLANKS.includes(byte) || byte === BYTE_ORDER_MARK[at];
    if (!isPassedOver) return byte === LESS_THAN;
  }
  return head.length < LOOKED_AT ? undefined : false;
}

function noTable({ file }: CycleSource): InputError {
  return new InputError([
    {
      code: 'not-a-table',
      file,
      line: 1,
      found: 'XML',
      expected: 'a table in text form, with a header row such as `time_s,speed_kmh`',
      hint: '`spinledger cycle convert` makes a cycle of a GPX log',
    },
  ]);
}

function joined(head: Uint8Array, bytes: Uint8Array): Uint8Array {
  if (head.length === 0) return bytes.slice();
  const both = new Uint8Array(head.length + bytes.length);
  both.set(head);
  both.set(bytes, head.length);
  return both;
}

/** The trace of a drive that was checked row by row as it was read. */
function traceOf({ drive, report }: LoggedDrive, { file }: CycleSource): Trace {
  const { name, time, speed } = drive;
  const trace = { name, time, speed, ...roadIntegrals(time, speed, roadOf(drive)) };
  if (distance(trace) >= MIN_DISTANCE) return trace;
  const { header } = report.columns.find((column) => column.quantity === 'speed')!;
  throw new InputError([{ ...NEVER_MOVES, file, line: report.headerLine, path: header }]);
}

function roadOf({ altitude, grade }: Drive): RoadSamples {
  if (grade !== undefined) return { kind: 'grade', grade };
  return altitude === undefined ? { kind: 'flat' } : { kind: 'altitude', altitude };
}
