import { pasted, pasteProblems } from '../config/paste-block.ts';
import { RPM } from '../config/units.ts';
import { CONFIDENCE } from '../fit/intervals.ts';
import type { LawFault, LawFit, LawName, Spindown } from '../fit/spindown.ts';
import type { GasReading } from '../fit/spindown-gas.ts';
import type { NamedSpin } from '../fit/spindown-run.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { tool } from '../summary/tool.ts';
import { SPINDOWN_CAUTIONS } from './cautions.ts';
import {
  type EstimateSheet,
  estimateFigures,
  estimateSheet,
  FIT_SCHEMA_VERSION,
  significant,
} from './fit-figures.ts';
import type { FitText, ResidualRows } from './fit-text.ts';
import type { Section } from './section.ts';

/** A spin-down as it was read and fitted. */
export interface FittedSpindown {
  readonly file: string;
  /** [kg m²] */
  readonly inertia: number;
  readonly run: NamedSpin;
  readonly fit: Spindown;
  /** What the linear part would say of the air around the rotor, where its shape is known */
  readonly gas: GasReading | undefined;
}

/** The document that `fit spindown --format json` prints. */
export interface SpindownSheet {
  readonly schema_version: typeof FIT_SCHEMA_VERSION;
  readonly tool: string;
  readonly fit: 'spindown';
  readonly file: string;
  readonly inertia_kg_m2: number;
  readonly samples: number;
  readonly samples_without_value: number;
  readonly samples_outside_range: number;
  readonly law: LawName;
  readonly c0_Nm: EstimateSheet | null;
  readonly c1_Nm_s_per_rad: EstimateSheet | null;
  readonly c2_Nm_s2_per_rad2: EstimateSheet | null;
  readonly correlation: number | null;
  readonly interval: { readonly confidence_pct: number; readonly degrees_of_freedom: number };
  readonly start_speed_rpm: EstimateSheet;
  readonly torque_at_start_Nm: EstimateSheet;
  readonly half_energy_s: EstimateSheet;
  /** Null where the law never leads there */
  readonly half_speed_s: EstimateSheet | null;
  readonly residual_rpm: number;
  readonly lag_correlation: number;
  readonly laws: readonly {
    readonly law: LawName;
    /** Null where the law is out of the question */
    readonly bic_above_best: number | null;
    readonly residual_rpm: number | null;
    readonly fault: LawFault | null;
  }[];
  readonly free_molecular: { readonly pressure_Pa: EstimateSheet; readonly knudsen: number } | null;
  readonly drag: {
    readonly form: 'coefficients';
    readonly c0_Nm: number;
    readonly c1_Nm_s_per_rad: number;
    readonly c2_Nm_s2_per_rad2: number;
  };
  readonly warnings: readonly string[];
}

/** The figures of a spin-down as data. */
export function spindownSheet(fitted: FittedSpindown): SpindownSheet {
  const { fit, run, gas } = fitted;
  const { c0, c1, c2 } = fit.coefficients;
  const drag = {
    form: 'coefficients',
    c0_Nm: pasted(c0?.value ?? 0),
    c1_Nm_s_per_rad: pasted(c1?.value ?? 0),
    c2_Nm_s2_per_rad2: pasted(c2?.value ?? 0),
  } as const;
  return {
    schema_version: FIT_SCHEMA_VERSION,
    tool: tool(),
    fit: 'spindown',
    file: fitted.file,
    inertia_kg_m2: fitted.inertia,
    samples: run.time.length,
    samples_without_value: run.withoutValue,
    samples_outside_range: run.outside,
    law: fit.law,
    c0_Nm: c0 === undefined ? null : estimateSheet(c0, 1),
    c1_Nm_s_per_rad: c1 === undefined ? null : estimateSheet(c1, 1),
    c2_Nm_s2_per_rad2: c2 === undefined ? null : estimateSheet(c2, 1),
    correlation: fit.correlation ?? null,
    interval: { confidence_pct: 100 * CONFIDENCE, degrees_of_freedom: fit.degrees },
    start_speed_rpm: estimateSheet(fit.start, RPM),
    torque_at_start_Nm: estimateSheet(fit.torqueAtStart, 1),
    half_energy_s: estimateSheet(fit.halfEnergy, 1),
    half_speed_s: Number.isFinite(fit.halfSpeed.value) ? estimateSheet(fit.halfSpeed, 1) : null,
    residual_rpm: fit.deviation / RPM,
    lag_correlation: fit.lagCorrelation,
    laws: fit.laws.map((law) => ({
      law: law.law,
      bic_above_best: law.fault === undefined ? law.criterion : null,
      residual_rpm: law.fault === undefined ? law.deviation / RPM : null,
      fault: law.fault ?? null,
    })),
    free_molecular:
      gas === undefined
        ? null
        : { pressure_Pa: estimateSheet(gas.pressure, 1), knudsen: gas.knudsen },
    drag,
    warnings: warningsOf(fitted, drag),
  };
}

/** Residuals that hang together by more than this are no noise of the sensor. */
const MUCH_LAG = 0.3;
/** A law that is worse by less than this is nearly as likely (Kass & Raftery; from memory). */
const CLOSE = 6;

function warningsOf({ fit }: FittedSpindown, drag: object): string[] {
  const rivals = fit.laws.filter(
    (law) => law.law !== fit.law && law.fault === undefined && law.criterion < CLOSE,
  );
  return [
    ...pasteProblems('rotor', { drag }),
    ...(rivals.length > 0
      ? [
          `Nearly as likely as this law: ${rivals.map(({ law }) => law).join(', ')}. A longer log, down to lower speeds, would tell them apart.`,
        ]
      : []),
    ...(fit.lagCorrelation > MUCH_LAG
      ? [
          `The residuals hang together (correlation ${fixed(fit.lagCorrelation, 2)} from sample to sample): none of these laws is quite the rotor's, or its drag changed while it ran, as with warming oil or rising pressure. The intervals are widened for it.`,
        ]
      : []),
  ];
}

/** What a spin-down has to say, for people. */
export function spindownText(fitted: FittedSpindown): FitText {
  const sheet = spindownSheet(fitted);
  return {
    title: `Rotor drag from a spin-down: ${sheet.law}`,
    about: [
      `${sheet.samples} samples from ${fixed(sheet.start_speed_rpm.value, 0)} 1/min, inertia ${significant(sheet.inertia_kg_m2)} kg m²; ${sheet.tool}`,
    ],
    sections: [dragSection(sheet), lifeSection(fitted, sheet), lawSection(fitted.fit.laws)],
    paste: { title: 'For the store file, within `rotor`', keys: { drag: sheet.drag } },
    warnings: sheet.warnings,
    cautions: SPINDOWN_CAUTIONS,
  };
}

function dragSection(sheet: SpindownSheet): Section {
  const row = (words: string, estimate: EstimateSheet | null): Section['rows'] =>
    estimate === null ? [] : [[words, significant(estimate.value), significant(estimate.ci95, 2)]];
  const gas = sheet.free_molecular;
  return {
    title: 'Drag torque = c0 + c1 ω + c2 ω²',
    columns: ['', '± 95 %'],
    rows: [
      ...row('c0, N m', sheet.c0_Nm),
      ...row('c1, N m s/rad', sheet.c1_Nm_s_per_rad),
      ...row('c2, N m s²/rad²', sheet.c2_Nm_s2_per_rad2),
      ...row('torque at the start, N m', sheet.torque_at_start_Nm),
      ...(gas === null ? [] : row('pressure if c1 were all windage, Pa', gas.pressure_Pa)),
    ],
    notes: [
      `Intervals from the residuals, with ${sheet.interval.degrees_of_freedom} degrees of freedom${sheet.correlation === null ? '' : `; correlation of the two ${fixed(sheet.correlation, 3)}`}. They hold if this law does, and know nothing of an error of the inertia, which goes into the coefficients in full.`,
      ...(sheet.c1_Nm_s_per_rad === null
        ? []
        : [
            'A torque that rises with the speed is viscous oil or windage of free molecules: a log at one pressure cannot tell which.',
          ]),
      ...(gas === null
        ? []
        : [
            `That pressure makes a Knudsen number of ${rounded(gas.knudsen)} in the gap: ${gas.knudsen > 10 ? 'free molecules, as it takes' : 'no free molecules, so that c1 is not of this kind alone'}.`,
          ]),
    ],
  };
}

function lifeSection({ run }: FittedSpindown, sheet: SpindownSheet): Section {
  const length = run.time.at(-1)!;
  const row = (words: string, estimate: EstimateSheet | null): Section['rows'][number] =>
    estimate === null ? [words, 'never', ''] : [words, ...estimateFigures(estimate, 2)];
  const half = sheet.half_energy_s.value;
  return {
    title: 'From the start of the log',
    columns: ['s', '± 95 %'],
    rows: [
      row('half of the energy is left after', sheet.half_energy_s),
      row('half of the speed is left after', sheet.half_speed_s),
    ],
    notes: half > length ? [`The log ends after ${fixed(length, 0)} s: this is beyond it.`] : [],
  };
}

const FAULTS: Readonly<Record<LawFault, string>> = {
  negative: 'negative',
  undetermined: 'open',
};

function lawSection(laws: readonly LawFit[]): Section {
  const out = laws.filter(({ fault }) => fault !== undefined).length;
  return {
    title: 'Laws',
    columns: ['BIC', 'rms, 1/min'],
    rows: laws.map((law) => [
      law.law,
      law.fault === undefined ? fixed(law.criterion, 1) : FAULTS[law.fault],
      law.fault === undefined ? fixed(law.deviation / RPM, 2) : '–',
    ]),
    notes: [
      'Bayesian information criterion above that of the best law: 6 is strong evidence against a law, 10 very strong.',
      ...(out > 0 ? ['A law is out of the question where a coefficient comes out negative.'] : []),
    ],
  };
}

/** A row a sample: measured, fitted, and what is left. */
export function spindownResiduals({ run, fit }: FittedSpindown): ResidualRows {
  return {
    headers: ['time_s', 'rotor_speed_rpm', 'fitted_rotor_speed_rpm', 'residual_rpm'],
    rows: Array.from(run.time, (time, i) => {
      const speed = run.speed[i]! / RPM;
      const model = fit.fitted[i]! / RPM;
      return [run.start + time, speed, model, speed - model];
    }),
  };
}
