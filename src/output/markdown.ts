import { LEDGER_LINES, type NodeName } from '../summary/ledger-lines.ts';
import { fixed } from '../summary/numbers.ts';
import type { ByLimit, Summary } from '../summary/summary.ts';
import { balanceWords } from './balance-words.ts';
import { CAUTIONS } from './cautions.ts';
import { LIMIT_WORDS } from './limit-words.ts';
import { searchWords } from './search-words.ts';
import { escaped } from './section.ts';
import { waterfallMarkdown } from './waterfall-markdown.ts';

const NODE_TITLES: { readonly [Name in NodeName]: string } = {
  fuel: 'Fuel and engine',
  wheel: 'Wheels',
  store: 'Store',
  electric: 'Electric',
};

/**
 * A summary as Markdown, for a pull request or a report: fuel and saving, ledger, missed recovery,
 * counts, warnings and cautions.
 */
export function summaryMarkdown(summary: Summary): string {
  const { case: names, cycle } = summary;
  const title = [names.car, names.store, names.strategy, names.cycle].map(escaped).join(' · ');
  const sections = [
    `## ${title}`,
    `${fixed(cycle.distance_km, 2)} km in ${fixed(cycle.duration_s, 0)} s, mean ${fixed(cycle.mean_speed_kmh, 1)} km/h, top ${fixed(cycle.max_speed_kmh, 1)} km/h; ${escaped(summary.tool)}, case \`${names.hash}\`.`,
    fuelTable(summary),
    balanceWords(summary.saving.balance),
    ...searchWords(summary.search),
    ...waterfallMarkdown(summary),
    '### Ledger of the balanced lap',
    ledgerTable(summary),
    '### Braking energy at the wheels',
    missedTable(summary),
    '### Counts',
    countTable(summary),
    ...(summary.warnings.length > 0 ? ['### Warnings', list(summary.warnings)] : []),
    '### Cautions',
    list(CAUTIONS),
  ];
  return `${sections.join('\n\n')}\n`;
}

function fuelTable({ fuel, saving }: Summary): string {
  return table(
    ['', 'L/100 km', 'g CO2/km', 'saving with the store, %'],
    [
      [
        'car as it is',
        fixed(fuel.baseline_L_per_100km, 3),
        fixed(fuel.baseline_co2_g_per_km, 2),
        fixed(saving.vs_baseline_pct, 2),
      ],
      [
        'with stop-start',
        fixed(fuel.stop_start_L_per_100km, 3),
        fixed(fuel.stop_start_co2_g_per_km, 2),
        fixed(saving.vs_stop_start_pct, 2),
      ],
      [
        '**with the store**',
        fixed(fuel.store_L_per_100km, 3),
        fixed(fuel.store_co2_g_per_km, 2),
        '',
      ],
    ],
  );
}

function ledgerTable({ ledger }: Summary): string {
  const total = ledger.fuel.total_kJ;
  const figures = (energy: number) => [
    fixed(energy, 1),
    fixed(total > 0 ? (100 * energy) / total : null, 1),
  ];
  const node = (name: NodeName, values: Readonly<Record<string, number>>) =>
    Object.entries(LEDGER_LINES[name]).map(([key, { side, words }]) => [
      NODE_TITLES[name],
      side,
      words,
      ...figures(values[key]!),
    ]);
  const charged = [
    ['Fuel that counts', 'in', 'fuel burned', ...figures(ledger.fuel.burned_kJ)],
    ['Fuel that counts', 'in', 'battery debt', ...figures(ledger.fuel.battery_debt_charge_kJ)],
    ['Fuel that counts', 'in', 'charge balance', ...figures(ledger.fuel.slope_correction_kJ)],
    ['Fuel that counts', 'out', '**total**', ...figures(total)],
  ];
  return table(
    ['node', 'side', 'line', 'kJ', '% of fuel'],
    [
      ...node('fuel', ledger.fuel),
      ...charged,
      ...node('wheel', ledger.wheel),
      ...node('store', ledger.store),
      ...node('electric', ledger.electric),
    ],
  );
}

function missedTable(summary: Summary): string {
  const { braking_kJ: braking } = summary.ledger.wheel;
  const figures = (energy: number) => [
    fixed(energy, 1),
    fixed(braking > 0 ? (100 * energy) / braking : null, 1),
  ];
  const missed = summary.missed_recovery_kJ;
  const bit = summary.counts.limit_s;
  const names = (Object.keys(missed) as (keyof ByLimit)[]).filter(
    (name) => missed[name] > 0 || bit[name] > 0,
  );
  return table(
    ['', 'kJ', '% of braking', 'limit bit, s'],
    [
      ['recovered by the store', ...figures(summary.ledger.store.recovered_braking_kJ), ''],
      ...names.map((name) => [
        `missed: ${LIMIT_WORDS[name]}`,
        ...figures(missed[name]),
        fixed(bit[name], 1),
      ]),
    ],
  );
}

function countTable({ counts, shortfall }: Summary): string {
  return table(
    ['', 'value'],
    [
      ['engine starts', String(counts.engine_starts)],
      ['engine on, s', fixed(counts.engine_on_s, 1)],
      ['engine off while driving, s', fixed(counts.engine_off_driving_s, 1)],
      ['standstill, s', fixed(counts.standstill_s, 1)],
      ['shortfall, kJ', fixed(shortfall.energy_kJ, 1)],
      ['shortfall, % of tractive energy', fixed(shortfall.pct_of_tractive, 3)],
    ],
  );
}

function table(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  const rule = header.map((name) => (isFigure(name) ? '---:' : '---'));
  return [line(header), line(rule), ...rows.map(line)].join('\n');
}

/** Whether a column holds numbers, which stand to the right. */
function isFigure(name: string): boolean {
  return !['', 'node', 'side', 'line'].includes(name);
}

function list(sentences: readonly string[]): string {
  return sentences.map((sentence) => `- ${escaped(sentence)}`).join('\n');
}
