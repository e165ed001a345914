import { inputHash } from '../config/hash.ts';
import { DEGREE, KILO, KMH, MEGA, PERCENT, RPM } from '../config/units.ts';
import { GAS_CONSTANT_AIR, GRAVITY } from '../physics/air.ts';
import { dragTorque, type Rotor, rotorEnergy } from '../physics/rotor.ts';
import {
  gyroscopicTorque,
  inertiaFactor,
  type RotorMaterial,
  rotorStress,
  type StressShape,
  shapeFactor,
  speedOfSound,
} from '../physics/rotor-stress.ts';
import { type SpinDown, spinDown } from '../physics/spin-down.ts';
import type { Transmission } from '../physics/transmission.ts';
import { type Chamber, type RotorShape, windage } from '../physics/windage.ts';
import { rotorWarnings } from './rotor-warnings.ts';
import { SCHEMA_VERSION } from './summary.ts';
import { tool } from './tool.ts';

/** Raised whenever the same inputs may give other figures. */
const ROTOR_VERSION = '1';

/** Before every figure of a rotor. */
export const ROTOR_CAUTION =
  'A rotor at such speeds can burst. These figures are no proof that it holds: integrity, containment and vacuum safety are proved by test under the rules that apply, by people licensed or appointed to do so.';

/** A rotor and what is known of it. */
export interface RotorSubject {
  readonly name: string;
  readonly rotor: Rotor;
  /** Outer radius [m], or mass [kg]: each follows from the other; undefined where neither is known */
  readonly radius?: number | undefined;
  readonly mass?: number | undefined;
  readonly shape: StressShape;
  readonly material: RotorMaterial;
  /** What the air around it sees; undefined where it is not known */
  readonly housing?: { readonly shape: RotorShape; readonly chamber: Chamber } | undefined;
  /** Undefined for a rotor without a store */
  readonly transmission?: Transmission | undefined;
}

/** The car that it is for, and how that moves. */
export interface RotorConditions {
  readonly car: string;
  /** [kg] */
  readonly mass: number;
  /** [m] */
  readonly tyreRadius: number;
  readonly finalDriveRatio: number;
  /** Between these speeds the whole working range is wanted without slip [m/s] */
  readonly slowest: number;
  readonly fastest: number;
  /** [rad/s] */
  readonly yawRate: number;
  readonly rollRate: number;
}

/** Windage at one pressure, at the greatest speed. */
export interface WindageFigures {
  readonly pressure_Pa: number;
  readonly torque_Nm: number;
  readonly power_W: number;
  readonly knudsen: number;
  readonly regime: string;
}

/** Car speeds between which the clutch does not slip, for one rotor speed. */
export interface SlipFree {
  readonly from_kmh: number;
  readonly to_kmh: number;
}

/** The document that `rotor --format json` prints; null is what is not known of this rotor. */
export interface RotorSummary {
  readonly caution: string;
  readonly schema_version: typeof SCHEMA_VERSION;
  readonly tool: string;
  readonly case: { readonly rotor: string; readonly car: string; readonly hash: string };
  readonly rotor: {
    readonly inertia_kg_m2: number;
    readonly min_speed_rpm: number;
    readonly max_speed_rpm: number;
    readonly energy_at_max_kJ: number;
    readonly usable_energy_kJ: number;
    readonly shape: StressShape['form'];
    readonly bore_ratio: number | null;
    readonly mass_kg: number | null;
    readonly radius_m: number | null;
    readonly rim_speed_m_per_s: number | null;
    /** Against sound in the air of the housing, or at 20 °C */
    readonly mach: number | null;
  };
  readonly burst: {
    readonly energy_kJ: number;
    readonly car_mass_kg: number;
    readonly as_car_at_kmh: number;
    readonly as_car_falling_m: number;
  };
  readonly stress: {
    readonly material: string;
    readonly density_kg_per_m3: number;
    readonly strength_MPa: number;
    readonly poisson: number;
    readonly hoop_MPa: number | null;
    readonly radial_MPa: number | null;
    readonly hoop_of_strength_pct: number | null;
    /** At which the greatest stress reaches the strength */
    readonly limit_speed_rpm: number | null;
    readonly energy_density_Wh_per_kg: number | null;
    readonly shape_factor: number;
    /** K σ / ρ */
    readonly energy_density_limit_Wh_per_kg: number;
  };
  readonly spin_down: {
    readonly drag_power_at_max_W: number;
    readonly half_life_s: number | null;
    readonly to_min_speed_s: number | null;
  };
  readonly gyroscopic: {
    readonly yaw_rate_deg_per_s: number;
    readonly yaw_torque_Nm: number;
    readonly roll_rate_deg_per_s: number;
    readonly roll_torque_Nm: number;
  };
  readonly ratio: {
    readonly tyre_radius_m: number;
    readonly final_drive_ratio: number;
    readonly from_speed_kmh: number;
    readonly to_speed_kmh: number;
    /** Rotor over axle speed */
    readonly needed_low: number;
    readonly needed_high: number;
    readonly needed_spread: number;
    /** Rotor over the shaft before the final drive */
    readonly needed_low_at_final_drive: number;
    readonly needed_high_at_final_drive: number;
    /** Of the store */
    readonly low: number | null;
    readonly high: number | null;
    readonly full_without_slip: SlipFree | null;
    readonly empty_without_slip: SlipFree | null;
  };
  readonly windage: readonly WindageFigures[] | null;
  readonly warnings: readonly string[];
}

/** J per Wh. */
const WATT_HOUR = 3600;
/** Pressures that the windage is shown at [Pa]. */
const PRESSURES = [0.1, 1, 10, 100, 1000, 10_000, 101_325];
/** Air where nothing else is known [K]. */
const USUAL_TEMPERATURE = 293.15;

/**
 * The figures of a rotor.
 * @param subject the rotor
 * @param conditions the car
 */
export function summariseRotor(subject: RotorSubject, conditions: RotorConditions): RotorSummary {
  const { rotor, shape, material, housing, transmission } = subject;
  const energy = rotorEnergy(rotor, rotor.maxSpeed);
  const factor = inertiaFactor(shape);
  const radius =
    subject.radius ??
    (subject.mass === undefined ? undefined : Math.sqrt(rotor.inertia / (factor * subject.mass)));
  const mass = radius === undefined ? undefined : rotor.inertia / (factor * radius * radius);
  const rimSpeed = radius === undefined ? undefined : rotor.maxSpeed * radius;
  const sound = speedOfSound(GAS_CONSTANT_AIR, housing?.chamber.temperature ?? USUAL_TEMPERATURE);
  const { halfLife, toMinimum } = spinDown(rotor);
  const spin = (rate: number) => gyroscopicTorque(rotor.inertia, rotor.maxSpeed, rate);
  const figures = {
    caution: ROTOR_CAUTION,
    schema_version: SCHEMA_VERSION,
    tool: tool(),
    case: { rotor: subject.name, car: conditions.car, hash: hashOf(subject, conditions) },
    rotor: {
      inertia_kg_m2: rotor.inertia,
      min_speed_rpm: rotor.minSpeed / RPM,
      max_speed_rpm: rotor.maxSpeed / RPM,
      energy_at_max_kJ: energy / KILO,
      usable_energy_kJ: (energy - rotorEnergy(rotor, rotor.minSpeed)) / KILO,
      shape: shape.form,
      bore_ratio: shape.form === 'bored' ? shape.bore : null,
      mass_kg: mass ?? null,
      radius_m: radius ?? null,
      rim_speed_m_per_s: rimSpeed ?? null,
      mach: rimSpeed === undefined ? null : rimSpeed / sound,
    },
    burst: {
      energy_kJ: energy / KILO,
      car_mass_kg: conditions.mass,
      as_car_at_kmh: Math.sqrt((2 * energy) / conditions.mass) / KMH,
      as_car_falling_m: energy / (conditions.mass * GRAVITY),
    },
    stress: stressFigures(shape, material, rotor, mass, rimSpeed),
    spin_down: {
      drag_power_at_max_W: dragTorque(rotor, rotor.maxSpeed) * rotor.maxSpeed,
      half_life_s: halfLife ?? null,
      to_min_speed_s: toMinimum ?? null,
    },
    gyroscopic: {
      yaw_rate_deg_per_s: conditions.yawRate / DEGREE,
      yaw_torque_Nm: spin(conditions.yawRate),
      roll_rate_deg_per_s: conditions.rollRate / DEGREE,
      roll_torque_Nm: spin(conditions.rollRate),
    },
    ratio: ratioFigures(rotor, transmission, conditions),
    windage: housing === undefined ? null : windageFigures(rotor, housing),
  } as const;
  return { ...figures, warnings: rotorWarnings(figures, subject) };
}

function stressFigures(
  shape: StressShape,
  material: RotorMaterial,
  rotor: Rotor,
  mass: number | undefined,
  rimSpeed: number | undefined,
): RotorSummary['stress'] {
  const factor = shapeFactor(shape, material.poisson);
  const stress = rimSpeed === undefined ? undefined : rotorStress(shape, material, rimSpeed);
  return {
    material: material.name,
    density_kg_per_m3: material.density,
    strength_MPa: material.strength / MEGA,
    poisson: material.poisson,
    hoop_MPa: stress === undefined ? null : stress.hoop / MEGA,
    radial_MPa: stress === undefined ? null : stress.radial / MEGA,
    hoop_of_strength_pct: stress === undefined ? null : stress.hoop / material.strength / PERCENT,
    limit_speed_rpm:
      stress === undefined
        ? null
        : (rotor.maxSpeed * Math.sqrt(material.strength / stress.hoop)) / RPM,
    energy_density_Wh_per_kg:
      mass === undefined ? null : rotorEnergy(rotor, rotor.maxSpeed) / mass / WATT_HOUR,
    shape_factor: factor,
    energy_density_limit_Wh_per_kg: (factor * material.strength) / material.density / WATT_HOUR,
  };
}

function ratioFigures(
  rotor: Rotor,
  transmission: Transmission | undefined,
  { tyreRadius, finalDriveRatio, slowest, fastest }: RotorConditions,
): RotorSummary['ratio'] {
  const low = (rotor.minSpeed * tyreRadius) / fastest;
  const high = (rotor.maxSpeed * tyreRadius) / slowest;
  const range = rangeOf(transmission);
  const free = (speed: number): SlipFree | null =>
    range === undefined
      ? null
      : {
          from_kmh: (speed * tyreRadius) / range.high / KMH,
          to_kmh: (speed * tyreRadius) / range.low / KMH,
        };
  return {
    tyre_radius_m: tyreRadius,
    final_drive_ratio: finalDriveRatio,
    from_speed_kmh: slowest / KMH,
    to_speed_kmh: fastest / KMH,
    needed_low: low,
    needed_high: high,
    needed_spread: high / low,
    needed_low_at_final_drive: low / finalDriveRatio,
    needed_high_at_final_drive: high / finalDriveRatio,
    low: range?.low ?? null,
    high: range?.high ?? null,
    full_without_slip: free(rotor.maxSpeed),
    empty_without_slip: free(rotor.minSpeed),
  };
}

/** Ratios between which nothing slips; fixed ratios slip always, an ideal transmission never. */
function rangeOf(
  transmission: Transmission | undefined,
): { readonly low: number; readonly high: number } | undefined {
  return transmission?.type === 'variator' ? transmission : undefined;
}

function windageFigures(
  rotor: Rotor,
  { shape, chamber }: NonNullable<RotorSubject['housing']>,
): WindageFigures[] {
  const pressures = [...new Set([...PRESSURES, chamber.pressure])].toSorted((a, b) => a - b);
  return pressures.map((pressure) => {
    const { torque, knudsen, regime } = windage(shape, { ...chamber, pressure }, rotor.maxSpeed);
    return {
      pressure_Pa: pressure,
      torque_Nm: torque,
      power_W: torque * rotor.maxSpeed,
      knudsen,
      regime,
    };
  });
}

/** Known by every figure that decides the result. */
function hashOf(subject: RotorSubject, conditions: RotorConditions): string {
  const { rotor, ...rest } = subject;
  const drag = [0.25, 0.5, 0.75, 1].map((share) => dragTorque(rotor, share * rotor.maxSpeed));
  const { inertia, minSpeed, maxSpeed } = rotor;
  const transmission =
    subject.transmission?.type === 'stepped'
      ? { ...subject.transmission, ratios: [...subject.transmission.ratios] }
      : subject.transmission;
  return inputHash([
    ROTOR_VERSION,
    { ...rest, transmission, inertia, minSpeed, maxSpeed, drag },
    conditions,
  ]).slice(0, 16);
}

/** The curve that `--spin-down` writes. */
export function spinDownRows(rotor: Rotor): readonly Record<string, number>[] {
  const { points }: SpinDown = spinDown(rotor);
  return points.map(({ time, speed, dragPower }) => ({
    time_s: time,
    rotor_speed_rpm: speed / RPM,
    energy_kJ: rotorEnergy(rotor, speed) / KILO,
    drag_power_W: dragPower,
  }));
}
