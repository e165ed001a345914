import type { OddPart, SmoothedRoad } from '../config/load-drive.ts';
import type { Problem } from '../config/problem.ts';
import { KILO, KILOMETRE } from '../config/units.ts';
import {
  CHANGE_KINDS,
  type ChangeKind,
  type CleaningReport,
  type DriveFigures,
} from '../cycle/clean-report.ts';
import type { ReadReport } from '../cycle/read.ts';
import { distance, type Trace } from '../cycle/trace.ts';
import { tool } from '../summary/tool.ts';
import { CYCLE_SCHEMA_VERSION } from './cycle-sheet.ts';

/** All that was found in the file of a drive, as far as it could be read. */
export interface Findings {
  /** As the user gave it. */
  readonly file: string;
  readonly reading?: ReadReport;
  readonly cleaning?: CleaningReport;
  readonly altitude?: SmoothedRoad;
  readonly parts: readonly Trace[];
  readonly oddParts: readonly OddPart[];
  /** Why it cannot be used; none if it can. */
  readonly problems: readonly Problem[];
}

/**
 * What was found in the file of a drive, the document that `cycle check --format json` prints. Every
 * key of a quantity ends in its unit. What was not reached because of a problem is null or empty.
 */
export interface CycleCheck {
  readonly schema_version: typeof CYCLE_SCHEMA_VERSION;
  readonly tool: string;
  readonly file: string;
  /** Whether the drive can be used, cleaned if need be; in several parts, each of them. */
  readonly usable: boolean;
  readonly problems: readonly Problem[];
  readonly reading: {
    readonly form: 'csv' | 'gpx';
    readonly rows: number;
    readonly header_line: number;
    readonly units_line: number | null;
    readonly columns: readonly {
      readonly quantity: string;
      readonly header: string;
      readonly unit: string;
      readonly missing_values: number;
    }[];
    /** Headers of the columns that were not read. */
    readonly ignored_columns: readonly string[];
    readonly comment_lines: number;
    readonly blank_lines: number;
    /** First instant as it stands in the file, if the times are no plain numbers. */
    readonly start: string | null;
    /** Rows at 0° north, 0° east, which stands for no position. */
    readonly rows_without_position: number;
    readonly tracks: { tracks: number; segments: number; sorted: boolean } | null;
  } | null;
  readonly cleaning: {
    /** How often each kind of fault was found; all kinds are listed. */
    readonly findings: Readonly<Record<ChangeKind, number>>;
    readonly median_step_s: number | null;
    readonly before: FiguresSheet;
    readonly after: FiguresSheet;
  } | null;
  /** If altitude was smoothed over distance. */
  readonly altitude: {
    /** All rises from row to row as logged, noise and all. */
    readonly gain_before_m: number;
    readonly gain_after_m: number;
    readonly end_shift_m: number;
  } | null;
  readonly parts: readonly {
    readonly start_s: number;
    readonly end_s: number;
    readonly distance_km: number;
  }[];
  /** Parts that were left out, or whose altitude was not used. */
  readonly odd_parts: readonly {
    readonly kind: OddPart['kind'];
    readonly start_s: number;
    readonly end_s: number;
    readonly distance_km: number;
  }[];
}

/** What cleaning can change about a drive as a whole. */
export interface FiguresSheet {
  readonly rows: number;
  readonly parts: number;
  readonly duration_s: number;
  readonly distance_km: number;
  readonly max_acceleration_m_per_s2: number;
  readonly max_deceleration_m_per_s2: number;
  /** Driving work at the wheels of the reference car on the flat. */
  readonly tractive_energy_kJ_per_km: number | null;
}

/** The findings as a document. */
export function cycleCheck(findings: Findings): CycleCheck {
  const { file, problems, reading, cleaning, altitude, parts, oddParts } = findings;
  return {
    schema_version: CYCLE_SCHEMA_VERSION,
    tool: tool(),
    file,
    usable: problems.length === 0,
    problems,
    reading: reading === undefined ? null : readingSheet(reading),
    cleaning: cleaning === undefined ? null : cleaningSheet(cleaning),
    altitude:
      altitude === undefined
        ? null
        : {
            gain_before_m: altitude.gainBefore,
            gain_after_m: altitude.gainAfter,
            end_shift_m: altitude.endShift,
          },
    parts: parts.map((trace) => ({
      start_s: trace.time[0]!,
      end_s: trace.time.at(-1)!,
      distance_km: distance(trace) / KILOMETRE,
    })),
    odd_parts: oddParts.map((part) => ({
      kind: part.kind,
      start_s: part.from,
      end_s: part.to,
      distance_km: part.distance / KILOMETRE,
    })),
  };
}

function readingSheet(reading: ReadReport): CycleCheck['reading'] {
  return {
    form: reading.form,
    rows: reading.rows,
    header_line: reading.headerLine,
    units_line: reading.unitsLine ?? null,
    columns: reading.columns.map(({ quantity, header, unit, missing }) => ({
      quantity,
      header,
      unit,
      missing_values: missing,
    })),
    ignored_columns: reading.ignored,
    comment_lines: reading.comments,
    blank_lines: reading.blanks,
    start: reading.start ?? null,
    rows_without_position: reading.noFix,
    tracks: reading.tracks ?? null,
  };
}

function cleaningSheet({ counts, medianStep, before, after }: CleaningReport) {
  const findings = CHANGE_KINDS.map((kind) => [kind, counts[kind]] as const);
  return {
    findings: Object.fromEntries(findings) as Record<ChangeKind, number>,
    median_step_s: Number.isFinite(medianStep) ? medianStep : null,
    before: figuresSheet(before),
    after: figuresSheet(after),
  };
}

function figuresSheet(figures: DriveFigures): FiguresSheet {
  const traction = (figures.tractionPerDistance * KILOMETRE) / KILO;
  return {
    rows: figures.rows,
    parts: figures.parts,
    duration_s: figures.duration,
    distance_km: figures.distance / KILOMETRE,
    max_acceleration_m_per_s2: figures.maxAcceleration,
    max_deceleration_m_per_s2: figures.maxDeceleration,
    tractive_energy_kJ_per_km: Number.isFinite(traction) ? traction : null,
  };
}
