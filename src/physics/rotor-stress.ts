/**
 * Stress of a turning rotor of one isotropic material and constant thickness: thin ring, solid disc,
 * disc with a concentric bore. Plane stress, elastic, free edges.
 * Source: Timoshenko & Goodier, Theory of Elasticity, rotating discs (from memory, not re-read).
 *
 * A wound rim is not isotropic: across its fibres it is weak by two orders of magnitude, so that only
 * the thin ring says something about it. None of this replaces a proof by test.
 */

/** Shape of a rotor as far as its stress is concerned. */
export type StressShape =
  | { readonly form: 'ring' }
  | { readonly form: 'disc' }
  /** `bore`: inner over outer radius, 0 < bore < 1 */
  | { readonly form: 'bored'; readonly bore: number };

/** Material of a rotor. */
export interface RotorMaterial {
  /** For people */
  readonly name: string;
  /** [kg/m³] */
  readonly density: number;
  /** Stress at which it fails or yields, without any margin [Pa] */
  readonly strength: number;
  /** Poisson's ratio */
  readonly poisson: number;
  /** Wound from fibres: strong along them only */
  readonly wound: boolean;
}

/**
 * Generic materials, no product of anybody. Values are common practice, no source: of the right size
 * for a first sizing, and no allowables.
 */
export const ROTOR_MATERIALS = {
  steel: {
    name: 'high-strength steel',
    density: 7850,
    strength: 1100e6,
    poisson: 0.3,
    wound: false,
  },
  aluminium: {
    name: 'high-strength aluminium alloy',
    density: 2800,
    strength: 450e6,
    poisson: 0.33,
    wound: false,
  },
  titanium: {
    name: 'titanium alloy',
    density: 4430,
    strength: 850e6,
    poisson: 0.33,
    wound: false,
  },
  'glass-epoxy': {
    name: 'glass-epoxy wound rim',
    density: 2000,
    strength: 1000e6,
    poisson: 0.3,
    wound: true,
  },
  'carbon-epoxy': {
    name: 'carbon-epoxy wound rim',
    density: 1550,
    strength: 1600e6,
    poisson: 0.3,
    wound: true,
  },
} as const satisfies Record<string, RotorMaterial>;

/** Greatest stresses in a rotor [Pa]. */
export interface RotorStress {
  /** In the ring; at the centre of the disc; at the bore */
  readonly hoop: number;
  /** 0 in a thin ring; at the centre of the disc; at the geometric mean of the radii if bored */
  readonly radial: number;
}

/**
 * Greatest stresses at a rim speed:
 *   ring: hoop = ρ v²; disc: hoop = radial = (3 + ν)/8 · ρ v²;
 *   bored: hoop = (3 + ν)/4 · ρ v² [1 + (1 − ν)/(3 + ν) · β²], radial = (3 + ν)/8 · ρ v² (1 − β)².
 * @param shape
 * @param material
 * @param rimSpeed at the outer radius [m/s]
 * @returns [Pa]; a steel disc at 314.16 m/s has 319.6 MPa
 */
export function rotorStress(
  shape: StressShape,
  { density, poisson }: Pick<RotorMaterial, 'density' | 'poisson'>,
  rimSpeed: number,
): RotorStress {
  const pressure = density * rimSpeed * rimSpeed;
  switch (shape.form) {
    case 'ring':
      return { hoop: pressure, radial: 0 };
    case 'disc': {
      const centre = ((3 + poisson) / 8) * pressure;
      return { hoop: centre, radial: centre };
    }
    case 'bored': {
      const { bore } = shape;
      return {
        hoop: ((3 + poisson) / 4) * pressure * (1 + ((1 - poisson) / (3 + poisson)) * bore * bore),
        radial: ((3 + poisson) / 8) * pressure * (1 - bore) ** 2,
      };
    }
  }
}

/**
 * Inertia over mass and outer radius squared: 1 for a thin ring, ½ for a disc, ½ (1 + β²) if bored.
 */
export function inertiaFactor(shape: StressShape): number {
  if (shape.form === 'ring') return 1;
  return shape.form === 'disc' ? 0.5 : 0.5 * (1 + shape.bore * shape.bore);
}

/**
 * Shape factor K of the limit of energy density, E / m ≤ K σ / ρ.
 * @returns 0.5 for a thin ring, 2 / (3 + ν) for a disc, half of it for one with the smallest bore
 */
export function shapeFactor(shape: StressShape, poisson: number): number {
  // E / m = ½ k v² and the greatest stress is a multiple of ρ v².
  const { hoop } = rotorStress(shape, { density: 1, poisson }, 1);
  return (0.5 * inertiaFactor(shape)) / hoop;
}

/**
 * Torque on the bearings of a rotor whose axis is turned across itself: J ω Ω.
 * @param inertia [kg m²]
 * @param speed of the rotor [rad/s]
 * @param rate at which its axis is turned [rad/s]
 * @returns [N m]
 */
export function gyroscopicTorque(inertia: number, speed: number, rate: number): number {
  return inertia * speed * rate;
}

/** Ratio of specific heats of air. */
const HEAT_RATIO_AIR = 1.4;

/**
 * Speed of sound in air, √(γ R T).
 * @param gasConstant [J/(kg K)]
 * @param temperature [K]
 * @returns [m/s]; 343.2 at 20 °C
 */
export function speedOfSound(gasConstant: number, temperature: number): number {
  return Math.sqrt(HEAT_RATIO_AIR * gasConstant * temperature);
}
