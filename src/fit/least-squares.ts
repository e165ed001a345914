import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { EigenvalueDecomposition, inverse, Matrix } from 'ml-matrix';

/** What is to be fitted: observations, and a model of them with parameters. */
export interface FitTask {
  readonly observed: ArrayLike<number>;
  /** Values of the model at all observations, in their unit */
  readonly model: (parameters: readonly number[]) => ArrayLike<number>;
  /** Where the search starts */
  readonly start: readonly number[];
  /** Size of each parameter: a change of some hundredths of it is small, and may be seen */
  readonly scale: readonly number[];
  /**
   * Observations at which a stretch begins besides the first, rising: what hangs together in time is
   * looked for within stretches.
   */
  readonly breaks?: readonly number[];
  /** Step of the differences, in scaled parameters; finer by itself, for smooth models */
  readonly step?: number;
  /**
   * Whether the model has cliffs, at which an event comes to pass or not: a difference across one would
   * be taken for a steep slope, and an interval for a narrow one.
   */
  readonly hasCliffs?: boolean;
  /** A round that moves no scaled parameter by more has converged; finer by itself likewise */
  readonly settled?: number;
}

/** A fit as it came out. */
export interface Fit {
  readonly parameters: readonly number[];
  /** Covariance of the parameters, for residuals that do not hang together */
  readonly covariance: readonly (readonly number[])[];
  /** Observed less fitted */
  readonly residuals: Float64Array;
  /** Standard deviation of the residuals, with the degrees of freedom */
  readonly deviation: number;
  /** Observations less parameters */
  readonly degrees: number;
  /** Correlation of each residual with the next one */
  readonly lagCorrelation: number;
  /**
   * Factor on the covariance for residuals that hang together: (1 + r) / (1 − r) with r the lag
   * correlation, as for a first-order process; 1 where r is no more than chance.
   */
  readonly inflation: number;
}

/** The data do not tell the parameters apart, or the search came to no end. */
export class NoFit extends Error {
  constructor(readonly why: 'undetermined' | 'no-end') {
    super(why);
    this.name = 'NoFit';
  }
}

/** Step of the central differences, in scaled parameters: their error is its square. */
const STEP = 1e-4;
/** How much smaller the smaller step at a cliff is. */
const FINER = 8;
/** The library has no test of convergence of its own: it is asked for a few steps at a time. */
const STEPS_AT_ONCE = 4;
const MOST_ROUNDS = 30;
/** A round that moves no scaled parameter by more has converged. */
const SETTLED = 1e-8;
/** Smallest eigenvalue of the normalised normal matrix with which it can still be inverted. */
const LEAST_EIGENVALUE = 1e-11;

/**
 * Least squares by Levenberg and Marquardt, with the covariance s² (JᵀJ)⁻¹ at the end.
 * @param task observations and model
 * @returns the fit
 * @throws NoFit
 */
export function leastSquares(task: FitTask): Fit {
  const { observed, scale } = task;
  if (observed.length <= scale.length) throw new NoFit('undetermined');
  const parameters = search(task).map((value, k) => value * scale[k]!);
  const fitted = task.model(parameters);
  const residuals = Float64Array.from(observed, (value, i) => value - fitted[i]!);
  const degrees = observed.length - parameters.length;
  const variance = residuals.reduce((sum, value) => sum + value * value, 0) / degrees;
  const covariance = invertNormal(derivatives(task, parameters), scale).map((row) =>
    row.map((value) => value * variance),
  );
  const lagCorrelation = lagOne(residuals, task.breaks ?? []);
  const isChance = lagCorrelation <= 2 / Math.sqrt(observed.length);
  return {
    parameters,
    covariance,
    residuals,
    deviation: Math.sqrt(variance),
    degrees,
    lagCorrelation,
    inflation: isChance ? 1 : (1 + lagCorrelation) / (1 - lagCorrelation),
  };
}

/** The scaled parameters of least squares. */
function search(task: FitTask): number[] {
  const { observed, model, start, scale, settled = SETTLED } = task;
  const data = {
    x: Array.from(observed, (_, i) => i),
    y: observed as ArrayLike<number> & number[],
  };
  const inUnits = (scaled: readonly number[]) => scaled.map((value, k) => value * scale[k]!);
  const byIndex = (scaled: number[]) => {
    const values = model(inUnits(scaled));
    return (i: number) => values[i]!;
  };
  const slopes = (scaled: number[]) => {
    const columns = derivatives(task, inUnits(scaled));
    return (i: number) => columns.map((column) => column[i]!);
  };
  let now = start.map((value, k) => value / scale[k]!);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { parameterValues } = levenbergMarquardt(data, byIndex, {
      initialValues: now,
      maxIterations: STEPS_AT_ONCE,
      jacobianFunction: slopes,
      errorTolerance: 0,
    });
    const moved = Math.max(...parameterValues.map((value, k) => Math.abs(value - now[k]!)));
    now = parameterValues;
    if (!now.every(Number.isFinite)) break;
    if (moved < settled) return now;
  }
  throw new NoFit('no-end');
}

/** Derivatives of the model by each scaled parameter: a column a parameter. */
function derivatives(task: FitTask, parameters: readonly number[]): Float64Array[] {
  const { model, scale, step = STEP, hasCliffs = false } = task;
  const moved = (k: number, by: number) =>
    model(parameters.map((value, j) => (j === k ? value + by * scale[k]! : value)));
  if (!hasCliffs) {
    return scale.map((_, k) => quotient(moved(k, step), moved(k, -step), 2 * step));
  }
  const here = model(parameters);
  return scale.map((_, k) =>
    // A step to one side, or a smaller one, may stay this side of the cliff: the calmest is taken.
    [step, -step, step / FINER, -step / FINER]
      .map((by) => quotient(moved(k, by), here, by))
      .reduce((a, b) => (squares(b) < squares(a) ? b : a)),
  );
}

function quotient(above: ArrayLike<number>, below: ArrayLike<number>, by: number): Float64Array {
  return Float64Array.from(above, (value, i) => (value - below[i]!) / by);
}

function squares(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value * value, 0);
}

/** (JᵀJ)⁻¹ in the parameters' own units. */
function invertNormal(columns: Float64Array[], scale: readonly number[]): number[][] {
  const derivatives = new Matrix(columns);
  const normal = derivatives.mmul(derivatives.transpose());
  const size = Array.from(scale, (_, k) => Math.sqrt(normal.get(k, k)));
  if (size.some((value) => !(value > 0))) throw new NoFit('undetermined');
  const normalised = Matrix.zeros(scale.length, scale.length);
  for (let i = 0; i < scale.length; i++) {
    for (let j = 0; j < scale.length; j++) {
      normalised.set(i, j, normal.get(i, j) / (size[i]! * size[j]!));
    }
  }
  const { realEigenvalues } = new EigenvalueDecomposition(normalised, { assumeSymmetric: true });
  if (Math.min(...realEigenvalues) < LEAST_EIGENVALUE) throw new NoFit('undetermined');
  return inverse(normalised)
    .to2DArray()
    .map((row, i) =>
      row.map((value, j) => (value * scale[i]! * scale[j]!) / (size[i]! * size[j]!)),
    );
}

/** Correlation of each residual with the next one of its stretch. */
function lagOne(residuals: Float64Array, breaks: readonly number[]): number {
  const begins = new Set(breaks);
  let products = 0;
  let squares = 0;
  for (let i = 1; i < residuals.length; i++) {
    if (begins.has(i)) continue;
    products += residuals[i]! * residuals[i - 1]!;
    squares += 0.5 * (residuals[i]! ** 2 + residuals[i - 1]! ** 2);
  }
  return squares > 0 ? products / squares : 0;
}
