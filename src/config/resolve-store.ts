import { Table, UniformCurve } from '../physics/curve.ts';
import { type Rotor, type RotorDrag, rotorEnergy, rotorSpeed } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { Transmission, TransmissionLosses } from '../physics/transmission.ts';
import { type Chamber, type RotorShape, windage } from '../physics/windage.ts';
import type { Grid } from './grid-file.ts';
import type { StoreFile } from './store-file.ts';
import { celsiusToKelvin, KILO, MILLI, PERCENT, rpmToRadPerS } from './units.ts';

/** The drag curve reaches beyond the working range, so that no edge value serves within it. */
const CURVE_TOP = 1.2;
/** Points of the drag curve: linear between them within 1e-5 of the windage laws. */
const CURVE_POINTS = 513;

const NO_LOSS: TransmissionLosses = { form: 'efficiency', share: 0 };

/**
 * A store in SI with every default filled in.
 *
 * @param file checked, keys and cross checks alike
 * @param table the loss table that `losses` names, if it names one
 */
export function resolveStore(file: StoreFile, table: Grid | undefined): Store {
  const rotor = rotorOf(file.rotor);
  const bottom = rotorEnergy(rotor, rotor.minSpeed);
  const top = rotorEnergy(rotor, rotor.maxSpeed);
  const start = bottom + file.initial_energy_pct * PERCENT * (top - bottom);
  return {
    mass: file.mass_kg,
    axle: file.axle,
    rotor,
    transmission: transmissionOf(file.transmission),
    losses: file.losses === undefined ? NO_LOSS : lossesOf(file.losses, table),
    powerLimit: file.power_limit_kW * KILO,
    axleTorqueLimit: file.axle_torque_limit_Nm,
    adhesionLimit: file.adhesion_limit,
    brakeShareLimit: file.brake_share_limit,
    frictionOnlyAbove: file.friction_brakes_only_above_m_per_s2,
    auxiliaryPower: file.auxiliary_power_W,
    initialSpeed: rotorSpeed(rotor, start),
  };
}

function rotorOf(file: StoreFile['rotor']): Rotor {
  const maxSpeed = rpmToRadPerS(file.max_speed_rpm);
  return {
    inertia:
      file.inertia_kg_m2 ?? (2 * (file.energy_at_max_kJ ?? 0) * KILO) / (maxSpeed * maxSpeed),
    minSpeed: rpmToRadPerS(file.min_speed_rpm),
    maxSpeed,
    drag: dragOf(file.drag, maxSpeed),
  };
}

function dragOf(file: StoreFile['rotor']['drag'], maxSpeed: number): RotorDrag {
  if (file.form === 'coefficients') {
    return {
      form: 'coefficients',
      c0: file.c0_Nm,
      c1: file.c1_Nm_s_per_rad,
      c2: file.c2_Nm_s2_per_rad2,
    };
  }
  const key = JSON.stringify([file, maxSpeed]);
  const known = DRAGS.get(key);
  if (known !== undefined) return known;
  const drag = physicalDrag(file, maxSpeed);
  if (DRAGS.size >= KEPT_DRAGS) DRAGS.delete(DRAGS.keys().next().value!);
  DRAGS.set(key, drag);
  return drag;
}

/** Drag laws that were tabulated last: the stores of a study mostly share theirs. */
const DRAGS = new Map<string, RotorDrag>();
const KEPT_DRAGS = 16;

type PhysicalDrag = Extract<StoreFile['rotor']['drag'], { form: 'physical' }>;

function physicalDrag(file: PhysicalDrag, maxSpeed: number): RotorDrag {
  const shape = shapeOf(file);
  const chamber = chamberOf(file);
  const { bearing_torque_Nm: constant, bearing_viscous_Nm_s_per_rad: viscous } = file;
  return {
    form: 'curve',
    torque: new UniformCurve(
      CURVE_TOP * maxSpeed,
      CURVE_POINTS,
      (speed) => constant + viscous * speed + windage(shape, chamber, speed).torque,
    ),
    housing: { shape, chamber },
  };
}

/** The shape of a rotor whose drag is physical. */
export function shapeOf(file: PhysicalDrag): RotorShape {
  return { radius: file.radius_m, length: file.length_m };
}

/** The air around it. */
export function chamberOf(file: PhysicalDrag): Chamber {
  return {
    pressure: file.pressure_Pa,
    temperature: celsiusToKelvin(file.temperature_C),
    gap: file.gap_mm * MILLI,
    accommodation: file.accommodation,
  };
}

function transmissionOf(file: StoreFile['transmission']): Transmission {
  switch (file.type) {
    case 'variator':
      return { type: 'variator', low: file.ratio_low, high: file.ratio_high };
    case 'stepped':
      return { type: 'stepped', ratios: Float64Array.from(file.ratios) };
    case 'ideal':
      return { type: 'ideal' };
  }
}

type LossesFile = NonNullable<StoreFile['losses']>;

function lossesOf(file: LossesFile, table: Grid | undefined): TransmissionLosses {
  switch (file.form) {
    case 'efficiency':
      return { form: 'efficiency', share: 1 - file.efficiency };
    case 'model':
      return lossModel(file);
    case 'table':
      if (table === undefined) throw new TypeError('a loss table has to be read before its store');
      return { form: 'table', efficiency: new Table(table.x, table.y, table.z) };
  }
}

/** The loss model of a store file in SI. */
export function lossModel(
  file: Extract<LossesFile, { form: 'model' }>,
): Extract<TransmissionLosses, { form: 'model' }> {
  return {
    form: 'model',
    share: file.proportional_pct * PERCENT,
    shareGrowth: file.growth_pct * PERCENT,
    bestRatio: file.best_ratio,
    spinTorque: file.spin_torque_Nm,
  };
}
