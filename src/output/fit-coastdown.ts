import { KMH } from '../config/units.ts';
import type { Coastdown } from '../fit/coastdown.ts';
import type { PairedRuns } from '../fit/coastdown-runs.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { COASTDOWN_CAUTIONS } from './cautions.ts';
import {
  type CoastdownSheet,
  coastdownSheet,
  type FittedCoastdown,
  type ForceSheet,
  type PairSheet,
} from './fit-coastdown-sheet.ts';
import { estimateFigures } from './fit-figures.ts';
import type { FitText, ResidualRows } from './fit-text.ts';
import type { Section } from './section.ts';

/** What a coastdown has to say, for people. */
export function coastdownText(fitted: FittedCoastdown): FitText {
  const sheet = coastdownSheet(fitted);
  const { fit } = fitted;
  return {
    title: `Road load from ${fit.pairs.length} ${fit.pairs.length === 1 ? 'pair' : 'pairs'} of coastdown runs`,
    about: [
      `${sheet.mass_kg} kg and ${rounded(sheet.rotating_mass_kg)} kg of rotating parts; ${sheet.tool}`,
    ],
    sections: [
      forceSection('As measured, on the flat and in calm air', sheet.measured, sheet),
      ...(sheet.reference === null ? [] : [referenceSection(sheet.reference)]),
      ...pairSections(sheet),
    ],
    paste: { title: 'For the car file', keys: { road_load: sheet.road_load } },
    warnings: sheet.warnings,
    cautions: COASTDOWN_CAUTIONS,
  };
}

const FORCE_WORDS = {
  f0_N: ['F0, N', 2],
  f1_N_per_kmh: ['F1, N/(km/h)', 4],
  f2_N_per_kmh2: ['F2, N/(km/h)²', 6],
} as const;

function forceSection(title: string, force: ForceSheet, sheet: CoastdownSheet): Section {
  const { correlation, interval, reference } = sheet;
  const basis =
    interval.basis === 'pairs'
      ? `from the scatter of ${sheet.pairs.length} pairs`
      : 'from the residuals of the only pair';
  return {
    title,
    columns: ['', '± 95 %'],
    rows: [
      ...forceRows(force),
      ...sheet.force_at.map(
        ({ speed_kmh: speed, force_N }) =>
          [`force at ${speed} km/h, N`, ...estimateFigures(force_N, 2)] as const,
      ),
    ],
    notes: [
      `Intervals ${basis}, with ${interval.degrees_of_freedom} degrees of freedom. Correlation: F0 with F1 ${fixed(correlation.f0_f1, 3)}, F0 with F2 ${fixed(correlation.f0_f2, 3)}, F1 with F2 ${fixed(correlation.f1_f2, 3)}: the three belong together, and the force that they make is known better than each of them.`,
      ...(reference === null
        ? [
            'Not corrected to a reference state: that needs --temperature and --pressure of the test.',
          ]
        : []),
    ],
  };
}

function forceRows(force: ForceSheet): Section['rows'] {
  return (Object.keys(FORCE_WORDS) as (keyof ForceSheet)[]).map((key) => {
    const [words, decimals] = FORCE_WORDS[key];
    return [words, ...estimateFigures(force[key], decimals)];
  });
}

function referenceSection(reference: NonNullable<CoastdownSheet['reference']>): Section {
  const { name, rolling_factor: rolling, air_factor: air } = reference;
  return {
    title: `At the reference state (${name === 'us' ? '20 °C, 98.21 kPa' : '20 °C, 100 kPa'})`,
    columns: ['', '± 95 %'],
    rows: forceRows(reference.corrected),
    notes: [
      `F0 and F1 times ${fixed(rolling, 4)} for the temperature of the tyres, F2 times ${fixed(air, 4)} for the density of the air.`,
    ],
  };
}

function pairSections({
  pairs,
  samples_outside_range: outside,
  samples_without_value: missing,
}: CoastdownSheet): Section[] {
  const names = ({ there, back }: PairSheet) => shortened(`${there} and ${back}`);
  return [
    {
      title: 'Each pair by itself',
      columns: ['F0', 'F1', 'F2'],
      rows: pairs.map((pair) => [
        names(pair),
        fixed(pair.f0_N.value, 2),
        fixed(pair.f1_N_per_kmh.value, 4),
        fixed(pair.f2_N_per_kmh2.value, 6),
      ]),
    },
    {
      title: 'Wind against the first run, rise of its road',
      columns: ['km/h', '%', 'noise, km/h'],
      rows: pairs.map((pair) => [
        names(pair),
        fixed(pair.wind_kmh.value, 2),
        fixed(pair.slope_pct.value, 3),
        fixed(pair.residual_kmh, 3),
      ]),
      notes: [
        ...(outside > 0 ? [`${outside} samples lie outside of the range of speeds.`] : []),
        ...(missing > 0 ? [`${missing} samples lack a time or a speed.`] : []),
      ],
    },
  ];
}

/** Longest words of a row that leave the figures where they belong. */
const LONGEST = 40;

function shortened(text: string): string {
  return text.length > LONGEST ? `${text.slice(0, LONGEST - 1)}…` : text;
}

/** A row a sample of every pair: measured, fitted, and what is left. */
export function coastdownResiduals({ runs, fit }: FittedCoastdown): ResidualRows {
  return {
    headers: [
      'pair',
      'run',
      'direction',
      'time_s',
      'speed_kmh',
      'fitted_speed_kmh',
      'residual_kmh',
    ],
    rows: residualRows(runs, fit),
  };
}

function* residualRows({ pairs }: PairedRuns, fit: Coastdown) {
  for (const [k, pair] of pairs.entries()) {
    for (const way of ['there', 'back'] as const) {
      const run = pair[way];
      const fitted = fit.pairs[k]![way];
      for (let i = 0; i < run.time.length; i++) {
        const speed = run.speed[i]! / KMH;
        const model = fitted[i]! / KMH;
        yield [
          k + 1,
          run.name,
          run.direction,
          run.start + run.time[i]!,
          speed,
          model,
          speed - model,
        ];
      }
    }
  }
}
