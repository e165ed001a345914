import { correlations, type Estimate, estimate } from './intervals.ts';
import { type Fit, leastSquares, NoFit } from './least-squares.ts';
import { type Slowing, speedAfter, timeBetween } from './slowing.ts';

/** A rotor that runs down by itself: times from the first sample [s] and speeds [rad/s]. */
export interface SpinRun {
  readonly time: ArrayLike<number>;
  readonly speed: ArrayLike<number>;
}

/** Powers of the rotor speed that a drag torque may be made of. */
const POWERS = { c0: 0, c1: 1, c2: 2 } as const;

/** A coefficient of the torque c0 + c1 ω + c2 ω²: [N m], [N m s/rad], [N m s²/rad²]. */
export type Coefficient = keyof typeof POWERS;

/**
 * Laws of the drag torque: one term or two. Bearings and seals have a constant torque; viscous oil
 * and, in thin air, free molecules one that rises with the speed (the log of one pressure cannot tell
 * these two apart); turbulent windage nearly one with its square. Three terms at once are not told
 * apart by a spin-down.
 */
export const LAWS = {
  constant: ['c0'],
  linear: ['c1'],
  quadratic: ['c2'],
  'constant and linear': ['c0', 'c1'],
  'constant and quadratic': ['c0', 'c2'],
  'linear and quadratic': ['c1', 'c2'],
} as const satisfies Readonly<Record<string, readonly Coefficient[]>>;

/** Name of a law. */
export type LawName = keyof typeof LAWS;

/** Why a law is out of the question. */
export type LawFault = 'negative' | 'undetermined';

/** A law held against the log. */
export type LawFit = {
  readonly law: LawName;
  /** Standard deviation of its residuals [rad/s] */
  readonly deviation: number;
} & (
  | {
      readonly fault: undefined;
      /** Bayesian information criterion, less that of the best law; 0 for the best */
      readonly criterion: number;
    }
  | { readonly fault: LawFault }
);

/** Drag of a rotor from a spin-down. */
export interface Spindown {
  readonly law: LawName;
  /** The coefficients that the law has */
  readonly coefficients: Readonly<Partial<Record<Coefficient, Estimate>>>;
  /** Correlation of its two coefficients; undefined where there is one */
  readonly correlation: number | undefined;
  /** Speed at the first sample, as fitted [rad/s] */
  readonly start: Estimate;
  /** Time in which the speed falls to half of that at the start [s] */
  readonly halfSpeed: Estimate;
  /** Time in which the stored energy falls to half [s] */
  readonly halfEnergy: Estimate;
  /** Drag torque at the start [N m] */
  readonly torqueAtStart: Estimate;
  /** All laws, in the order of `LAWS` */
  readonly laws: readonly LawFit[];
  readonly fitted: Float64Array;
  readonly deviation: number;
  readonly lagCorrelation: number;
  readonly degrees: number;
}

interface Candidate {
  readonly law: LawName;
  readonly fit: Fit;
  readonly criterion: number;
}

/**
 * Fits laws of drag to a spin-down and takes the one that explains it best: each by least squares of
 * the measured speeds against the exact solution of J dω/dt = −T(ω). A law with a negative coefficient
 * is out of the question. Of the others that with the least Bayesian (Schwarz's) information criterion
 * n ln(RSS/n) + k ln n is taken, which charges each further coefficient so that a true simple law is
 * not passed over in a long log.
 *
 * @param run of a rotor without load
 * @param inertia [kg m²]
 * @throws NoFit where no law comes to an end
 */
export function fitSpindown(run: SpinRun, inertia: number): Spindown {
  const candidates: Candidate[] = [];
  const faults = new Map<LawName, LawFault>();
  for (const law of Object.keys(LAWS) as LawName[]) {
    try {
      const fit = fitLaw(law, run, inertia);
      if (fit.parameters.some((value) => value < 0)) faults.set(law, 'negative');
      else candidates.push({ law, fit, criterion: criterionOf(fit) });
    } catch (error) {
      if (!(error instanceof NoFit)) throw error;
      faults.set(law, 'undetermined');
    }
  }
  if (candidates.length === 0) throw new NoFit('no-end');
  const best = candidates.reduce((a, b) => (b.criterion < a.criterion ? b : a));
  return { ...resultOf(best, run, inertia), laws: lawFits(candidates, faults, best) };
}

function fitLaw(law: LawName, { time, speed }: SpinRun, inertia: number): Fit {
  const names: readonly Coefficient[] = LAWS[law];
  const top = speed[0]!;
  const count = time.length;
  // Deceleration as if it were even; each term takes a share of it at the highest speed.
  const drop = (top - speed[count - 1]!) / time[count - 1]!;
  const scale = names.map((name) => drop / top ** POWERS[name]);
  const fitted = new Float64Array(count);
  const fit = leastSquares({
    observed: speed,
    model: (p) => {
      const slowing = slowingOf(names, p);
      for (let i = 0; i < count; i++) {
        fitted[i] = speedAfter(slowing, p[names.length]!, time[i]!);
      }
      return fitted.slice();
    },
    start: [...scale.map((value) => value / names.length), top],
    scale: [...scale, top],
  });
  return inTorque(fit, names.length, inertia);
}

/** The first parameters of a law are decelerations. */
function slowingOf(names: readonly Coefficient[], p: readonly number[]): Slowing {
  const of = (name: Coefficient) => {
    const k = names.indexOf(name);
    return k < 0 ? 0 : p[k]!;
  };
  return { a: of('c0'), b: of('c1'), c: of('c2') };
}

/** Decelerations times the inertia are torques. */
function inTorque(fit: Fit, terms: number, inertia: number): Fit {
  const factor = (k: number) => (k < terms ? inertia : 1);
  return {
    ...fit,
    parameters: fit.parameters.map((value, k) => value * factor(k)),
    covariance: fit.covariance.map((row, i) =>
      row.map((value, j) => value * factor(i) * factor(j) * fit.inflation),
    ),
  };
}

function criterionOf({ residuals, parameters }: Fit): number {
  const count = residuals.length;
  const squares = residuals.reduce((sum, value) => sum + value * value, 0);
  return count * Math.log(squares / count) + parameters.length * Math.log(count);
}

function lawFits(
  candidates: readonly Candidate[],
  faults: ReadonlyMap<LawName, LawFault>,
  best: Candidate,
): LawFit[] {
  return (Object.keys(LAWS) as LawName[]).map((law) => {
    const found = candidates.find((candidate) => candidate.law === law);
    if (found === undefined) return { law, deviation: Number.NaN, fault: faults.get(law)! };
    const criterion = found.criterion - best.criterion;
    return { law, deviation: found.fit.deviation, fault: undefined, criterion };
  });
}

function resultOf({ law, fit }: Candidate, run: SpinRun, inertia: number): Omit<Spindown, 'laws'> {
  const names: readonly Coefficient[] = LAWS[law];
  const terms = names.length;
  const of = (p: readonly number[]) =>
    slowingOf(
      names,
      p.map((value, k) => (k < terms ? value / inertia : value)),
    );
  const derived = (figure: (slowing: Slowing, start: number) => number): Estimate => {
    const value = (p: readonly number[]) => figure(of(p), p[terms]!);
    return propagated(value, fit);
  };
  const { parameters, covariance, degrees } = fit;
  const coefficients = Object.fromEntries(
    names.map((name, k) => [name, estimate(parameters[k]!, covariance[k]![k]!, degrees)]),
  );
  const slowing = of(parameters);
  return {
    law,
    coefficients,
    correlation: terms < 2 ? undefined : correlations(covariance)[0]![1]!,
    start: estimate(parameters[terms]!, covariance[terms]![terms]!, degrees),
    halfSpeed: derived((law, start) => timeBetween(law, start, 0.5 * start)),
    halfEnergy: derived((law, start) => timeBetween(law, start, Math.SQRT1_2 * start)),
    torqueAtStart: derived(({ a, b, c }, start) => inertia * (a + start * (b + start * c))),
    fitted: Float64Array.from(run.time, (t) => speedAfter(slowing, parameters[terms]!, t)),
    deviation: fit.deviation,
    lagCorrelation: fit.lagCorrelation,
    degrees,
  };
}

/** Step of the differences that carry an uncertainty on, over the standard deviation. */
const STEP = 1e-3;

/** A figure of the parameters, with its interval to first order. */
function propagated(figure: (p: readonly number[]) => number, fit: Fit): Estimate {
  const { parameters, covariance, degrees } = fit;
  const gradient = parameters.map((_, k) => {
    const step = STEP * Math.sqrt(covariance[k]![k]!);
    const at = (sign: number) =>
      figure(parameters.map((value, j) => (j === k ? value + sign * step : value)));
    return step > 0 ? (at(1) - at(-1)) / (2 * step) : 0;
  });
  const variance = gradient.reduce(
    (sum, a, i) => sum + gradient.reduce((inner, b, j) => inner + a * b * covariance[i]![j]!, 0),
    0,
  );
  return estimate(figure(parameters), variance, degrees);
}
