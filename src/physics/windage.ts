import { GAS_CONSTANT_AIR } from './air.ts';

/**
 * Windage of a cylindrical rotor with two end faces in air at low pressure, from continuum flow to
 * free molecules. No compressibility factor is used: skin friction was found not to depend on Mach
 * number (Theodorsen & Regier, NACA Report 793, abstract read).
 */
export interface Chamber {
  /** [Pa] */
  readonly pressure: number;
  /** [K] */
  readonly temperature: number;
  /** Between rotor and housing, radial and axial [m] */
  readonly gap: number;
  /** Tangential momentum accommodation of the surfaces, 0 < σ ≤ 1 */
  readonly accommodation: number;
}

/** Shape of the rotor as far as the air around it is concerned. */
export interface RotorShape {
  /** Outer radius [m] */
  readonly radius: number;
  /** Axial length [m] */
  readonly length: number;
}

/** Sutherland's law for air: reference viscosity [Pa s] at 20 °C and Sutherland temperature [K]
 * (from memory: 1.813e-5 Pa s and 110.4 K). */
const VISCOSITY_20C = 1.813e-5;
const REFERENCE_TEMPERATURE = 293.15;
const SUTHERLAND_TEMPERATURE = 110.4;

/** Reynolds number at which a rotating disc turns turbulent (about; the trade's usual value). */
const DISC_TRANSITION = 3e5;

/** Taylor number above which vortices fill the gap round a turning cylinder (from memory). */
const TAYLOR_CRITICAL = 41.2;

/**
 * Viscosity of air, independent of pressure.
 * @param temperature [K]
 * @returns [Pa s]
 */
export function airViscosity(temperature: number): number {
  return (
    VISCOSITY_20C *
    (temperature / REFERENCE_TEMPERATURE) ** 1.5 *
    ((REFERENCE_TEMPERATURE + SUTHERLAND_TEMPERATURE) / (temperature + SUTHERLAND_TEMPERATURE))
  );
}

/**
 * Mean free path λ = (μ / p) √(π R T / 2).
 * @param pressure [Pa]
 * @param temperature [K]
 * @returns [m]; 6.59 mm at 1 Pa and 20 °C
 */
export function meanFreePath(pressure: number, temperature: number): number {
  return (
    (airViscosity(temperature) / pressure) *
    Math.sqrt((Math.PI * GAS_CONSTANT_AIR * temperature) / 2)
  );
}

/**
 * Free-molecular shear stress for each unit of surface speed between a moving and a resting wall:
 * τ / U = p / √(2 π R T) · σ / (2 − σ).
 * @param chamber
 * @returns [Pa s/m]; 1.37525e-3 · p in air at 20 °C with full accommodation
 */
export function freeMolecularShear(chamber: Chamber): number {
  const { pressure, temperature, accommodation } = chamber;
  return (
    (pressure / Math.sqrt(2 * Math.PI * GAS_CONSTANT_AIR * temperature)) *
    (accommodation / (2 - accommodation))
  );
}

/**
 * Torque on both faces of a disc in continuum: T = ½ C_M ρ ω² R⁵, C_M = 3.87 Re^-½ laminar,
 * 0.146 Re^-0.2 turbulent, Re = ρ ω R² / μ. Free disc: nothing near it.
 * The law switches on Re, not on the larger value: the two cross well below transition.
 * @param density [kg/m³]
 * @param viscosity [Pa s]
 * @param radius [m]
 * @param speed [rad/s]
 * @returns [N m]
 */
export function discTorque(
  density: number,
  viscosity: number,
  radius: number,
  speed: number,
): number {
  const reynolds = (density * speed * radius * radius) / viscosity;
  const coefficient =
    reynolds < DISC_TRANSITION ? 3.87 / Math.sqrt(reynolds) : 0.146 / reynolds ** 0.2;
  return 0.5 * coefficient * density * speed * speed * radius ** 5;
}

/**
 * Torque on both faces of a disc in a housing, in continuum: the larger of the free disc's and of the
 * linear shear across the axial gap, T = π μ ω R⁴ / s. The shear takes over in thin air, where the
 * free disc's boundary layer would be thicker than the gap (regime I of Daily & Nece, ASME J. Basic
 * Eng. 82 (1960) 217, abstract read; the formula is elementary). Without it the faces would lose
 * their drag with √p even where the air is too thin for a boundary layer.
 * A housing so near that it keeps the air turning takes less than this.
 * @param density [kg/m³]
 * @param viscosity [Pa s]
 * @param radius [m]
 * @param gap between each face and the housing [m]
 * @param speed [rad/s]
 * @returns [N m]
 */
export function faceTorque(
  density: number,
  viscosity: number,
  radius: number,
  gap: number,
  speed: number,
): number {
  const shear = (Math.PI * viscosity * speed * radius ** 4) / gap;
  return Math.max(shear, discTorque(density, viscosity, radius, speed));
}

/**
 * Torque on a turning cylinder in a narrow gap in continuum. Laminar (Couette):
 * T = 4 π μ L ω R² Ro² / (Ro² − R²). Above the critical Taylor number the larger of that and the
 * vortex correlation T = ½ C_M π ρ ω² R⁴ L, C_M = k (s/R)^0.3 Re^-m with Re = ρ ω R s / μ
 * (Bilgen & Boulos, J. Fluids Eng. 95 (1973) 122; constants from memory).
 * @param density [kg/m³]
 * @param viscosity [Pa s]
 * @param shape rotor
 * @param gap [m]
 * @param speed [rad/s]
 * @returns [N m]
 */
export function cylinderTorque(
  density: number,
  viscosity: number,
  shape: RotorShape,
  gap: number,
  speed: number,
): number {
  const { radius, length } = shape;
  const outer = radius + gap;
  const couette =
    (4 * Math.PI * viscosity * length * speed * radius * radius * outer * outer) /
    (outer * outer - radius * radius);
  const reynolds = (density * speed * radius * gap) / viscosity;
  const slenderness = gap / radius;
  if (reynolds * Math.sqrt(slenderness) <= TAYLOR_CRITICAL) return couette;
  let coefficient: number;
  if (reynolds < 64) coefficient = 10 / reynolds;
  else if (reynolds < 500) coefficient = 2 / reynolds ** 0.6;
  else if (reynolds < 1e4) coefficient = 1.03 / Math.sqrt(reynolds);
  else coefficient = 0.065 / reynolds ** 0.2;
  const vortices =
    0.5 *
    coefficient *
    slenderness ** 0.3 *
    Math.PI *
    density *
    speed *
    speed *
    radius ** 4 *
    length;
  return Math.max(couette, vortices);
}

/** Windage of a rotor at one speed, with the parts it is made of. */
export interface Windage {
  /** Total torque [N m] */
  readonly torque: number;
  /** Mean free path over gap */
  readonly knudsen: number;
  readonly regime: 'continuum' | 'slip' | 'transition' | 'free molecular';
}

/**
 * Windage torque. For each surface the continuum torque T_c and the free-molecular torque T_m are
 * bridged by 1/T = 1/T_c + 1/T_m; for a Couette gap this is exactly the slip-flow law
 * τ = (μ U / h) / (1 + 2 Kn (2 − σ)/σ). It tends to T_c at high pressure and to T_m at low.
 * @param shape rotor
 * @param chamber air around it
 * @param speed [rad/s]
 * @returns torque and regime (bands of Schaaf & Chambre, from memory: 0.01, 0.1, 10)
 */
export function windage(shape: RotorShape, chamber: Chamber, speed: number): Windage {
  const knudsen = meanFreePath(chamber.pressure, chamber.temperature) / chamber.gap;
  const regime =
    knudsen < 0.01
      ? 'continuum'
      : knudsen < 0.1
        ? 'slip'
        : knudsen <= 10
          ? 'transition'
          : 'free molecular';
  if (speed === 0) return { torque: 0, knudsen, regime };
  const { radius, length } = shape;
  const density = chamber.pressure / (GAS_CONSTANT_AIR * chamber.temperature);
  const viscosity = airViscosity(chamber.temperature);
  const shear = freeMolecularShear(chamber);
  const faces = bridge(
    faceTorque(density, viscosity, radius, chamber.gap, speed),
    shear * speed * Math.PI * radius ** 4,
  );
  const side = bridge(
    cylinderTorque(density, viscosity, shape, chamber.gap, speed),
    shear * speed * 2 * Math.PI * radius ** 3 * length,
  );
  return { torque: faces + side, knudsen, regime };
}

/** Harmonic sum of the continuum and the free-molecular value. */
function bridge(continuum: number, freeMolecular: number): number {
  return (continuum * freeMolecular) / (continuum + freeMolecular);
}
