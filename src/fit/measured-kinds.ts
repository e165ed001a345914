import {
  CUBIC_CENTIMETRE,
  GRAM,
  GRAM_PER_KWH,
  HOUR,
  LITRE,
  MILLI,
  MINUTE,
  RPM,
} from '../config/units.ts';
import { type Quantity, type Unit, unitsOf } from '../cycle/column-names.ts';
import type { ColumnKind } from './measured-columns.ts';

/** The columns that measured tables have, by their names. */

const ROTATION: readonly Unit[] = [
  {
    ending: 'rpm',
    factor: RPM,
    words: '1/min',
    spellings: ['1/min', 'min-1', 'min^-1', 'u/min', 'rev/min', 'r/min', 'per_min'],
  },
  { ending: 'rad_per_s', factor: 1, words: 'rad/s', spellings: ['rad/s', 'rads', 'rad/sec'] },
  {
    ending: 'Hz',
    factor: MINUTE * RPM,
    words: 'revolutions a second',
    spellings: ['hz', '1/s', 'rps'],
  },
];

const FLOW: readonly Unit[] = [
  { ending: 'g_per_s', factor: GRAM, words: 'g/s', spellings: ['g/s', 'g/sec', 'gps'] },
  { ending: 'mg_per_s', factor: MILLI * GRAM, words: 'mg/s', spellings: ['mg/s'] },
  { ending: 'g_per_h', factor: GRAM / HOUR, words: 'g/h', spellings: ['g/h'] },
  { ending: 'kg_per_h', factor: 1 / HOUR, words: 'kg/h', spellings: ['kg/h', 'kgh'] },
];

const driven = (quantity: Quantity): readonly Unit[] => unitsOf(quantity);

export const TIME: ColumnKind = {
  quantity: 'time',
  names: ['t', 'timestamp', 'time_stamp', 'datetime', 'date_time'],
  form: 'time',
  units: driven('time'),
};

export const SPEED: ColumnKind = {
  quantity: 'speed',
  names: ['v', 'velocity', 'vehicle_speed', 'car_speed'],
  form: 'number',
  units: driven('speed'),
};

export const RUN: ColumnKind = {
  quantity: 'run',
  names: ['run_no', 'run_number', 'run_id'],
  form: 'label',
  units: [],
};

export const DIRECTION: ColumnKind = {
  quantity: 'direction',
  names: ['dir', 'heading', 'way'],
  form: 'label',
  units: [],
};

export const ROTOR_SPEED: ColumnKind = {
  quantity: 'rotor_speed',
  names: ['rotor', 'n_rotor', 'flywheel_speed', 'flywheel', 'n_flywheel'],
  form: 'number',
  units: ROTATION,
};

export const ENGINE_SPEED: ColumnKind = {
  quantity: 'speed',
  names: ['engine_speed', 'n', 'n_engine'],
  form: 'number',
  units: ROTATION,
};

export const TORQUE: ColumnKind = {
  quantity: 'torque',
  names: ['m', 'engine_torque', 'brake_torque'],
  form: 'number',
  units: [{ ending: 'Nm', factor: 1, words: 'N m', spellings: ['nm', 'n_m', 'n m', 'n*m', 'n·m'] }],
};

export const FUEL: ColumnKind = {
  quantity: 'fuel',
  names: ['fuel_flow', 'fuel_rate', 'fuel_mass_flow'],
  form: 'number',
  units: FLOW,
};

/** A flow by volume, which only has a meaning with the density of the fuel. */
export const FUEL_VOLUME: ColumnKind = {
  quantity: 'fuel_volume',
  names: ['fuel_volume_flow', 'fuel_volume_rate'],
  form: 'number',
  units: [
    {
      ending: 'L_per_h',
      factor: LITRE / HOUR,
      words: 'L/h',
      spellings: ['l/h', 'l_per_h', 'litre/h', 'liter/h'],
    },
    {
      ending: 'mL_per_s',
      factor: CUBIC_CENTIMETRE,
      words: 'mL/s',
      spellings: ['ml/s', 'ml_per_s', 'cm3/s', 'cm³/s'],
    },
  ],
};

/** Fuel for each unit of work, which only has a meaning with speed and torque beside it. */
export const BSFC: ColumnKind = {
  quantity: 'bsfc',
  names: ['specific_fuel_consumption', 'sfc'],
  form: 'number',
  units: [
    {
      ending: 'g_per_kWh',
      factor: GRAM_PER_KWH,
      words: 'g/kWh',
      spellings: ['g/kwh', 'g_per_kwh'],
    },
  ],
};

export const ENGINE_ON: ColumnKind = {
  quantity: 'engine_on',
  names: ['engine', 'engine_state', 'engine_running'],
  form: 'flag',
  units: [],
};
