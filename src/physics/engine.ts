import type { Curve, Table } from './curve.ts';
import type { Fuel } from './fuel.ts';

/**
 * A four-stroke combustion engine at its shaft.
 *
 * Brake power P_b is the net power the engine gives at its shaft, negative when it is dragged.
 * With its fuel cut it takes its friction power: P_b = −P_f. Between that and idle it burns a
 * part, so fuel is continuous from overrun to full load.
 */
export interface Engine {
  readonly fuel: Fuel;
  /** Swept volume [m³] */
  readonly displacement: number;
  /** Idle speed [rad/s] */
  readonly idleSpeed: number;
  /** Greatest speed [rad/s] */
  readonly maxSpeed: number;
  /** Inertia with what always turns with it [kg m²] */
  readonly inertia: number;
  /** Full-load torque [N m] over speed [rad/s] */
  readonly fullLoad: Curve;
  /** Friction mean effective pressure: p0 [Pa] + p1 [Pa s/rad] · ω */
  readonly frictionPressure0: number;
  readonly frictionPressure1: number;
  readonly fuelUse: FuelUse;
  /** Overrun above this speed burns nothing [rad/s] */
  readonly cutSpeed: number;
  readonly warmUp: WarmUp;
  readonly restart: Restart;
}

/**
 * Three ways to give the fuel of a load.
 * - affine: fuel power = (P_b + P_f) / efficiency (a Willans line);
 * - table: fuel power over speed and torque;
 * - function: for users of the library; must be zero at P_b = −P_f and rise with P_b.
 */
export type FuelUse =
  | { readonly form: 'affine'; readonly efficiency: number }
  | { readonly form: 'table'; readonly map: EngineMap }
  | {
      readonly form: 'function';
      /** (speed [rad/s], brake power [W], friction power [W]) → fuel power [W] */
      readonly fuelPower: (speed: number, brakePower: number, frictionPower: number) => number;
    };

/** Friction × (1 + extra · exp(−t / time constant)), t = running time since the cold start. */
export interface WarmUp {
  /** Extra friction at the cold start; 0 for an engine that starts warm. */
  readonly extra: number;
  /** [s] */
  readonly timeConstant: number;
  /** No stop before this running time [s] */
  readonly noStopBefore: number;
}

/** What a restart costs and how often the engine may start and stop. */
export interface Restart {
  /** Fuel of one start [J] */
  readonly fuelEnergy: number;
  /** Electrical energy of one start [J], at least what spins the engine up to idle */
  readonly electricalEnergy: number;
  /** Least time on before a stop [s] */
  readonly minimumOn: number;
  /** Least time off before a start that only the strategy wants [s] */
  readonly minimumOff: number;
}

/** Volume swept for each radian of a four-stroke engine, over displacement: 1 / 4π. */
const PER_RADIAN = 1 / (4 * Math.PI);

/**
 * Power of a mean effective pressure: P = p V ω / 4π (four-stroke).
 * @param pressure [Pa]
 * @param displacement [m³]
 * @param speed [rad/s]
 * @returns [W]; 1.6 bar, 2 L, 750 1/min give 2000 W
 */
export function meanPressurePower(pressure: number, displacement: number, speed: number): number {
  return pressure * displacement * speed * PER_RADIAN;
}

/**
 * Friction power of the warm engine at a speed.
 * @param engine
 * @param speed [rad/s]
 * @returns [W]
 */
export function frictionPower(engine: Engine, speed: number): number {
  const pressure = engine.frictionPressure0 + engine.frictionPressure1 * speed;
  return meanPressurePower(pressure, engine.displacement, speed);
}

/**
 * How much more friction the engine has while it warms up.
 * @param warmUp
 * @param runningTime since the cold start [s]
 * @returns factor, 1 when warm
 */
export function warmUpFactor(warmUp: WarmUp, runningTime: number): number {
  return warmUp.extra === 0 ? 1 : 1 + warmUp.extra * Math.exp(-runningTime / warmUp.timeConstant);
}

/**
 * Fuel power for a brake power.
 * @param engine
 * @param speed [rad/s]
 * @param brakePower [W], from −friction power (fuel cut) upwards
 * @param warmFriction friction power of the warm engine at this speed [W]
 * @param friction friction power now [W]; what exceeds the warm one is extra load
 * @returns fuel power [W], never negative
 */
export function fuelPower(
  engine: Engine,
  speed: number,
  brakePower: number,
  warmFriction: number,
  friction: number,
): number {
  const use = engine.fuelUse;
  const warmBrake = brakePower + (friction - warmFriction);
  let power: number;
  if (use.form === 'affine') power = (warmBrake + warmFriction) / use.efficiency;
  else if (use.form === 'table') power = use.map.fuelPower(speed, warmBrake, warmFriction);
  else power = use.fuelPower(speed, warmBrake, warmFriction);
  return Math.max(power, 0);
}

/**
 * Measured fuel map over speed and torque, bilinear in the fuel flow.
 *
 * - From zero fuel at −friction torque to the lowest torque row the fuel is linear in torque.
 * - Outside the measured field the nearest edge serves: above the highest torque with the edge's
 *   fuel for each unit of work, beyond the speeds with the edge's fuel for each revolution, so that
 *   no work is ever free. Each such use is counted in `outside`.
 */
export class EngineMap {
  private readonly table: Table;
  private readonly minTorque: number;
  private readonly maxTorque: number;
  private readonly minSpeed: number;
  private readonly maxSpeed: number;
  /** Look-ups outside the measured field since the map was made or `outside` was set to 0. */
  outside = 0;

  /** @param table fuel power [W] over speed [rad/s] and torque [N m] */
  constructor(table: Table) {
    this.table = table;
    this.minSpeed = table.x[0]!;
    this.maxSpeed = table.x[table.x.length - 1]!;
    this.minTorque = table.y[0]!;
    this.maxTorque = table.y[table.y.length - 1]!;
  }

  /** Fuel power [W] at a speed [rad/s] and brake power [W], given the warm friction power [W]. */
  fuelPower(speed: number, brakePower: number, friction: number): number {
    const torque = brakePower / speed;
    const inside = speed < this.minSpeed ? this.minSpeed : Math.min(speed, this.maxSpeed);
    const revolutions = speed / inside;
    if (torque < this.minTorque) {
      const drag = -friction / speed;
      const edge = this.table.at(inside, this.minTorque) * revolutions;
      if (revolutions !== 1 || (torque > 0 && this.minTorque > 0)) this.outside++;
      return (edge * (torque - drag)) / (this.minTorque - drag);
    }
    const excess = torque > this.maxTorque ? torque / this.maxTorque : 1;
    if (revolutions !== 1 || excess !== 1) this.outside++;
    return this.table.at(inside, torque) * revolutions * excess;
  }
}
