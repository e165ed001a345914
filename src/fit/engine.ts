import { meanPressurePower } from '../physics/engine.ts';
import type { EnginePoints } from './engine-points.ts';
import { correlations, type Estimate, estimate } from './intervals.ts';
import { leastSquares } from './least-squares.ts';

/** The affine form of an engine: fuel power = (brake power + friction power) / efficiency. */
export interface AffineEngine {
  readonly efficiency: Estimate;
  /** Friction mean effective pressure at standstill [Pa] */
  readonly pressure0: Estimate;
  /** Its rise with the speed [Pa s/rad] */
  readonly pressure1: Estimate;
  /** Correlation of efficiency, p0 and p1 */
  readonly correlation: readonly (readonly number[])[];
  /** Root mean square of the relative residuals */
  readonly deviation: number;
  /** The same with a fourth term, fuel power bending with torque squared */
  readonly bentDeviation: number;
  readonly degrees: number;
  /** Fitted fuel power of each point [W] */
  readonly fitted: Float64Array;
  /** (Measured − fitted) / fitted */
  readonly residuals: Float64Array;
}

/** Root mean square of the relative residuals above which the affine form is poor. */
export const POOR_DEVIATION = 0.03;
/** Mean relative residual of a cell of the map above which the form is poor there. */
export const POOR_CELL = 0.05;
/** A bend in torque that takes so much of the residuals away is no chance. */
export const MUCH_BEND = 1 / 3;

const USUAL = { efficiency: 0.4, pressure0: 1.5e5, pressure1: 200 } as const;
/** Share by which the work of a torque costs more for each N m of it [1/(N m)]. */
const USUAL_BEND = 1e-3;

/**
 * Fits the affine form to measured points by least squares of relative residuals: flow meters are
 * wrong by a share of what they show, and a per cent counts alike at any load. The weights are those
 * of the fit before, so that points with a low reading do not draw it down.
 *
 * @param points with fuel
 * @param displacement [m³]
 * @throws NoFit where the points do not tell the coefficients apart
 */
export function fitEngine(points: EnginePoints, displacement: number): AffineEngine {
  const start = [USUAL.efficiency, USUAL.pressure0, USUAL.pressure1];
  const affine = weighted(points, displacement, start, start);
  const bent = weighted(points, displacement, [...start, 0], [...start, USUAL_BEND]);
  const { fit, fitted } = affine;
  const of = (k: number) => estimate(fit.parameters[k]!, fit.covariance[k]![k]!, fit.degrees);
  return {
    efficiency: of(0),
    pressure0: of(1),
    pressure1: of(2),
    correlation: correlations(fit.covariance),
    deviation: fit.deviation,
    bentDeviation: bent.fit.deviation,
    degrees: fit.degrees,
    fitted,
    residuals: points.fuelPower.map((power, i) => power / fitted[i]! - 1),
  };
}

function weighted(
  { speed, torque, fuelPower }: EnginePoints,
  displacement: number,
  start: readonly number[],
  scale: readonly number[],
) {
  const model = ([efficiency, pressure0, pressure1, bend = 0]: readonly number[]) =>
    speed.map((w, i) => {
      const friction = meanPressurePower(pressure0! + pressure1! * w, displacement, w);
      return (w * torque[i]! * (1 + bend * torque[i]!) + friction) / efficiency!;
    });
  const once = (weights: Float64Array, from: readonly number[]) =>
    leastSquares({
      observed: fuelPower.map((power, i) => power / weights[i]!),
      model: (p) => model(p).map((power, i) => power / weights[i]!),
      start: from,
      scale,
    });
  const first = once(fuelPower, start);
  const fit = once(model(first.parameters), first.parameters);
  return { fit, fitted: model(fit.parameters) };
}
