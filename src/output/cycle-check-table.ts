import type { ChangeKind } from '../cycle/clean-report.ts';
import { fixed } from '../summary/numbers.ts';
import { CHANGE_WORDS } from './cleaning-words.ts';
import type { CycleCheck, FiguresSheet } from './cycle-check.ts';
import type { Paint } from './paint.ts';
import { printable } from './problems.ts';
import { type Section, type SectionRow, sectionLines } from './section.ts';

/** So many parts of a log are listed; the others are counted. */
const LISTED_PARTS = 20;

/** What was found in the file of a drive, for a terminal of 80 columns. */
export function cycleCheckTable(check: CycleCheck, paint: Paint): string {
  const sections = sectionsOf(check).map((section) => sectionLines(section, paint));
  const lines = [[verdict(check, paint)], ...sections].flatMap((part) => [...part, '']);
  return lines
    .slice(0, -1)
    .map((line) => `${line}\n`)
    .join('');
}

function verdict(check: CycleCheck, paint: Paint): string {
  const { usable, cleaning, parts } = check;
  const file = printable(check.file);
  if (!usable) return paint.warning(`${file} cannot be used`);
  const found = cleaning !== null && Object.values(cleaning.findings).some((count) => count > 0);
  const how = found ? 'can be used once it is cleaned' : 'can be used: nothing has to be cleaned';
  const several = parts.length > 1 ? `, in ${parts.length} parts` : '';
  return paint.title(`${file} ${how}${several}`);
}

function sectionsOf(check: CycleCheck): Section[] {
  const { reading, cleaning, altitude, parts } = check;
  return [
    ...(reading === null ? [] : [rows(reading), columns(reading)]),
    ...(cleaning === null ? [] : [findings(cleaning), beforeAndAfter(cleaning)]),
    ...(altitude === null ? [] : [climbs(altitude)]),
    ...(parts.length === 0 ? [] : [partSection(check)]),
  ];
}

type Reading = NonNullable<CycleCheck['reading']>;
type Cleaning = NonNullable<CycleCheck['cleaning']>;

function rows(reading: Reading): Section {
  const counted = (words: string, count: number): SectionRow[] =>
    count === 0 ? [] : [[words, fixed(count, 0)]];
  const { tracks, units_line: units } = reading;
  return {
    title: reading.form === 'gpx' ? 'Read as GPX' : 'Read as a table in text form',
    columns: [''],
    rows: [
      ['rows', fixed(reading.rows, 0)],
      ...(reading.form === 'gpx'
        ? []
        : ([['line of the header', fixed(reading.header_line, 0)]] as SectionRow[])),
      ...counted('line of the units', units ?? 0),
      ...counted('comment lines', reading.comment_lines),
      ...counted('blank lines', reading.blank_lines),
      ...counted('rows without a position', reading.rows_without_position),
      ...counted('tracks', tracks?.tracks ?? 0),
      ...counted('segments with points', tracks?.segments ?? 0),
    ],
    notes: [
      ...(reading.start === null ? [] : [`The first time is ${printable(reading.start)}.`]),
      ...(tracks?.sorted === true ? ['The segments were put in order of time.'] : []),
      ...(reading.ignored_columns.length === 0
        ? []
        : [`Not read: ${printable(reading.ignored_columns.join(', '))}.`]),
    ],
  };
}

function columns(reading: Reading): Section {
  return {
    title: 'Columns',
    columns: ['no value'],
    rows: reading.columns.map(({ quantity, header, unit, missing_values: missing }) => [
      `${quantity}: ${printable(header)}, ${unit}`,
      fixed(missing, 0),
    ]),
  };
}

function findings({ findings: counts, median_step_s: step }: Cleaning): Section {
  const kinds = (Object.keys(counts) as ChangeKind[]).filter((kind) => counts[kind] > 0);
  return {
    title: 'Found and cleaned',
    columns: [''],
    rows:
      kinds.length === 0
        ? [['nothing', '']]
        : kinds.map((kind) => [
            CHANGE_WORDS[kind][counts[kind] === 1 ? 0 : 1],
            fixed(counts[kind], 0),
          ]),
    notes: step === null ? [] : [`The rows are ${fixed(step, 3)} s apart (median).`],
  };
}

function beforeAndAfter({ before, after }: Cleaning): Section {
  const row = (words: string, decimals: number, of: (sheet: FiguresSheet) => number | null) =>
    [words, fixed(of(before), decimals), fixed(of(after), decimals)] as const;
  return {
    title: 'The drive',
    columns: ['as logged', 'cleaned'],
    rows: [
      row('rows', 0, (sheet) => sheet.rows),
      row('parts', 0, (sheet) => sheet.parts),
      row('duration, s', 1, (sheet) => sheet.duration_s),
      row('distance, km', 4, (sheet) => sheet.distance_km),
      row('highest acceleration, m/s²', 3, (sheet) => sheet.max_acceleration_m_per_s2),
      row('highest deceleration, m/s²', 3, (sheet) => sheet.max_deceleration_m_per_s2),
      row('tractive energy, kJ/km', 2, (sheet) => sheet.tractive_energy_kJ_per_km),
    ],
    notes: ['Tractive energy: of a car of 1500 kg on the flat, the same for all drives.'],
  };
}

function climbs(altitude: NonNullable<CycleCheck['altitude']>): Section {
  return {
    title: 'Altitude, smoothed over distance',
    columns: ['as logged', 'smoothed'],
    rows: [
      ['climb, m', fixed(altitude.gain_before_m, 1), fixed(altitude.gain_after_m, 1)],
      ['shift of the end that was spread out, m', '', fixed(altitude.end_shift_m, 2)],
    ],
  };
}

const ODD_WORDS = {
  'left-out': 'left out, too short',
  'no-road': 'taken for flat, no altitude',
  'too-steep': 'taken for flat, too short',
} as const;

function partSection({ parts, odd_parts: odd }: CycleCheck): Section {
  const row = (words: string, part: CycleCheck['parts'][number]): SectionRow => [
    words,
    fixed(part.start_s, 1),
    fixed(part.end_s, 1),
    fixed(part.distance_km, 3),
  ];
  const all = [
    ...parts.map((part, index) => row(`part ${index + 1}`, part)),
    ...odd.map((part) => row(ODD_WORDS[part.kind], part)),
  ];
  const more = all.length - LISTED_PARTS;
  return {
    title: 'Parts',
    columns: ['from s', 'to s', 'km'],
    rows: all.slice(0, LISTED_PARTS),
    notes: more > 0 ? [`And ${more} more; --format json lists them all.`] : [],
  };
}
