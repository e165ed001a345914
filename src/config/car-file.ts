import * as z from 'zod/mini';
import {
  described,
  efficiency,
  label,
  oneOf,
  preset,
  quantities,
  quantity,
  section,
  tag,
  wholeFile,
  word,
} from './schema-parts.ts';

/** What a car file says. Units stand at the end of the keys; nothing is converted here. */

const GEARS = 'gearboxes of road vehicles';
const ENGINE_SPEEDS = 'speeds of road vehicle engines';
const ROAD_SPEEDS = 'speeds of road vehicles';

const engineSpeed = (text: string) =>
  quantity(text, { min: 200, max: 15_000, unit: '1/min', why: ENGINE_SPEEDS });

const roadLoad = oneOf(
  'What holds the car back at constant speed on the flat.',
  'form',
  ['physical', 'coastdown'],
  [
    section('Rolling resistance and air drag by their coefficients.', {
      form: tag('physical'),
      rolling_coefficient: quantity('Rolling resistance coefficient c_rr', {
        min: 0.003,
        max: 0.05,
        why: '0.008 to 0.015 is usual for car tyres on asphalt, 0.005 to 0.008 for truck tyres',
      }),
      drag_coefficient: quantity('Air drag coefficient c_d', {
        min: 0.1,
        max: 1.5,
        why: '0.2 to 0.4 is usual for cars, up to 0.8 for buses',
      }),
      frontal_area_m2: quantity('Frontal area', {
        min: 0.5,
        max: 15,
        unit: 'm²',
        why: 'about 2 m² for a car, 8 m² for a coach',
      }),
      headwind_kmh: preset(
        quantity('Headwind along the road, negative for a tail wind', {
          min: -100,
          max: 100,
          unit: 'km/h',
          why: 'winds in which one drives',
        }),
        0,
      ),
    }),
    section('F = f0 + f1 v + f2 v², as fitted to a coastdown.', {
      form: tag('coastdown'),
      f0_N: quantity('Constant force', {
        min: 1,
        max: 5000,
        unit: 'N',
        why: 'some 100 N for a car, 1000 N for a bus',
      }),
      f1_N_per_kmh: quantity('Force for each km/h; may be negative in a fit', {
        min: -50,
        max: 50,
        unit: 'N/(km/h)',
        why: 'around 0 to 2 N/(km/h) for a car',
      }),
      f2_N_per_kmh2: quantity('Force for each (km/h)²', {
        min: 0,
        max: 1,
        unit: 'N/(km/h)²',
        why: 'around 0.03 N/(km/h)² for a car, 0.2 for a bus',
      }),
    }),
  ],
);

const air = described(
  z.union(
    [
      section('Measured state of the air.', {
        pressure_kPa: quantity('Air pressure', {
          min: 40,
          max: 115,
          unit: 'kPa',
          why: 'from the highest passes to the deepest shores',
        }),
        temperature_C: quantity('Air temperature', {
          min: -50,
          max: 60,
          unit: '°C',
          why: 'weather in which cars are driven',
        }),
      }),
      section('Standard atmosphere at an altitude.', {
        altitude_m: quantity('Altitude above the sea', {
          min: -430,
          max: 6000,
          unit: 'm',
          why: 'altitudes of roads',
        }),
      }),
    ],
    { error: 'an object with `pressure_kPa` and `temperature_C`, or with `altitude_m` alone' },
  ),
  'Air that the physical road load is computed for. Default: 101.325 kPa and 20 °C. A coastdown has its own air in its coefficients.',
);

const axles = section('Where the weight stands.', {
  wheelbase_m: quantity('Wheelbase', {
    min: 1,
    max: 10,
    unit: 'm',
    why: 'from a small car to a coach',
  }),
  centre_of_gravity_height_m: quantity('Height of the centre of gravity', {
    min: 0.2,
    max: 2.5,
    unit: 'm',
    why: 'about 0.55 m for a car, 1.2 m for a bus',
  }),
  front_static_share: quantity('Share of the weight on the front axle at rest', {
    min: 0.2,
    max: 0.8,
    why: 'a share, not per cent; outside of it no road vehicle steers and brakes well',
  }),
});

const choice = oneOf(
  'How the gear is chosen.',
  'by',
  ['thresholds', 'least-fuel'],
  [
    section('Up at a speed, down at a lower one.', {
      by: tag('thresholds'),
      up_kmh: quantities(
        'Speeds at which each gear is left for the next higher, one fewer than gears',
        { least: 0, most: 15 },
        { min: 1, max: 300, unit: 'km/h', why: ROAD_SPEEDS },
      ),
      down_kmh: quantities(
        'Speeds below which each gear is left for the next lower, one fewer than gears',
        { least: 0, most: 15 },
        { min: 0.5, max: 300, unit: 'km/h', why: ROAD_SPEEDS },
      ),
    }),
    section('The gear that burns least, within a speed range and with a torque reserve.', {
      by: tag('least-fuel'),
      min_speed_rpm: engineSpeed('Lowest engine speed of a gear above the first'),
      max_speed_rpm: engineSpeed('Highest engine speed of any gear'),
      torque_reserve: quantity('Share of the full-load torque that stays free', {
        min: 0,
        max: 0.9,
        why: 'a share, not per cent; 0.1 to 0.3 is usual',
      }),
      minimum_time_s: quantity('Least time in a gear', {
        min: 0,
        max: 60,
        unit: 's',
        why: 'some seconds keep the gearbox from hunting',
      }),
    }),
  ],
);

const gearEfficiency = efficiency('Efficiency', 0.5);

const gearbox = section('Gearbox and final drive.', {
  ratios: quantities(
    'Ratio of each gear, the first gear first, falling',
    { least: 1, most: 16 },
    { min: 0.2, max: 20, why: GEARS },
  ),
  efficiency: described(
    z.union([gearEfficiency, z.array(gearEfficiency)], {
      error: 'one number from 0.5 to 1 for all gears, or a list with one for each gear',
    }),
    'Efficiency of the gears: one number for all, or one for each gear.',
  ),
  drag_torque_Nm: quantity('Drag torque at the input shaft while the clutch is closed', {
    min: 0,
    max: 50,
    unit: 'N m',
    why: 'about 1 N m for a manual car gearbox, 10 N m for a large automatic',
  }),
  final_drive_ratio: quantity('Ratio of the final drive', { min: 1, max: 15, why: GEARS }),
  final_drive_efficiency: efficiency('Efficiency of the final drive', 0.5),
  choice,
});

const launch = section('What slips when the car moves off.', {
  device: word('A dry or wet clutch, or a hydrodynamic converter.', ['clutch', 'converter']),
  engagement_speed_rpm: engineSpeed('Engine speed that is held while the device slips'),
  creep_torque_Nm: preset(
    quantity(
      'Torque that a converter takes from the idling engine while the car stands in gear; 0 for a clutch',
      { min: 0, max: 200, unit: 'N m', why: '10 to 40 N m is usual for cars' },
    ),
    0,
  ),
});

const fuel = described(
  z.union(
    [
      word('A fuel by its name.', ['diesel', 'petrol']),
      section('A fuel of your own.', {
        name: label('Name for results'),
        density_kg_per_L: quantity('Density at 15 °C', {
          min: 0.5,
          max: 1.1,
          unit: 'kg/L',
          why: 'liquid fuels; petrol 0.745, diesel 0.835',
        }),
        heating_value_MJ_per_kg: quantity('Lower heating value', {
          min: 15,
          max: 50,
          unit: 'MJ/kg',
          why: 'liquid fuels; methanol 20, petrol 42.6, diesel 42.7',
        }),
        co2_g_per_L: quantity('CO2 of burning one litre', {
          min: 0,
          max: 3500,
          unit: 'g/L',
          why: 'liquid fuels; petrol 2330, diesel 2640',
        }),
      }),
    ],
    {
      error:
        '"diesel", "petrol", or an object with `name`, `density_kg_per_L`, `heating_value_MJ_per_kg` and `co2_g_per_L`',
    },
  ),
  'The fuel: "diesel", "petrol" or one of your own.',
);

const fuelUse = oneOf(
  'How the fuel follows from speed and load.',
  'form',
  ['affine', 'table'],
  [
    section('Fuel power = (brake power + friction power) / efficiency: a Willans line.', {
      form: tag('affine'),
      efficiency: quantity('Inner (marginal) efficiency', {
        min: 0.2,
        max: 0.6,
        why: '0.38 to 0.43 is usual for petrol, 0.42 to 0.46 for diesel',
      }),
    }),
    section('A measured map in a CSV file of its own.', {
      form: tag('table'),
      file: label(
        'CSV file, path from the folder of the car file, with columns speed_rpm, torque_Nm and one of fuel_g_per_s or bsfc_g_per_kWh, on a full grid of speeds and torques',
      ),
    }),
  ],
);

const SECONDS = 'a time within one drive';

const engine = section('A four-stroke combustion engine.', {
  fuel,
  displacement_L: quantity('Swept volume', {
    min: 0.1,
    max: 20,
    unit: 'L',
    why: 'from a small motorcycle to a coach',
  }),
  idle_speed_rpm: quantity('Idle speed', {
    min: 300,
    max: 2000,
    unit: '1/min',
    why: 'below it no engine runs by itself, above it none idles',
  }),
  max_speed_rpm: engineSpeed('Greatest speed'),
  inertia_kg_m2: quantity('Inertia with flywheel and what always turns with it', {
    min: 0.005,
    max: 20,
    unit: 'kg m²',
    why: 'about 0.15 for a car engine, 1 to 3 for a bus engine',
  }),
  full_load: section('Full-load curve, linear between its points.', {
    speed_rpm: quantities(
      'Engine speeds, rising, covering idle to greatest speed',
      { least: 2, most: 200 },
      { min: 0, max: 15_000, unit: '1/min', why: ENGINE_SPEEDS },
    ),
    torque_Nm: quantities(
      'Torque at each of these speeds',
      { least: 2, most: 200 },
      { min: 1, max: 5000, unit: 'N m', why: 'torques of road vehicle engines' },
    ),
  }),
  friction: section('Friction mean effective pressure, p0 + p1 · speed.', {
    p0_bar: quantity('Pressure at standstill', {
      min: 0.1,
      max: 6,
      unit: 'bar',
      why: '1 to 2 bar with pumping work is usual',
    }),
    p1_bar_per_1000rpm: quantity('Rise for each 1000 1/min', {
      min: 0,
      max: 3,
      unit: 'bar per 1000 1/min',
      why: '0.1 to 0.4 is usual',
    }),
  }),
  fuel_use: fuelUse,
  overrun_cut_above_rpm: engineSpeed('Engine speed above which overrun burns nothing'),
  warm_up: z.optional(
    section('Start from cold. Left out, the engine starts warm.', {
      extra_friction: quantity('Extra friction at the cold start, as a share of the warm one', {
        min: 0,
        max: 5,
        why: 'a share: 0.5 for one and a half times the friction',
      }),
      time_constant_s: quantity('Time in which the extra friction falls to 37 %', {
        min: 1,
        max: 7200,
        unit: 's',
        why: 'minutes for an engine',
      }),
      no_stop_before_s: quantity('Running time before which the engine is not stopped', {
        min: 0,
        max: 7200,
        unit: 's',
        why: SECONDS,
      }),
    }),
  ),
  restart: section('What a start costs, and how often the engine may start and stop.', {
    fuel_g: quantity('Fuel of one start', {
      min: 0,
      max: 20,
      unit: 'g',
      why: 'about a gram; ten seconds of idling already burn more',
    }),
    electrical_kJ: quantity('Electrical energy of one start', {
      min: 0.01,
      max: 100,
      unit: 'kJ',
      why: '1 to 4 kJ for a car, more for a bus',
    }),
    minimum_on_s: quantity('Least time the engine runs before it is stopped', {
      min: 0,
      max: 600,
      unit: 's',
      why: SECONDS,
    }),
    minimum_off_s: quantity('Least time off before a start that only the strategy wants', {
      min: 0,
      max: 600,
      unit: 's',
      why: SECONDS,
    }),
  }),
});

const electrics = section('Low-voltage electrics.', {
  load_W: quantity('Constant load', {
    min: 0,
    max: 20_000,
    unit: 'W',
    why: '200 to 600 W for a car, some kW for a bus',
  }),
  alternator_efficiency: efficiency('Alternator with its belt'),
  battery_efficiency: efficiency('Energy drawn from the battery over energy put back'),
  recharge_limit_W: quantity('Greatest electrical power for paying the battery back', {
    min: 1,
    max: 20_000,
    unit: 'W',
    why: 'what the alternator can spare',
  }),
  debt_limit_kJ: quantity('The engine may not be off while the battery is owed more', {
    min: 1,
    max: 20_000,
    unit: 'kJ',
    why: 'a 60 A h starter battery holds about 2600 kJ, of which a part may be used',
  }),
});

const sprint = section(
  'What only the command `sprint` needs. No effect on drive cycles: the hash of a case leaves it out.',
  {
    driven_axle: z.optional(
      word('The axle that the engine drives. Default: "front"', ['front', 'rear', 'both']),
    ),
    tyre_adhesion: z.optional(
      quantity('Greatest force of the tyres over normal load, on both axles. Default: 0.9', {
        min: 0.05,
        max: 1.5,
        why: '0.8 to 0.9 is usual for dry asphalt, 0.5 to 0.7 for wet, 0.2 to 0.3 for snow',
      }),
    ),
    shift_time_s: z.optional(
      quantity(
        'Time for which the engine passes nothing on in each change of gear. Default: 0.5 s with a clutch, 0.2 s with a converter (common practice, no source)',
        { min: 0, max: 3, unit: 's', why: '0.1 s for a quick automatic, 1 s for a slow hand' },
      ),
    ),
    launch_speed_rpm: z.optional(
      engineSpeed(
        'Engine speed held while the launch device slips at full load. Default: launch.engagement_speed_rpm',
      ),
    ),
  },
);

export const carFile = wholeFile(
  'spinledger car',
  'A car: masses, road load, gearbox, engine and electrics. Every key ends in its unit.',
  {
    name: label('Short name for results'),
    mass_kg: quantity('Test mass without a store', {
      min: 100,
      max: 60_000,
      unit: 'kg',
      why: 'from a light quadricycle to an articulated bus',
    }),
    rotating_mass_kg: z.optional(
      quantity(
        'Equivalent mass of wheels and axles; engine and store rotors are booked apart. Default: 3 % of mass_kg, the usual convention of type approval where it is not measured (from memory, not verified)',
        { min: 0, max: 6000, unit: 'kg', why: 'a few per cent of the mass' },
      ),
    ),
    tyre_radius_m: quantity('Dynamic rolling radius', {
      min: 0.1,
      max: 0.8,
      unit: 'm',
      why: 'about 0.31 m for a car, 0.48 m for a coach',
    }),
    road_load: roadLoad,
    air: z.optional(air),
    axles,
    gearbox,
    launch,
    engine,
    electrics,
    sprint: z.optional(sprint),
  },
);

/** A checked car file, with the defaults of its keys filled in. */
export type CarFile = z.output<typeof carFile>;
