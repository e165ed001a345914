import { SAMPLES_WANTED } from '../cycle/trip-dynamics.ts';
import { fixed } from '../summary/numbers.ts';
import type { BinSheet, CarSheet, CycleSheet, IdealStoreSheet } from './cycle-sheet.ts';
import type { Section } from './section.ts';

/** The figures of a drive cycle for people, with the definition of each where there are several. */
export function cycleSections(sheet: CycleSheet): readonly Section[] {
  const { car, ideal_stores: stores } = sheet;
  return [
    speed(sheet),
    dynamics(sheet),
    motion(sheet),
    hills(sheet),
    realDriving(sheet),
    ...(car === null ? [] : [wheels(car)]),
    ...(stores.length === 0 ? [] : [idealStores(stores)]),
  ];
}

function speed({ cycle, stops }: CycleSheet): Section {
  return {
    title: 'Speed and stops',
    columns: [''],
    rows: [
      ['mean speed, standstill included, km/h', fixed(cycle.mean_speed_kmh, 2)],
      ['mean speed while driving, km/h', fixed(cycle.mean_driving_speed_kmh, 2)],
      ['top speed, km/h', fixed(cycle.max_speed_kmh, 2)],
      ['stops', fixed(stops.count, 0)],
      ['time at rest, % of the duration', fixed(stops.at_rest_pct, 2)],
      ['seconds ending below 1 km/h, % of them', fixed(stops.below_1_kmh_pct, 2)],
    ],
  };
}

function dynamics({ cycle, relative_positive_acceleration: positive }: CycleSheet): Section {
  return {
    title: 'Acceleration, m/s²',
    columns: [''],
    rows: [
      ['highest', fixed(cycle.max_acceleration_m_per_s2, 3)],
      ['highest deceleration', fixed(cycle.max_deceleration_m_per_s2, 3)],
      ['relative positive: exact integral', fixed(positive.exact_m_per_s2, 4)],
      ['  1 Hz, central differences, above 0', fixed(positive.central_differences_m_per_s2, 4)],
      [
        '  1 Hz, central differences, above 0.1',
        fixed(positive.central_differences_above_threshold_m_per_s2, 4),
      ],
    ],
  };
}

function motion({ kinetic }: CycleSheet): Section {
  return {
    title: 'Energy of motion',
    columns: [''],
    rows: [
      ['kinetic energy gained, J/(kg km)', fixed(kinetic.gained_J_per_kg_km, 1)],
      ['kinetic energy shed, J/(kg km)', fixed(kinetic.shed_J_per_kg_km, 1)],
      ['characteristic acceleration, m/s²', fixed(kinetic.characteristic_acceleration_m_per_s2, 4)],
      ['aerodynamic speed, km/h', fixed(kinetic.aerodynamic_speed_kmh, 2)],
      ['kinetic intensity, 1/km', fixed(kinetic.intensity_per_km, 4)],
    ],
  };
}

function hills({ climbing }: CycleSheet): Section {
  return {
    title: 'Hills',
    columns: [''],
    rows: [
      ['climb, m/km', fixed(climbing.up_m_per_km, 2)],
      ['climb, m/100 km', fixed(climbing.up_m_per_100km, 0)],
      ['descent, m/km', fixed(climbing.down_m_per_km, 2)],
      ['altitude at the end less at the start, m', fixed(climbing.altitude_change_m, 1)],
      ['highest less lowest point, m', fixed(climbing.altitude_range_m, 1)],
    ],
  };
}

const VERDICTS: Readonly<Record<BinSheet['verdict'], string>> = {
  within: 'within',
  'too-dynamic': 'too dynamic',
  'too-soft': 'too soft',
  'too-few-samples': 'too few',
};

function realDriving({ real_driving: rules }: CycleSheet): Section {
  const bins = [rules.urban, rules.rural, rules.motorway];
  return {
    title: 'Real-driving rules, at 1 Hz',
    columns: ['urban', 'rural', 'motorway'],
    rows: [
      ['speeds, km/h', 'up to 60', '60 to 90', 'above 90'],
      ['distance, km', ...bins.map((bin) => fixed(bin.distance_km, 2))],
      ['mean speed, km/h', ...bins.map((bin) => fixed(bin.mean_speed_kmh, 1))],
      [
        'v·a, 95th percentile, m²/s³',
        ...bins.map((bin) => fixed(bin.speed_acceleration_95_m2_per_s3, 2)),
      ],
      [
        '  too dynamic above',
        ...bins.map((bin) => fixed(bin.speed_acceleration_limit_m2_per_s3, 2)),
      ],
      [
        'relative positive acceleration, m/s²',
        ...bins.map((bin) => fixed(bin.positive_acceleration_m_per_s2, 4)),
      ],
      [
        '  too soft below',
        ...bins.map((bin) => fixed(bin.positive_acceleration_limit_m_per_s2, 4)),
      ],
      ['samples above 0.1 m/s²', ...bins.map((bin) => fixed(bin.accelerating_samples, 0))],
      ['verdict', ...bins.map((bin) => VERDICTS[bin.verdict])],
    ],
    notes: [
      `Over the whole drive v·a has its 95th percentile at ${fixed(rules.speed_acceleration_95_m2_per_s3, 2)} m²/s³.`,
      `Too few: less than ${SAMPLES_WANTED} samples above 0.1 m/s². The limits of (EU) 2016/646 are from memory: they tell whether a drive is ordinary, and certify nothing.`,
    ],
  };
}

function wheels(car: CarSheet): Section {
  const row = (energy: number, perKm: number): [string, string] => [
    fixed(energy, 1),
    fixed(perKm, 1),
  ];
  return {
    title: `At the wheels of ${car.name}`,
    columns: ['kJ', 'kJ/km'],
    rows: [
      ['driven', ...row(car.traction_kJ, car.traction_kJ_per_km)],
      ['braked', ...row(car.braking_kJ, car.braking_kJ_per_km)],
      ['braked, % of driven', fixed(car.braking_share_of_traction_pct, 1), ''],
    ],
  };
}

const IDEAL = [
  'Ideal: no losses, no mass, whatever the speed; it is emptied by driving. A real store takes less.',
];

function idealStores(stores: readonly IdealStoreSheet[]): Section {
  const [first] = stores;
  if (stores.length === 1 && first !== undefined) return idealStore(first);
  const powers = [...new Set(stores.map((store) => store.power_kW))];
  const energies = [...new Set(stores.map((store) => store.energy_kJ))];
  const taken = (energy: number, power: number): string => {
    const store = stores.find((size) => size.energy_kJ === energy && size.power_kW === power);
    return fixed(store?.taken_share_of_braking_pct ?? null, 1);
  };
  return {
    title: 'Taken by an ideal store, % of the braking',
    columns: powers.map((power) => `${power} kW`),
    rows: energies.map((energy) => [
      `${energy} kJ`,
      ...powers.map((power) => taken(energy, power)),
    ]),
    notes: IDEAL,
  };
}

function idealStore(store: IdealStoreSheet): Section {
  return {
    title: `An ideal store of ${store.energy_kJ} kJ and ${store.power_kW} kW`,
    columns: [''],
    rows: [
      ['taken, % of the braking', fixed(store.taken_share_of_braking_pct, 1)],
      ['taken, kJ', fixed(store.taken_kJ, 1)],
      ['missed because it was full, kJ', fixed(store.refused_full_kJ, 1)],
      ['missed beyond its power, kJ', fixed(store.refused_power_kJ, 1)],
      ['given back, kJ', fixed(store.given_back_kJ, 1)],
      ['left at the end, kJ', fixed(store.left_kJ, 1)],
    ],
    notes: IDEAL,
  };
}
