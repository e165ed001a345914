/**
 * A body that slows down by dv/dt = −(a + b v + c v²): a car that rolls out, or a rotor that runs
 * down. The equation is of Riccati's kind and has a closed solution for any a, b and c; with
 * q² = a c − b²/4, C = cos qt and S = sin qt / q (cosh and sinh where q² is negative)
 *
 *   v(t) = (v0 C − (a + b v0/2) S) / (C + (b/2 + c v0) S)
 *
 * which contains every special case: S = t for q = 0, exponential decay for a = c = 0, a straight
 * line for b = c = 0, the tangent of the usual coastdown for b = 0. Nothing is divided by a
 * coefficient, so that any of them may vanish.
 */
export interface Slowing {
  /** Deceleration at standstill [m/s², or rad/s²] */
  readonly a: number;
  /** Rise for each unit of speed [1/s] */
  readonly b: number;
  /** Rise for each unit of speed squared [1/m, or 1/rad] */
  readonly c: number;
}

/** |q t| below which S is its series: the next term is 1e-20 of it. */
const SMALL = 1e-5;

/**
 * Speed after a time.
 * @param slowing the law
 * @param start speed at the start [m/s, or rad/s], positive
 * @param time since then [s], not negative
 * @returns [m/s, or rad/s]; 0 from the moment at which it stands
 */
export function speedAfter({ a, b, c }: Slowing, start: number, time: number): number {
  const square = a * c - 0.25 * b * b;
  const angle = Math.sqrt(Math.abs(square)) * time;
  let cosine = 1;
  let sine = time;
  if (angle > SMALL && square > 0) {
    if (angle >= Math.PI) return 0;
    cosine = Math.cos(angle);
    sine = (time * Math.sin(angle)) / angle;
  } else if (angle > SMALL) {
    // Numerator and denominator are both divided by cosh, which would overflow.
    sine = (time * Math.tanh(angle)) / angle;
  }
  const above = start * cosine - (a + 0.5 * b * start) * sine;
  const below = cosine + (0.5 * b + c * start) * sine;
  return above > 0 && below > 0 ? above / below : 0;
}

/**
 * Time in which the speed falls from one value to another.
 * @param slowing the law
 * @param from [m/s, or rad/s]
 * @param to lower speed [m/s, or rad/s]
 * @returns [s]; infinite where the law does not lead there
 */
export function timeBetween({ a, b, c }: Slowing, from: number, to: number): number {
  const drop = from - to;
  const mean = a + 0.5 * b * (from + to) + c * from * to;
  const square = a * c - 0.25 * b * b;
  const q = Math.sqrt(Math.abs(square));
  if (square > 0 && q * drop > SMALL * Math.abs(mean)) return Math.atan2(q * drop, mean) / q;
  if (mean <= 0) return Number.POSITIVE_INFINITY;
  const ratio = drop / mean;
  if (q * ratio <= SMALL) return ratio;
  return q * ratio < 1 ? Math.atanh(q * ratio) / q : Number.POSITIVE_INFINITY;
}
