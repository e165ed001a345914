import { fixed } from '../summary/numbers.ts';
import { SPRINT_LINES } from '../summary/sprint-ledger-lines.ts';
import type { SprintSheet, SprintSummary } from '../summary/sprint-summary.ts';
import { LIMIT_WORDS } from './limit-words.ts';
import type { Section, SectionRow } from './section.ts';

const COLUMNS = ['no store', 'empty', 'half', 'full'] as const;

/** The sheets of a sprint in the order of the columns. */
export function sprintSheets(summary: SprintSummary): readonly SprintSheet[] {
  return [
    summary.without_store,
    summary.with_store_empty,
    summary.with_store_half,
    summary.with_store,
  ];
}

const ENGINE_LIMIT_WORDS: { readonly [Name in keyof SprintSheet['engine_limit_s']]: string } = {
  full_load: 'engine: full load',
  launch_slip: 'engine: launch slip',
  adhesion: 'engine: tyre adhesion',
  gear_change: 'engine: change of gear',
  rev_limit: 'engine: greatest speed',
};

/**
 * The figures of a sprint as titled tables, a column for each fill of the store.
 * @param summary
 * @returns times, what the store does, what limited both
 */
export function sprintSections(summary: SprintSummary): Section[] {
  const sheets = sprintSheets(summary);
  const { engine_off_speed_kmh: off, cruise_speed_kmh: cruise } = summary.conditions;
  const row = (
    words: string,
    value: (sheet: SprintSheet) => number | null,
    decimals: number,
  ): SectionRow => [words, ...sheets.map((sheet) => fixed(value(sheet), decimals))];
  const boost = (
    words: string,
    value: (sheet: SprintSheet) => readonly [seconds: number | null, ended: boolean | null],
  ): SectionRow => [words, ...sheets.map((sheet) => boostText(sheet, ...value(sheet)))];
  return [
    {
      title: 'Standing start, full load',
      columns: COLUMNS,
      rows: [
        row('0–50 km/h, s', (sheet) => sheet.t_0_50_kmh_s, 2),
        row('0–100 km/h, s', (sheet) => sheet.t_0_100_kmh_s, 2),
        row('0–60 mph, s', (sheet) => sheet.t_0_60_mph_s, 2),
        row('400 m, s', (sheet) => sheet.t_400_m_s, 2),
        row('speed at 400 m, km/h', (sheet) => sheet.speed_400_m_kmh, 1),
        row('1 km, s', (sheet) => sheet.t_1_km_s, 2),
        row('speed at 1 km, km/h', (sheet) => sheet.speed_1_km_kmh, 1),
        boost('boost, s', (sheet) => [sheet.boost_s, sheet.boost_ended]),
        row('moves off on a grade of, %', (sheet) => sheet.max_grade_start_pct, 1),
      ],
    },
    {
      title: 'Overtaking',
      columns: COLUMNS,
      rows: [
        row('80–120 km/h, s', (sheet) => sheet.t_80_120_kmh_s, 2),
        row('distance, m', (sheet) => sheet.distance_80_120_kmh_m, 0),
        boost('boost, s', (sheet) => [sheet.overtaking_boost_s, sheet.overtaking_boost_ended]),
        row('keeps 80 km/h on a grade of, %', (sheet) => sheet.max_grade_80_kmh_pct, 1),
        row('peak gain, m/s²', (sheet) => sheet.peak_gain_m_per_s2, 2),
        row('  at, km/h', (sheet) => sheet.peak_gain_at_kmh, 1),
      ],
    },
    {
      title: 'Store alone; engine fills it',
      columns: COLUMNS,
      rows: [
        row(`engine off at ${off} km/h, m`, (sheet) => sheet.engine_off_distance_m, 0),
        ['  ended by', ...sheets.map(({ engine_off_ends_by: limit }) => shortLimit(limit))],
        row(`filled at ${cruise} km/h in, s`, (sheet) => sheet.recharge_s, 1),
        ['  kept from it by', ...sheets.map(({ recharge_kept_by: limit }) => shortLimit(limit))],
      ],
    },
    { title: 'Acting in the standing start, s', columns: COLUMNS, rows: limitRows(sheets) },
  ];
}

/** The ledger of the standing starts [kJ]. */
export function sprintLedgerSection(summary: SprintSummary): Section {
  const sheets = sprintSheets(summary);
  const rows = (part: keyof typeof SPRINT_LINES): SectionRow[] =>
    Object.entries(SPRINT_LINES[part]).map(
      ([key, { side, words }]): SectionRow => [
        `${part === 'store' ? 'store ' : ''}${side}: ${words}`,
        ...sheets.map(({ ledger }) => {
          const lines: object = part === 'store' ? ledger.store : ledger;
          return fixed((lines as Record<string, number>)[key]!, 1);
        }),
      ],
    );
  return {
    title: 'Energy of the standing start, kJ',
    columns: COLUMNS,
    rows: [...rows('drive'), ...rows('store')],
  };
}

/** A boost that outlasts the drive is at least as long as was seen. */
function boostText(
  { boost_s: any }: SprintSheet,
  seconds: number | null,
  ended: boolean | null,
): string {
  if (any === null || seconds === null) return fixed(null, 2);
  return `${ended || seconds === 0 ? '' : '>'}${fixed(seconds, 2)}`;
}

function shortLimit(limit: SprintSheet['recharge_kept_by']): string {
  return limit ?? fixed(null, 0);
}

function limitRows(sheets: readonly SprintSheet[]): SectionRow[] {
  const engine = Object.entries(ENGINE_LIMIT_WORDS).map(([name, words]): SectionRow => {
    const key = name as keyof SprintSheet['engine_limit_s'];
    return [words, ...sheets.map((sheet) => fixed(sheet.engine_limit_s[key], 2))];
  });
  const names = Object.keys(sheets[0]!.store_limit_s) as (keyof SprintSheet['store_limit_s'])[];
  const store = names
    .filter((name) => sheets.some((sheet) => sheet.store_limit_s[name] > 0))
    .map(
      (name): SectionRow => [
        `store: ${LIMIT_WORDS[name]}`,
        ...sheets.map((sheet) =>
          fixed(sheet.boost_s === null ? null : sheet.store_limit_s[name], 2),
        ),
      ],
    );
  return [...engine.filter(([, ...seconds]) => seconds.some((text) => Number(text) > 0)), ...store];
}
