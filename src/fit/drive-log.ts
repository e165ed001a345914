import { KMH, RPM } from '../config/units.ts';
import type { Fuel } from '../physics/fuel.ts';
import { ENGINE_ON, FUEL, FUEL_VOLUME, ROTOR_SPEED, SPEED, TIME } from './measured-kinds.ts';
import { column, type MeasuredTable, type TableForm, tableProblem } from './measured-table.ts';
import { checkTimeOrder } from './time-order.ts';

/** What a log of a drive is read for. */
export const DRIVE_FORM: TableForm = {
  what: 'a log of a drive',
  kinds: [TIME, SPEED, ROTOR_SPEED, FUEL, FUEL_VOLUME, ENGINE_ON],
  required: ['time', ['fuel', 'fuel_volume', 'rotor_speed', 'engine_on']],
};

/** A measured drive; a value that a row does not have is NaN. */
export interface DriveLog {
  /** As logged [s], rising */
  readonly time: Float64Array;
  /** [m/s] */
  readonly speed: Float64Array | undefined;
  /** [kg/s], the mean until the next row */
  readonly fuel: Float64Array | undefined;
  /** [rad/s] */
  readonly rotorSpeed: Float64Array | undefined;
  /** 1 while the engine turns, else 0 */
  readonly engineOn: Float64Array | undefined;
  /** Median time between rows [s] */
  readonly step: number;
}

const LEAST_ROWS = 30;
/** Highest speeds of road vehicles, and of a slow drive in the wrong unit [m/s]. */
const SPEEDS = { least: 8 * KMH, most: 300 * KMH };
/** Fuel flow that no road vehicle exceeds [kg/s]. */
const MOST_FUEL = 0.06;

/**
 * The log of a table.
 * @param table read as `DRIVE_FORM`
 * @param fuel that was burned, for flows by volume
 * @param maxRotorSpeed greatest speed of the store's rotor [rad/s]
 * @throws InputError that says why it cannot be used
 */
export function driveLogOf(table: MeasuredTable, fuel: Fuel, maxRotorSpeed: number): DriveLog {
  const { numbers } = table;
  const time = column(table, 'time');
  const volume = numbers.get('fuel_volume');
  // A density in kg/L is one in t/m³.
  const mass = numbers.get('fuel') ?? volume?.map((flow) => flow * 1000 * fuel.density);
  const rows = Array.from(time, (_, row) => row).filter((row) => !Number.isNaN(time[row]!));
  checkTimeOrder(
    table,
    time,
    rows,
    '`spinledger cycle check` says more of what is wrong with the clock of a log',
  );
  if (rows.length < LEAST_ROWS) {
    throw tableProblem(table, undefined, {
      code: 'too-few-points',
      found: `${rows.length} rows with a time`,
      expected: `${LEAST_ROWS} at least`,
    });
  }
  const pick = (values: Float64Array | undefined) =>
    values === undefined ? undefined : Float64Array.from(rows, (row) => values[row]!);
  const log = {
    time: Float64Array.from(rows, (row) => time[row]!),
    speed: pick(numbers.get('speed')),
    fuel: pick(mass),
    rotorSpeed: pick(numbers.get('rotor_speed')),
    engineOn: pick(numbers.get('engine_on')),
  };
  checkUnits(table, log, maxRotorSpeed);
  const steps = log.time.slice(1).map((t, k) => t - log.time[k]!);
  return { ...log, step: steps.sort()[steps.length >> 1]! };
}

function checkUnits(
  table: MeasuredTable,
  { speed, fuel, rotorSpeed }: Omit<DriveLog, 'step'>,
  maxRotorSpeed: number,
): void {
  const refuse = (quantity: string, found: string, expected: string, units: string) => {
    throw tableProblem(table, undefined, {
      code: 'unlikely-value',
      path: table.columns.find(({ kind }) => kind.quantity === quantity)?.header ?? quantity,
      found,
      expected,
      hint: `is the unit right? \`--columns ${quantity}=HEADER:${units}\` says it`,
    });
  };
  const top = speed === undefined ? undefined : greatest(speed);
  if (top !== undefined && (top < SPEEDS.least || top > SPEEDS.most)) {
    refuse(
      'speed',
      `a highest speed of ${(top / KMH).toFixed(1)} km/h`,
      `${SPEEDS.least / KMH} to ${SPEEDS.most / KMH} km/h in a drive`,
      'kmh',
    );
  }
  const rotor = rotorSpeed === undefined ? undefined : greatest(rotorSpeed);
  if (rotor !== undefined && rotor > 1.2 * maxRotorSpeed) {
    refuse(
      'rotor_speed',
      `a highest rotor speed of ${(rotor / RPM).toFixed(0)} 1/min`,
      `${((1.2 * maxRotorSpeed) / RPM).toFixed(0)} 1/min at most, 1.2 times the greatest speed of the store file`,
      'rpm',
    );
  }
  const flow = fuel === undefined ? undefined : greatest(fuel);
  if (flow !== undefined && flow > MOST_FUEL) {
    refuse(
      table.numbers.has('fuel') ? 'fuel' : 'fuel_volume',
      `a highest fuel flow of ${(1000 * flow).toFixed(1)} g/s`,
      `${1000 * MOST_FUEL} g/s at most, which is more than a coach burns`,
      table.numbers.has('fuel') ? 'g_per_s' : 'L_per_h',
    );
  }
}

/** The greatest value that there is. */
function greatest(values: Float64Array): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const value of values) if (value > most) most = value;
  return most;
}
