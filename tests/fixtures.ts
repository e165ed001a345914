import { readFileSync } from 'node:fs';
import { BAR, HOUR, KILO, KMH, LITRE, RPM } from '../src/config/units.ts';
import { parseCycle } from '../src/cycle/read.ts';
import type { Trace } from '../src/cycle/trace.ts';
import { GRAVITY } from '../src/physics/air.ts';
import { Curve } from '../src/physics/curve.ts';
import { FUELS } from '../src/physics/fuel.ts';
import type { Gearbox } from '../src/physics/gearbox.ts';
import type { Store } from '../src/physics/store.ts';
import type { Car } from '../src/simulate/car.ts';

/** Both choices of gear of the plain car's six-speed gearbox. */
export const plainChoices = {
  thresholds: {
    by: 'thresholds',
    up: Float64Array.of(18 * KMH, 32 * KMH, 48 * KMH, 65 * KMH, 85 * KMH),
    down: Float64Array.of(12 * KMH, 25 * KMH, 40 * KMH, 55 * KMH, 75 * KMH),
  },
  leastFuel: {
    by: 'least-fuel',
    minSpeed: 1250 * RPM,
    maxSpeed: 3000 * RPM,
    torqueReserve: 0.15,
    minimumTime: 3,
  },
} as const satisfies Record<string, Gearbox['choice']>;

/** An invented mid-size diesel car with nothing unusual about it; every figure is made up. */
export const plainCar: Car = {
  name: 'plain car',
  mass: 1700,
  rotatingMass: 50,
  tyreRadius: 0.316,
  roadLoad: {
    rolling: 1700 * GRAVITY * 0.0095,
    linear: 0,
    square: 0.5 * 1.2 * 0.29 * 2.25,
    wind: 0,
  },
  axles: { frontShare: 0.58, heightRatio: 0.55 / 2.7 },
  gearbox: {
    ratios: Float64Array.of(3.9, 2.2, 1.45, 1.05, 0.81, 0.66),
    efficiency: new Float64Array(6).fill(0.97),
    dragTorque: 0.6,
    finalDriveRatio: 3.3,
    finalDriveEfficiency: 0.98,
    choice: plainChoices.thresholds,
    launch: { device: 'clutch', engagementSpeed: 1200 * RPM, creepTorque: 0 },
  },
  engine: {
    fuel: FUELS.diesel,
    displacement: 2 * LITRE,
    idleSpeed: 800 * RPM,
    maxSpeed: 4800 * RPM,
    inertia: 0.18,
    fullLoad: new Curve(
      [800, 1250, 1750, 2500, 3000, 4000, 4800].map((speed) => speed * RPM),
      [150, 230, 340, 340, 330, 270, 190],
    ),
    frictionPressure0: 1.3 * BAR,
    frictionPressure1: (0.25 * BAR) / (1000 * RPM),
    fuelUse: { form: 'affine', efficiency: 0.44 },
    cutSpeed: 1100 * RPM,
    warmUp: { extra: 0, timeConstant: 200, noStopBefore: 0 },
    restart: {
      fuelEnergy: 0.4e-3 * FUELS.diesel.heatingValue,
      electricalEnergy: 2.5 * KILO,
      minimumOn: 2,
      minimumOff: 1,
    },
  },
  electrics: {
    load: 350,
    alternatorEfficiency: 0.65,
    batteryEfficiency: 0.85,
    rechargeLimit: 800,
    debtLimit: 0.1 * KILO * HOUR,
  },
  sprint: { driven: 'front', tyreAdhesion: 0.9, shiftTime: 0.5, launchSpeed: 1200 * RPM },
};

/** Top speed of the plain store's rotor [rad/s]; it is worked down to a third of it. */
const TOP_SPEED = 60_000 * RPM;

/**
 * An invented store on the rear axle: 540 kJ at 60 000 1/min, 60 kW, a variator with a spread of
 * six that joins the whole working range to an axle at 69 rad/s (78 km/h).
 */
export const plainStore: Store = {
  mass: 60,
  axle: 'rear',
  rotor: {
    inertia: (2 * 540 * KILO) / TOP_SPEED ** 2,
    minSpeed: TOP_SPEED / 3,
    maxSpeed: TOP_SPEED,
    drag: { form: 'coefficients', c0: 0.01, c1: 2e-5, c2: 0 },
  },
  transmission: { type: 'variator', low: 30, high: 180 },
  losses: { form: 'model', share: 0.08, shareGrowth: 0.02, bestRatio: 75, spinTorque: 4 },
  powerLimit: 60 * KILO,
  axleTorqueLimit: 888,
  adhesionLimit: 0.35,
  brakeShareLimit: 0.7,
  frictionOnlyAbove: 3.5,
  auxiliaryPower: 50,
  initialSpeed: TOP_SPEED / 3,
};

/** A built-in cycle. */
export function cycleNamed(name: string): Trace {
  const file = `cycles/${name}.csv`;
  const text = readFileSync(new URL(`../${file}`, import.meta.url), 'utf8');
  return parseCycle(text, { file, name });
}
