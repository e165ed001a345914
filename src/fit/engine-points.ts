import { BAR } from '../config/units.ts';
import type { Fuel } from '../physics/fuel.ts';
import { BSFC, ENGINE_SPEED, FUEL, FUEL_VOLUME, TORQUE } from './measured-kinds.ts';
import { column, type MeasuredTable, type TableForm, tableProblem } from './measured-table.ts';

/** What a table of engine points is read for. */
export const ENGINE_FORM: TableForm = {
  what: 'a table of engine points',
  kinds: [ENGINE_SPEED, TORQUE, FUEL, FUEL_VOLUME, BSFC],
  required: ['speed', 'torque', ['fuel', 'fuel_volume', 'bsfc']],
};

/** Measured points of an engine, in columns of equal length. */
export interface EnginePoints {
  /** [rad/s] */
  readonly speed: Float64Array;
  /** Brake torque [N m] */
  readonly torque: Float64Array;
  /** Fuel power [W], above 0 */
  readonly fuelPower: Float64Array;
  /** Points without a value, and those that burn nothing */
  readonly withoutValue: number;
  readonly withoutFuel: number;
}

const LEAST_POINTS = 8;
/** Distinct speeds and torques that three coefficients need. */
const LEAST_LEVELS = 3;
/** Brake efficiencies that a running engine has under load, halves of its points above and below. */
const EFFICIENCY = { least: 0.08, most: 0.55 };
/** Mean effective pressures beyond which no engine gets [Pa]. */
const MOST_PRESSURE = 50 * BAR;

/**
 * The points of a table.
 * @param table read as `ENGINE_FORM`
 * @param fuel that was burned
 * @param displacement [m³]
 * @throws InputError that says why they cannot be used
 */
export function pointsOf(table: MeasuredTable, fuel: Fuel, displacement: number): EnginePoints {
  const speed = column(table, 'speed');
  const torque = column(table, 'torque');
  const power = fuelPowers(table, fuel, speed, torque);
  const whole = Array.from(power, (_, row) => row).filter(
    (row) => !Number.isNaN(speed[row]! + torque[row]! + power[row]!),
  );
  const rows = whole.filter((row) => power[row]! > 0);
  const points = {
    speed: Float64Array.from(rows, (row) => speed[row]!),
    torque: Float64Array.from(rows, (row) => torque[row]!),
    fuelPower: Float64Array.from(rows, (row) => power[row]!),
    withoutValue: table.count - whole.length,
    withoutFuel: whole.length - rows.length,
  };
  check(table, rows, points, displacement);
  return points;
}

function fuelPowers(
  table: MeasuredTable,
  { heatingValue, density }: Fuel,
  speed: Float64Array,
  torque: Float64Array,
): Float64Array {
  const { numbers } = table;
  const mass = numbers.get('fuel');
  if (mass !== undefined) return mass.map((flow) => flow * heatingValue);
  const volume = numbers.get('fuel_volume');
  // A density in kg/L is one in t/m³.
  if (volume !== undefined) return volume.map((flow) => flow * 1000 * density * heatingValue);
  const perWork = numbers.get('bsfc')!;
  const odd = torque.findIndex((value, row) => value <= 0 && perWork[row]! > 0);
  if (odd >= 0) {
    throw tableProblem(table, odd, {
      code: 'inconsistent',
      path: 'bsfc',
      found: `a torque of ${torque[odd]} N m`,
      expected: 'torques above 0, where fuel for each unit of work has a meaning',
      hint: 'give the fuel at no load as a flow, `fuel_g_per_s`, or leave those rows out',
    });
  }
  return perWork.map((value, row) => value * speed[row]! * torque[row]! * heatingValue);
}

function check(
  table: MeasuredTable,
  rows: readonly number[],
  { speed, torque, fuelPower }: EnginePoints,
  displacement: number,
): void {
  const levels = Math.min(new Set(speed).size, new Set(torque).size);
  if (speed.length < LEAST_POINTS || levels < LEAST_LEVELS) {
    throw tableProblem(table, undefined, {
      code: 'too-few-points',
      found: `${speed.length} points with fuel, at ${new Set(speed).size} speeds and ${new Set(torque).size} torques`,
      expected: `${LEAST_POINTS} points at least, with ${LEAST_LEVELS} speeds and ${LEAST_LEVELS} torques among them`,
    });
  }
  const still = speed.findIndex((value) => value <= 0);
  if (still >= 0) {
    throw tableProblem(table, rows[still], {
      code: 'out-of-range',
      path: 'speed',
      expected: 'a turning engine wherever fuel is burned',
    });
  }
  const high = torque.findIndex(
    (value) => (4 * Math.PI * Math.abs(value)) / displacement > MOST_PRESSURE,
  );
  if (high >= 0) {
    throw tableProblem(table, rows[high], {
      code: 'unlikely-torque',
      path: 'torque',
      found: `${torque[high]} N m`,
      expected: `a mean effective pressure below ${MOST_PRESSURE / BAR} bar at the displacement given`,
      hint: 'are the displacement and the unit of the torque right?',
    });
  }
  const loaded = Array.from(rows, (_, k) => k).filter((k) => torque[k]! > 0);
  const efficiencies = loaded
    .map((k) => (speed[k]! * torque[k]!) / fuelPower[k]!)
    .toSorted((a, b) => a - b);
  const median = efficiencies[efficiencies.length >> 1] ?? 0;
  if (median < EFFICIENCY.least || median > EFFICIENCY.most) {
    throw tableProblem(table, undefined, {
      code: 'unlikely-fuel',
      found: `a brake efficiency of ${Number((100 * median).toPrecision(3))} % in the middle of the points`,
      expected: `${100 * EFFICIENCY.least} to ${100 * EFFICIENCY.most} %`,
      hint: 'are the units of speed, torque and fuel right, and the fuel itself? `--columns fuel=HEADER:g_per_s` and the like say them',
    });
  }
}
