import { GRAVITY } from './air.ts';

/** Which axle. */
export type AxleName = 'front' | 'rear';

/** Where the weight of a car stands. */
export interface Axles {
  /** Share of the weight on the front axle at rest on the flat. */
  readonly frontShare: number;
  /** Height of the centre of gravity over the wheelbase, h / L. */
  readonly heightRatio: number;
}

/**
 * Normal load of one axle with load transfer by acceleration and grade, from the moments about the
 * other axle's contact line; air forces and pitch of the body are left out.
 *   front: m [g cos θ · share − (a + g sin θ) h/L]; rear: the rest.
 * @param axles static share and height ratio
 * @param axle which axle
 * @param mass of the car [kg]
 * @param acceleration along the road, negative when braking [m/s²]
 * @param sine sin θ of the road, positive uphill
 * @returns normal load [N]; zero once the axle would lift, and then all the weight on the other
 */
export function axleLoad(
  axles: Axles,
  axle: AxleName,
  mass: number,
  acceleration: number,
  sine: number,
): number {
  const normal = mass * GRAVITY * Math.sqrt(1 - sine * sine);
  const transfer = mass * (acceleration + GRAVITY * sine) * axles.heightRatio;
  const load =
    axle === 'front'
      ? normal * axles.frontShare - transfer
      : normal * (1 - axles.frontShare) + transfer;
  return Math.min(Math.max(0, load), normal);
}

/**
 * Greatest deceleration, as a share of gravity, that one axle alone can give on the flat before it
 * slides: μ · share / (1 ± μ h/L), with load leaving the rear axle and reaching the front one.
 * @param axles static share and height ratio
 * @param axle the only braking axle
 * @param adhesion μ
 * @returns z = deceleration / g
 */
export function singleAxleBrakingLimit(axles: Axles, axle: AxleName, adhesion: number): number {
  return axle === 'front'
    ? (adhesion * axles.frontShare) / (1 - adhesion * axles.heightRatio)
    : (adhesion * (1 - axles.frontShare)) / (1 + adhesion * axles.heightRatio);
}
