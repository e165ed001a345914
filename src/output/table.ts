import { LEDGER_LINES, type NodeName } from '../summary/ledger-lines.ts';
import { fixed } from '../summary/numbers.ts';
import type { ByLimit, Summary } from '../summary/summary.ts';
import { balanceWords } from './balance-words.ts';
import { LIMIT_WORDS } from './limit-words.ts';
import type { Paint } from './paint.ts';
import { searchWords } from './search-words.ts';
import { warningLines } from './warning-lines.ts';
import { waterfallLines } from './waterfall-table.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;
/** The ledger stands in two halves, side by side. */
const HALF = 38;
const GAP = ' '.repeat(WIDTH - 2 * HALF);

/**
 * A summary for a terminal: one screen of 80 columns that leads with fuel and saving and goes on
 * with the ledger, missed recovery, counts and warnings.
 * @param summary
 * @param paint emphasis for the terminal, or none
 * @returns the text, with a line end after every line
 */
export function summaryTable(summary: Summary, paint: Paint): string {
  const parts = [
    titleLines(summary, paint),
    fuelLines(summary, paint),
    savingLines(summary, paint),
    waterfallLines(summary, paint, WIDTH),
    ledgerLines(summary, paint),
    missedLines(summary, paint),
    countLines(summary),
    warningLines(summary.warnings, paint, WIDTH),
  ];
  const lines = parts.filter((part) => part.length > 0).flatMap((part) => ['', ...part]);
  return lines
    .slice(1)
    .map((line) => `${line.trimEnd()}\n`)
    .join('');
}

function titleLines({ case: names, cycle, tool }: Summary, paint: Paint): string[] {
  const title = `${names.car} with ${names.store}, strategy ${names.strategy}, on ${names.cycle}`;
  const drive = `${fixed(cycle.distance_km, 2)} km in ${fixed(cycle.duration_s, 0)} s, mean ${fixed(cycle.mean_speed_kmh, 1)} km/h, top ${fixed(cycle.max_speed_kmh, 1)} km/h`;
  return [
    ...wrap(title, WIDTH).map(paint.title),
    paint.faint(drive),
    paint.faint(`${tool}, case ${names.hash}`),
  ];
}

function fuelLines({ fuel }: Summary, paint: Paint): string[] {
  const row = (name: string, litres: string, grams: string) =>
    name.padEnd(HALF) + litres.padStart(10) + grams.padStart(12);
  const figures = (name: string, litres: number, grams: number) =>
    row(`  ${name}`, fixed(litres, 3), fixed(grams, 2));
  return [
    paint.title(row('Fuel, charge-balanced', 'L/100 km', 'g CO2/km')),
    figures('car as it is', fuel.baseline_L_per_100km, fuel.baseline_co2_g_per_km),
    figures('with stop-start', fuel.stop_start_L_per_100km, fuel.stop_start_co2_g_per_km),
    paint.strong(figures('with the store', fuel.store_L_per_100km, fuel.store_co2_g_per_km)),
  ];
}

function savingLines({ saving, search }: Summary, paint: Paint): string[] {
  const row = (title: string, value: number | null, against: string) =>
    `${paint.title(title.padEnd(8))}${paint.strong(`${fixed(value, 2).padStart(6)} %`)} against ${against}`;
  return [
    row('Saving', saving.vs_baseline_pct, 'the car as it is'),
    row('', saving.vs_stop_start_pct, 'the car with stop-start'),
    ...wrap(balanceWords(saving.balance), WIDTH),
    ...searchWords(search).flatMap((words) => wrap(words, WIDTH)),
  ];
}

function ledgerLines({ ledger }: Summary, paint: Paint): string[] {
  const total = ledger.fuel.total_kJ;
  const line = (words: string, energy: number) => {
    const share = total > 0 ? (100 * energy) / total : null;
    return words.padEnd(23) + fixed(energy, 1).padStart(9) + shareText(share).padStart(6);
  };
  const node = (name: NodeName, title: string, values: Readonly<Record<string, number>>) => [
    paint.title(`${title.padEnd(23)}${'kJ'.padStart(9)}${'%fuel'.padStart(6)}`),
    ...Object.entries(LEDGER_LINES[name]).map(([key, { side, words }]) =>
      line(`${side.padEnd(4)}${words}`, values[key]!),
    ),
  ];
  const left = [
    ...node('fuel', 'Fuel and engine', ledger.fuel),
    line('    + battery debt', ledger.fuel.battery_debt_charge_kJ),
    line('    + charge balance', ledger.fuel.slope_correction_kJ),
    paint.strong(line('    fuel that counts', total)),
    ...node('electric', 'Electric', ledger.electric),
  ];
  const right = [
    ...node('wheel', 'Wheels', ledger.wheel),
    ' '.repeat(HALF),
    ...node('store', 'Store', ledger.store),
  ];
  const blank = ' '.repeat(HALF);
  return left.map((half, index) => half + GAP + (right[index] ?? blank));
}

/** A share that leaves a blank before it in a column of six, at the cost of its decimal. */
function shareText(share: number | null): string {
  const text = fixed(share, 1);
  return text.length < 6 ? text : fixed(share, 0);
}

function missedLines(summary: Summary, paint: Paint): string[] {
  const { braking_kJ: braking } = summary.ledger.wheel;
  const row = (words: string, energy: string, share: string, time: string) =>
    words.padEnd(HALF) + energy.padStart(10) + share.padStart(12) + time.padStart(16);
  const figures = (words: string, energy: number, seconds: string) => {
    const share = braking > 0 ? (100 * energy) / braking : null;
    return row(`  ${words}`, fixed(energy, 1), fixed(share, 1), seconds);
  };
  const missed = summary.missed_recovery_kJ;
  const bit = summary.counts.limit_s;
  const names = (Object.keys(missed) as (keyof ByLimit)[])
    .filter((name) => missed[name] > 0 || bit[name] > 0)
    .sort((a, b) => missed[b] - missed[a]);
  return [
    paint.title(row('Braking energy at the wheels', 'kJ', '% of it', 'limit bit, s')),
    figures('recovered by the store', summary.ledger.store.recovered_braking_kJ, ''),
    ...names.map((name) =>
      missed[name] > 0
        ? figures(`missed: ${LIMIT_WORDS[name]}`, missed[name], fixed(bit[name], 1))
        : row(`  not in braking: ${LIMIT_WORDS[name]}`, '', '', fixed(bit[name], 1)),
    ),
  ];
}

function countLines({ counts, shortfall }: Summary): string[] {
  const seconds = (value: number) => `${fixed(value, 1)} s`;
  return [
    `Engine: ${counts.engine_starts} starts, on for ${seconds(counts.engine_on_s)}, off while driving for ${seconds(counts.engine_off_driving_s)}.`,
    `Standstill ${seconds(counts.standstill_s)}. Shortfall ${fixed(shortfall.energy_kJ, 1)} kJ in ${seconds(shortfall.seconds)} (${fixed(shortfall.pct_of_tractive, 3)} % of the tractive energy).`,
  ];
}
