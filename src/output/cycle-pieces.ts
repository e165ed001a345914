import { KILOMETRE, KMH } from '../config/units.ts';
import { cycleStatistics } from '../cycle/statistics.ts';
import type { Trace } from '../cycle/trace.ts';
import { fixed } from '../summary/numbers.ts';
import { tool } from '../summary/tool.ts';
import type { CsvDialect } from './csv-dialect.ts';
import { CYCLE_SCHEMA_VERSION } from './cycle-sheet.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { recordsCsv } from './records-csv.ts';

/** What a drive was split into, the document that `cycle split --format json` prints. */
export interface PieceList {
  readonly schema_version: typeof CYCLE_SCHEMA_VERSION;
  readonly tool: string;
  readonly pieces: readonly PieceSheet[];
}

/** One piece and its figures. Every key of a quantity ends in its unit. */
export interface PieceSheet {
  /** Name of its file, within the folder. */
  readonly file: string;
  /** On the clock of the whole drive. */
  readonly start_s: number;
  readonly end_s: number;
  readonly duration_s: number;
  readonly distance_km: number;
  /** Standstill included. */
  readonly mean_speed_kmh: number;
  readonly max_speed_kmh: number;
  readonly standstill_s: number;
  readonly stops: number;
  /** ½ v² gained per kg and km. */
  readonly kinetic_gained_J_per_kg_km: number;
  readonly climb_m_per_km: number;
}

/** A piece of a drive, and the name of its file. */
export interface Piece {
  readonly file: string;
  readonly trace: Trace;
}

/** The pieces of a drive with their figures, in order. */
export function pieceList(pieces: readonly Piece[]): PieceList {
  return { schema_version: CYCLE_SCHEMA_VERSION, tool: tool(), pieces: pieces.map(pieceSheet) };
}

function pieceSheet({ file, trace }: Piece): PieceSheet {
  const { duration, stops, kinetic, climbing, ...statistics } = cycleStatistics(trace);
  return {
    file,
    start_s: trace.time[0]!,
    end_s: trace.time.at(-1)!,
    duration_s: duration,
    distance_km: statistics.distance / KILOMETRE,
    mean_speed_kmh: statistics.meanSpeed / KMH,
    max_speed_kmh: statistics.maxSpeed / KMH,
    standstill_s: stops.restShare * duration,
    stops: stops.count,
    kinetic_gained_J_per_kg_km: kinetic.gained * KILOMETRE,
    climb_m_per_km: climbing.up * KILOMETRE,
  };
}

/** The pieces for a terminal. */
export function pieceTable({ pieces }: PieceList, paint: Paint): string {
  const width = Math.max(4, ...pieces.map(({ file }) => file.length));
  const line = (file: string, ...cells: readonly string[]): string =>
    `${file.padEnd(width)}${cells.map((cell) => cell.padStart(9)).join('')}`;
  const rows = pieces.map((piece) =>
    line(
      printable(piece.file),
      fixed(piece.start_s, 1),
      fixed(piece.duration_s, 1),
      fixed(piece.distance_km, 3),
      fixed(piece.mean_speed_kmh, 1),
      fixed(piece.max_speed_kmh, 1),
      fixed(piece.standstill_s, 1),
    ),
  );
  return [
    paint.title(line('file', 'from s', 's', 'km', 'mean', 'top', 'rest s')),
    ...rows,
    paint.faint('Mean (standstill included) and top speed in km/h; rest s: standing still.'),
  ]
    .map((text) => `${text}\n`)
    .join('');
}

/** The pieces as CSV, a row a piece. */
export function pieceCsv({ pieces }: PieceList, dialect?: CsvDialect): string {
  return recordsCsv(
    pieces.map((piece) => ({ ...piece })),
    dialect,
  );
}
