import { pasted, pasteProblems } from '../config/paste-block.ts';
import { BAR, GRAM, HOUR, LITRE, PERCENT, RPM } from '../config/units.ts';
import { type AffineEngine, MUCH_BEND, POOR_CELL, POOR_DEVIATION } from '../fit/engine.ts';
import { type ResidualMap, residualMap } from '../fit/engine-map.ts';
import type { EnginePoints } from '../fit/engine-points.ts';
import { CONFIDENCE } from '../fit/intervals.ts';
import { meanPressurePower } from '../physics/engine.ts';
import { type Fuel, litres } from '../physics/fuel.ts';
import { fixed, rounded } from '../summary/numbers.ts';
import { tool } from '../summary/tool.ts';
import { FIT_CAUTIONS } from './cautions.ts';
import {
  type EstimateSheet,
  estimateFigures,
  estimateSheet,
  FIT_SCHEMA_VERSION,
  significant,
} from './fit-figures.ts';
import type { FitText, Grid, ResidualRows } from './fit-text.ts';

/** Engine points as they were read and fitted. */
export interface FittedEngine {
  readonly file: string;
  /** [m³] */
  readonly displacement: number;
  readonly fuel: Fuel;
  /** Of the car file [rad/s] */
  readonly idleSpeed: number | undefined;
  readonly points: EnginePoints;
  readonly fit: AffineEngine;
}

/** The document that `fit engine --format json` prints. */
export interface EngineSheet {
  readonly schema_version: typeof FIT_SCHEMA_VERSION;
  readonly tool: string;
  readonly fit: 'engine';
  readonly file: string;
  readonly displacement_L: number;
  readonly fuel: string;
  readonly points: number;
  readonly points_without_value: number;
  readonly points_without_fuel: number;
  readonly efficiency: EstimateSheet;
  readonly p0_bar: EstimateSheet;
  readonly p1_bar_per_1000rpm: EstimateSheet;
  readonly correlation: {
    readonly efficiency_p0: number;
    readonly efficiency_p1: number;
    readonly p0_p1: number;
  };
  readonly interval: { readonly confidence_pct: number; readonly degrees_of_freedom: number };
  readonly residual_rms_pct: number;
  readonly residual_rms_with_bend_pct: number;
  readonly worst_cell_pct: number;
  /** Whether the affine form is poor: its rms above 3 %, or a cell of the map above 5 % */
  readonly poor: boolean;
  readonly idle_fuel_L_per_h: number | null;
  readonly residual_map: {
    readonly speed_rpm: readonly number[];
    readonly torque_Nm: readonly number[];
    /** Rows of torque, columns of speed; null where there is no point */
    readonly mean_residual_pct: readonly (readonly (number | null)[])[];
  };
  readonly friction: { readonly p0_bar: number; readonly p1_bar_per_1000rpm: number };
  readonly fuel_use: { readonly form: 'affine'; readonly efficiency: number };
  readonly warnings: readonly string[];
}

/** Pa s/rad for each bar per 1000 1/min. */
const PER_1000_RPM = BAR / (1000 * RPM);

/** The figures of an engine fit as data. */
export function engineSheet(fitted: FittedEngine): EngineSheet {
  const { fit, points, displacement, fuel, idleSpeed } = fitted;
  const map = residualMap(points.speed, points.torque, fit.residuals);
  const cells = map.means.flat().filter((mean) => mean !== undefined);
  const worst = cells.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a));
  const p0 = estimateSheet(fit.pressure0, BAR);
  const p1 = estimateSheet(fit.pressure1, PER_1000_RPM);
  const blocks = {
    friction: { p0_bar: pasted(p0.value), p1_bar_per_1000rpm: pasted(p1.value) },
    fuel_use: { form: 'affine', efficiency: pasted(fit.efficiency.value) },
  } as const;
  return {
    schema_version: FIT_SCHEMA_VERSION,
    tool: tool(),
    fit: 'engine',
    file: fitted.file,
    displacement_L: displacement / LITRE,
    fuel: fuel.name,
    points: points.speed.length,
    points_without_value: points.withoutValue,
    points_without_fuel: points.withoutFuel,
    efficiency: estimateSheet(fit.efficiency, 1),
    p0_bar: p0,
    p1_bar_per_1000rpm: p1,
    correlation: {
      efficiency_p0: fit.correlation[0]![1]!,
      efficiency_p1: fit.correlation[0]![2]!,
      p0_p1: fit.correlation[1]![2]!,
    },
    interval: { confidence_pct: 100 * CONFIDENCE, degrees_of_freedom: fit.degrees },
    residual_rms_pct: fit.deviation / PERCENT,
    residual_rms_with_bend_pct: fit.bentDeviation / PERCENT,
    worst_cell_pct: worst / PERCENT,
    poor: fit.deviation > POOR_DEVIATION || Math.abs(worst) > POOR_CELL,
    idle_fuel_L_per_h: idleSpeed === undefined ? null : idleFuel(fitted, idleSpeed),
    residual_map: {
      speed_rpm: map.speeds.map((speed) => speed / RPM),
      torque_Nm: map.torques,
      mean_residual_pct: map.means.map((row) =>
        row.map((mean) => (mean === undefined ? null : mean / PERCENT)),
      ),
    },
    ...blocks,
    warnings: warningsOf(fitted, map, blocks),
  };
}

/** [L/h] */
function idleFuel({ fit, displacement, fuel }: FittedEngine, speed: number): number {
  const pressure = fit.pressure0.value + fit.pressure1.value * speed;
  const power = meanPressurePower(pressure, displacement, speed) / fit.efficiency.value;
  return litres(fuel, power) * HOUR;
}

function warningsOf({ fit }: FittedEngine, map: ResidualMap, blocks: object): string[] {
  const bad = map.means.flatMap((row, r) =>
    row.flatMap((mean, c) =>
      mean !== undefined && Math.abs(mean) > POOR_CELL
        ? [
            `${fixed(map.speeds[c]! / RPM, 0)} 1/min and ${fixed(map.torques[r]!, 0)} N m (${fixed(mean / PERCENT, 1)} %)`,
          ]
        : [],
    ),
  );
  const isBent = fit.bentDeviation < (1 - MUCH_BEND) * fit.deviation;
  return [
    ...pasteProblems('engine', blocks),
    ...(fit.deviation > POOR_DEVIATION
      ? [
          `The affine form is poor: its residuals have ${fixed(fit.deviation / PERCENT, 1)} % rms, and ${POOR_DEVIATION / PERCENT} % is the limit. The points as a table ("form": "table") keep what it loses.`,
        ]
      : []),
    ...(bad.length > 0
      ? [
          `The affine form is poor around ${bad.slice(0, LISTED).join(', ')}${bad.length > LISTED ? ` and ${bad.length - LISTED} more` : ''}: more than ${POOR_CELL / PERCENT} % in the mean of a cell.`,
        ]
      : []),
    ...(isBent
      ? [
          `The fuel bends with the load: a term of torque squared takes the residuals from ${fixed(fit.deviation / PERCENT, 2)} to ${fixed(fit.bentDeviation / PERCENT, 2)} % rms. A table follows that, the affine form does not.`,
        ]
      : []),
  ];
}

/** So many cells of a map are named. */
const LISTED = 4;

/** What an engine fit has to say, for people. */
export function engineText(fitted: FittedEngine): FitText {
  const sheet = engineSheet(fitted);
  const { correlation } = sheet;
  const left = [
    ...(sheet.points_without_fuel > 0
      ? [`${sheet.points_without_fuel} points that burn nothing are left out.`]
      : []),
    ...(sheet.points_without_value > 0
      ? [`${sheet.points_without_value} points lack a value.`]
      : []),
  ];
  return {
    title: `Affine fuel use from ${sheet.points} engine points`,
    about: [`${significant(sheet.displacement_L)} L, ${sheet.fuel}; ${sheet.tool}`],
    sections: [
      {
        title: 'Fuel power = (brake power + friction power) / e',
        columns: ['', '± 95 %'],
        rows: [
          ['e, inner efficiency', ...estimateFigures(sheet.efficiency, 4)],
          ['p0, bar', ...estimateFigures(sheet.p0_bar, 4)],
          ['p1, bar per 1000 1/min', ...estimateFigures(sheet.p1_bar_per_1000rpm, 4)],
        ],
        notes: [
          `Correlation: e with p0 ${fixed(correlation.efficiency_p0, 3)}, e with p1 ${fixed(correlation.efficiency_p1, 3)}, p0 with p1 ${fixed(correlation.p0_p1, 3)}.`,
        ],
      },
      {
        title: 'Residuals, of the fuel',
        columns: ['%'],
        rows: [
          ['rms', fixed(sheet.residual_rms_pct, 2)],
          ['rms with a term of torque squared', fixed(sheet.residual_rms_with_bend_pct, 2)],
          ['worst cell of the map', fixed(sheet.worst_cell_pct, 2)],
        ],
        notes: [
          ...left,
          ...(sheet.idle_fuel_L_per_h === null
            ? []
            : [
                `At idle that is ${rounded(sheet.idle_fuel_L_per_h)} L/h, ${rounded(sheet.idle_fuel_L_per_h / sheet.displacement_L)} for each litre swept; 0.25 to 0.6 is usual.`,
              ]),
        ],
      },
    ],
    grids: [mapGrid(sheet)],
    paste: {
      title: 'For the car file, within `engine`',
      keys: { friction: sheet.friction, fuel_use: sheet.fuel_use },
    },
    warnings: sheet.warnings,
    cautions: FIT_CAUTIONS,
  };
}

function mapGrid({ residual_map: map }: EngineSheet): Grid {
  const rows = map.torque_Nm.map((torque, r) => [
    fixed(torque, 0),
    ...map.mean_residual_pct[r]!.map((mean) => (mean === null ? '·' : fixed(mean, 1))),
  ]);
  return {
    title: 'Measured above fitted fuel, mean of each cell, %',
    headers: ['N m \\ 1/min', ...map.speed_rpm.map((speed) => fixed(speed, 0))],
    rows: rows.reverse(),
    notes: [],
  };
}

/** A row a point: measured, fitted, and what is left. */
export function engineResiduals({ points, fit, fuel }: FittedEngine): ResidualRows {
  const flow = (power: number) => power / fuel.heatingValue / GRAM;
  return {
    headers: [
      'speed_rpm',
      'torque_Nm',
      'fuel_g_per_s',
      'fitted_fuel_g_per_s',
      'residual_g_per_s',
      'residual_pct',
    ],
    rows: Array.from(points.speed, (speed, i) => {
      const measured = flow(points.fuelPower[i]!);
      const model = flow(fit.fitted[i]!);
      return [
        speed / RPM,
        points.torque[i]!,
        measured,
        model,
        measured - model,
        fit.residuals[i]! / PERCENT,
      ];
    }),
  };
}
