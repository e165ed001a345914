import * as z from 'zod/mini';
import {
  efficiency,
  label,
  oneOf,
  percentage,
  preset,
  quantities,
  quantity,
  section,
  tag,
  wholeFile,
  word,
} from './schema-parts.ts';

/** What a store file says. Units stand at the end of the keys; nothing is converted here. */

const RATIOS = 'rotor speed over axle speed, some ten to some hundred';

const ratio = (text: string) => quantity(text, { min: 0.5, max: 5000, why: RATIOS });

const rotorSpeed = (text: string) =>
  quantity(text, {
    min: 100,
    max: 200_000,
    unit: '1/min',
    why: 'from a steel wheel to a small composite rim',
  });

const DRAG = 'the drag of a rotor that runs for minutes at least';

const drag = oneOf(
  'Drag of the turning rotor. It always acts, driving or parked.',
  'form',
  ['coefficients', 'physical'],
  [
    section('Torque = c0 + c1 ω + c2 ω², as fitted to a spin-down.', {
      form: tag('coefficients'),
      c0_Nm: quantity('Constant torque', { min: 0, max: 20, unit: 'N m', why: DRAG }),
      c1_Nm_s_per_rad: quantity('Torque for each rad/s', {
        min: 0,
        max: 0.1,
        unit: 'N m s/rad',
        why: DRAG,
      }),
      c2_Nm_s2_per_rad2: quantity('Torque for each (rad/s)²', {
        min: 0,
        max: 1e-4,
        unit: 'N m s²/rad²',
        why: DRAG,
      }),
    }),
    section('Bearings, and the windage of a cylinder with two end faces in thin air.', {
      form: tag('physical'),
      radius_m: quantity('Outer radius of the rotor', {
        min: 0.02,
        max: 1,
        unit: 'm',
        why: 'rotors that fit a vehicle',
      }),
      length_m: quantity('Axial length of the rotor', {
        min: 0.005,
        max: 1,
        unit: 'm',
        why: 'rotors that fit a vehicle',
      }),
      gap_mm: quantity('Gap between rotor and housing, radial and axial', {
        min: 0.1,
        max: 100,
        unit: 'mm',
        why: 'housings around a rotor',
      }),
      pressure_Pa: quantity('Air pressure in the housing', {
        min: 1e-4,
        max: 120_000,
        unit: 'Pa',
        why: 'from high vacuum to the atmosphere, 101 325 Pa',
      }),
      temperature_C: quantity('Temperature of that air', {
        min: -50,
        max: 250,
        unit: '°C',
        why: 'temperatures that rotor and seals stand',
      }),
      accommodation: preset(
        quantity('Tangential momentum accommodation of the surfaces', {
          min: 0.1,
          max: 1,
          why: '1 for technical surfaces',
        }),
        1,
      ),
      bearing_torque_Nm: quantity('Constant torque of bearings and seals', {
        min: 0,
        max: 20,
        unit: 'N m',
        why: DRAG,
      }),
      bearing_viscous_Nm_s_per_rad: quantity('Torque of bearings and seals for each rad/s', {
        min: 0,
        max: 0.1,
        unit: 'N m s/rad',
        why: DRAG,
      }),
    }),
  ],
);

const rotor = section('The flywheel. Give its inertia or its energy, not both.', {
  inertia_kg_m2: z.optional(
    quantity('Inertia', {
      min: 1e-4,
      max: 100,
      unit: 'kg m²',
      why: 'from a small composite rim to a large steel wheel',
    }),
  ),
  energy_at_max_kJ: z.optional(
    quantity('Energy ½ J ω² at the greatest speed', {
      min: 1,
      max: 100_000,
      unit: 'kJ',
      why: 'a car at 100 km/h holds about 600 kJ, a bus at 50 km/h 1200 kJ',
    }),
  ),
  min_speed_rpm: rotorSpeed('Lowest speed of the working range'),
  max_speed_rpm: rotorSpeed('Highest speed of the working range'),
  drag,
});

const transmission = oneOf(
  'What joins the rotor to the axle.',
  'type',
  ['variator', 'stepped', 'ideal'],
  [
    section('Any overall ratio in a range; outside it the clutch slips.', {
      type: tag('variator'),
      ratio_low: ratio('Lowest ratio of rotor speed to axle speed'),
      ratio_high: ratio('Highest ratio of rotor speed to axle speed'),
    }),
    section('A few fixed ratios; every transfer slips.', {
      type: tag('stepped'),
      ratios: quantities(
        'Ratios of rotor speed to axle speed, rising',
        { least: 1, most: 12 },
        { min: 0.5, max: 5000, why: RATIOS },
      ),
    }),
    section('Any ratio without loss: the physical limit, for reference.', {
      type: tag('ideal'),
    }),
  ],
);

const losses = oneOf(
  'Losses of variator and gears. Required, but for an ideal transmission.',
  'form',
  ['efficiency', 'model', 'table'],
  [
    section('The same efficiency everywhere.', {
      form: tag('efficiency'),
      efficiency: efficiency('Efficiency in each direction', 0.3),
    }),
    section('A spin loss, and a share that grows away from the best ratio.', {
      form: tag('model'),
      proportional_pct: quantity('Share of the entering power that is lost at the best ratio', {
        min: 0,
        max: 60,
        unit: '%',
        why: '5 to 15 % is usual for a variator with gears',
      }),
      growth_pct: quantity('Growth of that share for each e-fold of ratio away from the best', {
        min: 0,
        max: 60,
        unit: '%',
        why: '1 to 5 % is usual for a variator',
      }),
      best_ratio: ratio('Ratio of least loss'),
      spin_torque_Nm: quantity('Drag torque at the axle while engaged', {
        min: 0,
        max: 500,
        unit: 'N m',
        why: 'some N m for a car',
      }),
    }),
    section('A table in a CSV file of its own.', {
      form: tag('table'),
      file: label(
        'CSV file, path from the folder of the store file, with columns ratio, load_share (power at the wheel over power_limit_kW) and efficiency, on a full grid',
      ),
    }),
  ],
);

export const storeFile = wholeFile(
  'spinledger store',
  'A store: rotor, transmission and the limits that hold it. Every key ends in its unit. A rotor at such speeds can burst: this file proves nothing about its integrity.',
  {
    name: label('Short name for results'),
    mass_kg: quantity('Mass that the store adds to the car', {
      min: 0,
      max: 3000,
      unit: 'kg',
      why: '20 to 100 kg for a car',
    }),
    axle: word('The axle that the store acts on.', ['front', 'rear']),
    rotor,
    transmission,
    losses: z.optional(losses),
    power_limit_kW: quantity('Greatest power at the wheels, in both directions', {
      min: 0.1,
      max: 1000,
      unit: 'kW',
      why: '20 to 100 kW for a car',
    }),
    axle_torque_limit_Nm: quantity('Greatest torque at the axle', {
      min: 1,
      max: 50_000,
      unit: 'N m',
      why: 'about 1000 N m for a car, some thousand for a bus',
    }),
    adhesion_limit: quantity('Greatest wheel force over normal load of the axle', {
      min: 0.01,
      max: 1.2,
      why: '0.3 to 0.4 leaves a margin on a wet road; dry asphalt has about 0.8 to 0.9',
    }),
    brake_share_limit: quantity('Greatest share of the braking force that the store may give', {
      min: 0,
      max: 1,
      why: 'a share, not per cent; the brake balance of the car sets it',
    }),
    friction_brakes_only_above_m_per_s2: quantity(
      'Above this deceleration the car has all its friction brakes and the store takes nothing',
      { min: 0.1, max: 12, unit: 'm/s²', why: 'everyday stops stay below 2 to 3 m/s²' },
    ),
    auxiliary_power_W: quantity('Vacuum pump and hydraulics, electrical, always', {
      min: 0,
      max: 5000,
      unit: 'W',
      why: 'some 10 to 100 W for a car',
    }),
    initial_energy_pct: preset(
      percentage('Energy at the start, as a share of the working range'),
      0,
    ),
  },
);

/** A checked store file, with the defaults of its keys filled in. */
export type StoreFile = z.output<typeof storeFile>;
