import type { Behaviours } from '../strategy/combine.ts';
import type { LeastCostParameters } from '../strategy/least-cost.ts';
import type { StrategyFile } from './strategy-file.ts';
import { KILO, kmhToMs, PERCENT } from './units.ts';

/**
 * The behaviours of a strategy file in SI.
 *
 * @param file checked, of a strategy that combines some
 */
export function behavioursOf(file: StrategyFile): Behaviours {
  const { stop_start, keep_off, coast, recover, assist, reserve } = file;
  return {
    ...(stop_start && { stopStart: { delay: stop_start.delay_s } }),
    ...(keep_off && {
      keepOff: {
        stopAbove: keep_off.stop_above_pct * PERCENT,
        floor: keep_off.floor_pct * PERCENT,
        maxPower: keep_off.max_power_kW * KILO,
      },
    }),
    ...(coast && {
      coast: {
        floor: coast.floor_pct * PERCENT,
        maxSpeed: kmhToMs(coast.max_speed_kmh),
      },
    }),
    ...(recover && {
      recover: {
        share: recover.share_pct * PERCENT,
        minPower: recover.min_power_kW * KILO,
      },
    }),
    ...(assist && {
      assist: {
        launchBelow: kmhToMs(assist.launch_below_kmh),
        accelerationAbove: assist.acceleration_above_m_per_s2,
        share: assist.share_pct * PERCENT,
        floor: assist.floor_pct * PERCENT,
        coverShortfall: assist.cover_shortfall,
      },
    }),
    ...(reserve && {
      reserve: {
        target: reserve.target_pct * PERCENT,
        chargePower: reserve.charge_power_kW * KILO,
        demandBelow: reserve.demand_below_kW * KILO,
        speedAbove: kmhToMs(reserve.speed_above_kmh),
      },
    }),
  };
}

/** The parameters of a strategy of least cost, in SI. */
export function leastCostOf({
  factor,
  feedback,
  start_price_kJ,
  start_horizon_s,
  stop_horizon_s,
}: StrategyFile['least_cost'] & {}): LeastCostParameters {
  return {
    factor,
    ...(feedback && {
      feedback: { target: feedback.target_pct * PERCENT, gain: feedback.gain },
    }),
    startPrice: start_price_kJ === 'search' ? 'search' : start_price_kJ * KILO,
    startHorizon: start_horizon_s,
    stopHorizon: stop_horizon_s,
  };
}
