import { airDensity, GRAVITY, standardAtmosphere } from '../physics/air.ts';
import { Curve } from '../physics/curve.ts';
import type { Engine, FuelUse, WarmUp } from '../physics/engine.ts';
import { FUELS, type Fuel } from '../physics/fuel.ts';
import type { Gearbox, GearChoice } from '../physics/gearbox.ts';
import type { RoadLoad } from '../physics/road-load.ts';
import type { Car, SprintTraits } from '../simulate/car.ts';
import type { CarFile } from './car-file.ts';
import { engineMap } from './engine-table.ts';
import type { Grid } from './grid-file.ts';
import {
  BAR,
  celsiusToKelvin,
  GRAM,
  KILO,
  KMH,
  kmhToMs,
  LITRE,
  MEGA,
  RPM,
  rpmToRadPerS,
} from './units.ts';

/**
 * Share of the vehicle's mass that stands for wheels and axles where the file gives no value: the
 * convention of type approval where it is not measured (UN GTR 15, annex 4; from memory, not
 * verified).
 */
export const ROTATING_MASS_SHARE = 0.03;

/** Air of the physical road load where the file says nothing: 101.325 kPa [Pa] and 20 °C [°C]. */
const USUAL_PRESSURE = 101_325;
const USUAL_TEMPERATURE_C = 20;

/** The driven axle and its tyres on dry asphalt where the file says nothing (common practice). */
const USUAL_DRIVEN = 'front';
const USUAL_ADHESION = 0.9;
/** How long a change of gear holds the engine back [s] (common practice, no source). */
const USUAL_SHIFT_TIME = { clutch: 0.5, converter: 0.2 } as const;

/** Warm from the start: no extra friction, so the time constant does not matter. */
const WARM: WarmUp = { extra: 0, timeConstant: 1, noStopBefore: 0 };

/**
 * A car in SI with every default filled in.
 *
 * @param file checked, keys and cross checks alike
 * @param table the engine table that `engine.fuel_use` names, if it names one
 */
export function resolveCar(file: CarFile, table: Grid | undefined): Car {
  return {
    name: file.name,
    mass: file.mass_kg,
    rotatingMass: file.rotating_mass_kg ?? ROTATING_MASS_SHARE * file.mass_kg,
    tyreRadius: file.tyre_radius_m,
    roadLoad: roadLoad(file),
    axles: {
      frontShare: file.axles.front_static_share,
      heightRatio: file.axles.centre_of_gravity_height_m / file.axles.wheelbase_m,
    },
    gearbox: gearbox(file),
    engine: engine(file.engine, table),
    electrics: {
      load: file.electrics.load_W,
      alternatorEfficiency: file.electrics.alternator_efficiency,
      batteryEfficiency: file.electrics.battery_efficiency,
      rechargeLimit: file.electrics.recharge_limit_W,
      debtLimit: file.electrics.debt_limit_kJ * KILO,
    },
    sprint: sprintTraits(file),
  };
}

function sprintTraits({ sprint, launch }: CarFile): SprintTraits {
  return {
    driven: sprint?.driven_axle ?? USUAL_DRIVEN,
    tyreAdhesion: sprint?.tyre_adhesion ?? USUAL_ADHESION,
    shiftTime: sprint?.shift_time_s ?? USUAL_SHIFT_TIME[launch.device],
    launchSpeed: rpmToRadPerS(sprint?.launch_speed_rpm ?? launch.engagement_speed_rpm),
  };
}

function roadLoad({ road_load: load, air, mass_kg: mass }: CarFile): RoadLoad {
  if (load.form === 'coastdown') {
    return {
      rolling: load.f0_N,
      linear: load.f1_N_per_kmh / KMH,
      square: load.f2_N_per_kmh2 / (KMH * KMH),
      wind: 0,
    };
  }
  return {
    rolling: mass * GRAVITY * load.rolling_coefficient,
    linear: 0,
    square: 0.5 * density(air) * load.drag_coefficient * load.frontal_area_m2,
    wind: kmhToMs(load.headwind_kmh),
  };
}

/** [kg/m³] */
function density(air: CarFile['air']): number {
  if (air === undefined) return airDensity(USUAL_PRESSURE, celsiusToKelvin(USUAL_TEMPERATURE_C));
  if ('altitude_m' in air) {
    const { pressure, temperature } = standardAtmosphere(air.altitude_m);
    return airDensity(pressure, temperature);
  }
  return airDensity(air.pressure_kPa * KILO, celsiusToKelvin(air.temperature_C));
}

function gearbox({ gearbox: file, launch }: CarFile): Gearbox {
  const { efficiency } = file;
  return {
    ratios: Float64Array.from(file.ratios),
    efficiency:
      typeof efficiency === 'number'
        ? new Float64Array(file.ratios.length).fill(efficiency)
        : Float64Array.from(efficiency),
    dragTorque: file.drag_torque_Nm,
    finalDriveRatio: file.final_drive_ratio,
    finalDriveEfficiency: file.final_drive_efficiency,
    choice: gearChoice(file.choice),
    launch: {
      device: launch.device,
      engagementSpeed: rpmToRadPerS(launch.engagement_speed_rpm),
      creepTorque: launch.creep_torque_Nm,
    },
  };
}

function gearChoice(file: CarFile['gearbox']['choice']): GearChoice {
  if (file.by === 'thresholds') {
    return {
      by: 'thresholds',
      up: Float64Array.from(file.up_kmh, kmhToMs),
      down: Float64Array.from(file.down_kmh, kmhToMs),
    };
  }
  return {
    by: 'least-fuel',
    minSpeed: rpmToRadPerS(file.min_speed_rpm),
    maxSpeed: rpmToRadPerS(file.max_speed_rpm),
    torqueReserve: file.torque_reserve,
    minimumTime: file.minimum_time_s,
  };
}

function engine(file: CarFile['engine'], table: Grid | undefined): Engine {
  const fuel = fuelOf(file.fuel);
  return {
    fuel,
    displacement: file.displacement_L * LITRE,
    idleSpeed: rpmToRadPerS(file.idle_speed_rpm),
    maxSpeed: rpmToRadPerS(file.max_speed_rpm),
    inertia: file.inertia_kg_m2,
    fullLoad: new Curve(file.full_load.speed_rpm.map(rpmToRadPerS), file.full_load.torque_Nm),
    frictionPressure0: file.friction.p0_bar * BAR,
    frictionPressure1: (file.friction.p1_bar_per_1000rpm * BAR) / (1000 * RPM),
    fuelUse: fuelUse(file.fuel_use, fuel, table),
    cutSpeed: rpmToRadPerS(file.overrun_cut_above_rpm),
    warmUp:
      file.warm_up === undefined
        ? WARM
        : {
            extra: file.warm_up.extra_friction,
            timeConstant: file.warm_up.time_constant_s,
            noStopBefore: file.warm_up.no_stop_before_s,
          },
    restart: {
      fuelEnergy: file.restart.fuel_g * GRAM * fuel.heatingValue,
      electricalEnergy: file.restart.electrical_kJ * KILO,
      minimumOn: file.restart.minimum_on_s,
      minimumOff: file.restart.minimum_off_s,
    },
  };
}

/** The fuel that a car file names or describes. */
export function fuelOf(file: CarFile['engine']['fuel']): Fuel {
  if (typeof file === 'string') return FUELS[file];
  return {
    name: file.name,
    density: file.density_kg_per_L,
    heatingValue: file.heating_value_MJ_per_kg * MEGA,
    co2PerLitre: file.co2_g_per_L,
  };
}

function fuelUse(
  file: CarFile['engine']['fuel_use'],
  fuel: Fuel,
  table: Grid | undefined,
): FuelUse {
  if (file.form === 'affine') return { form: 'affine', efficiency: file.efficiency };
  if (table === undefined) throw new TypeError('an engine table has to be read before its car');
  return { form: 'table', map: engineMap(table, fuel) };
}
