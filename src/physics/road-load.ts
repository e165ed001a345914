/**
 * Road load: the force that holds a car back at constant speed, and its exact mean power over an
 * interval in which the speed is linear in time.
 *
 * Both usual forms share one set of coefficients:
 *   F = rolling · cos θ + linear · v + square · (v + wind) · |v + wind|
 * - coastdown form: rolling = F0, which a slope lessens like any rolling force, linear = F1,
 *   square = F2, no wind;
 * - physical form: rolling = m g c_rr, linear = 0, square = ½ ρ c_d A, wind = headwind.
 * At standstill the rolling force does no work, so the power forms below need no special case.
 */
export interface RoadLoad {
  /** Constant force on the flat [N]. */
  readonly rolling: number;
  /** Force for each speed [N/(m/s)]. */
  readonly linear: number;
  /** Force for each speed squared [N/(m/s)²]. */
  readonly square: number;
  /** Headwind along the road, negative for a tail wind [m/s]. */
  readonly wind: number;
}

/**
 * Mean of v·v for a speed that goes linearly from v1 to v2: (v1² + v1 v2 + v2²) / 3.
 * @param v1 speed at the start [m/s]
 * @param v2 speed at the end [m/s]
 * @returns [m²/s²]
 */
export function meanSpeedSquare(v1: number, v2: number): number {
  return (v1 * v1 + v1 * v2 + v2 * v2) / 3;
}

/**
 * Mean of v·v² for a speed that goes linearly from v1 to v2: ½ (v1 + v2) · ½ (v1² + v2²).
 * @param v1 speed at the start [m/s]
 * @param v2 speed at the end [m/s]
 * @returns [m³/s³]
 */
export function meanSpeedCube(v1: number, v2: number): number {
  return 0.25 * (v1 + v2) * (v1 * v1 + v2 * v2);
}

/**
 * Mean aerodynamic power over an interval: mean of square · (v + w)|v + w| · v, exact for linear v.
 * A tail wind that is overtaken within the interval splits it where v + w = 0.
 * @param load road load
 * @param v1 speed at the start [m/s]
 * @param v2 speed at the end [m/s]
 * @returns power at the wheels [W], negative when a tail wind pushes
 */
export function aerodynamicPower(load: RoadLoad, v1: number, v2: number): number {
  const w = load.wind;
  if (w === 0) return load.square * meanSpeedCube(v1, v2);
  const a1 = v1 + w;
  const a2 = v2 + w;
  if (a1 * a2 >= 0) return load.square * Math.sign(a1 + a2) * meanWindWork(v1, v2, w);
  const share = a1 / (a1 - a2); // part of the interval before v + w = 0
  return (
    load.square *
    (share * Math.sign(a1) * meanWindWork(v1, -w, w) +
      (1 - share) * Math.sign(a2) * meanWindWork(-w, v2, w))
  );
}

/** Mean of (v + w)² v for linear v [m³/s³]. */
function meanWindWork(v1: number, v2: number, w: number): number {
  return meanSpeedCube(v1, v2) + 2 * w * meanSpeedSquare(v1, v2) + 0.5 * w * w * (v1 + v2);
}

/**
 * Mean rolling power over an interval: the constant force along the horizontal distance and the
 * speed-proportional force.
 * @param load road load
 * @param v1 speed at the start [m/s]
 * @param v2 speed at the end [m/s]
 * @param meanLevelSpeed mean of cos θ · v over the interval [m/s]
 * @returns power at the wheels [W]
 */
export function rollingPower(
  load: RoadLoad,
  v1: number,
  v2: number,
  meanLevelSpeed: number,
): number {
  return load.rolling * meanLevelSpeed + load.linear * meanSpeedSquare(v1, v2);
}

/**
 * Road-load force on the flat at a steady speed.
 * @param load road load
 * @param v speed [m/s]
 * @returns force [N]
 */
export function roadLoadForce(load: RoadLoad, v: number): number {
  const air = v + load.wind;
  return load.rolling + load.linear * v + load.square * air * Math.abs(air);
}

/**
 * Grade force m g sin θ.
 * @param mass [kg]
 * @param sine sin θ of the road, positive uphill
 * @param gravity [m/s²]
 * @returns force [N]; 1500 kg on 8° gives 2047.2 N
 */
export function gradeForce(mass: number, sine: number, gravity: number): number {
  return mass * gravity * sine;
}

/**
 * Rolling force m g c_rr cos θ of a moving car.
 * @param mass [kg]
 * @param coefficient c_rr
 * @param cosine cos θ of the road
 * @param gravity [m/s²]
 * @returns force [N]
 */
export function rollingForce(
  mass: number,
  coefficient: number,
  cosine: number,
  gravity: number,
): number {
  return mass * gravity * coefficient * cosine;
}
