import { rounded } from './numbers.ts';
import type { RotorSubject, RotorSummary } from './rotor-summary.ts';

/** A wall thicker than this, over the radius, is no thin ring. */
const THIN = 0.1;
/** Two masses of one rotor may differ by this before it is worth a word. */
const ROUGHLY = 0.2;

/**
 * What a reader of a rotor's figures must know before using them.
 * @param figures without their warnings
 * @param subject what they are of
 */
export function rotorWarnings(
  figures: Omit<RotorSummary, 'warnings'>,
  subject: RotorSubject,
): readonly string[] {
  const { rotor, stress } = figures;
  const found: string[] = [];
  if (rotor.radius_m === null || rotor.mass_kg === null) {
    found.push(
      'Neither radius nor mass of the rotor is known, so that rim speed and stress are not: give --radius or --mass.',
    );
    return found;
  }
  if (stress.hoop_of_strength_pct !== null && stress.hoop_of_strength_pct >= 100) {
    found.push(
      `The hoop stress is ${rounded(stress.hoop_of_strength_pct)} % of the strength: such a rotor fails below its greatest speed.`,
    );
  }
  if (subject.material.wound && rotor.shape !== 'ring') {
    found.push(
      'The formulas of a disc are those of one isotropic material; a wound rim is weak across its fibres and fails there first.',
    );
  }
  const length = subject.housing?.shape.length;
  if (length !== undefined)
    found.push(...bodyWarnings(rotor.mass_kg, rotor.radius_m, length, subject));
  if (figures.windage === null) {
    found.push(
      `Radius, length, gap and pressure are not all known, so that windage is not shown${subject.transmission === undefined ? ' and the spin-down has only the bearings' : ''}: give --length, --gap and --pressure.`,
    );
  }
  return found;
}

/** Whether a body of this density, radius and length can have that mass and inertia. */
function bodyWarnings(
  mass: number,
  radius: number,
  length: number,
  { shape, material, rotor }: RotorSubject,
): string[] {
  const solid = material.density * Math.PI * radius * radius * length;
  const greatest = 0.5 * solid * radius * radius;
  if (rotor.inertia > greatest) {
    return [
      `No cylinder of ${rounded(1000 * radius)} mm radius and ${rounded(1000 * length)} mm length has this inertia in ${material.name}: a solid one has ${rounded((100 * greatest) / rotor.inertia)} % of it. Radius, length or material do not belong to this rotor.`,
    ];
  }
  const shown =
    shape.form === 'bored'
      ? solid * (1 - shape.bore * shape.bore)
      : shape.form === 'disc'
        ? solid
        : mass;
  const wall = radius - Math.sqrt(radius * radius * (1 - mass / solid));
  if (shape.form === 'ring' && wall > THIN * radius) {
    return [
      `The wall of such a ring is ${rounded((100 * wall) / radius)} % of its radius, which is not thin: try --shape bored.`,
    ];
  }
  if (Math.abs(shown / mass - 1) > ROUGHLY) {
    return [
      `A body of this shape, radius, length and material weighs ${rounded(shown)} kg, not ${rounded(mass)} kg.`,
    ];
  }
  return [];
}
