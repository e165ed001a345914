import { GRAM, KILO, KMH, RPM } from '../config/units.ts';
import { LIMITS } from '../physics/limit.ts';
import { rotorEnergy } from '../physics/rotor.ts';
import type { Store } from '../physics/store.ts';
import type { Car } from '../simulate/car.ts';
import { ENGINE_LIMITS } from '../simulate/engine-limit.ts';
import { type SprintConditions, type SprintLabel, sprint } from '../simulate/sprint.ts';
import type { Step } from '../simulate/step.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';

/** What a row is made of. */
interface Moment {
  readonly label: SprintLabel;
  readonly step: Readonly<Step>;
  readonly distance: number;
  readonly engineLimit: number;
  readonly store: Store;
  /** [J/kg] */
  readonly heatingValue: number;
}

type Column = (moment: Moment) => number | string | null;

const step =
  (value: (step: Readonly<Step>) => number): Column =>
  (moment) =>
    value(moment.step);

/** What only a drive with the store has; empty in one without. */
const ofStore =
  (value: (moment: Moment) => number | string): Column =>
  (moment) =>
    moment.label.store === 'none' ? null : value(moment);

/**
 * Every column, in order. `time_s` and `distance_m` are those at the row's start; speed, forces and
 * powers are means over it; stored energy and rotor speed are those at its end. A force is a power at
 * the wheels over the mean speed.
 */
const COLUMNS: { readonly [header: string]: Column } = {
  manoeuvre: ({ label }) => label.manoeuvre,
  store: ({ label }) => label.store,
  time_s: step((row) => row.time),
  duration_s: step((row) => row.dt),
  speed_kmh: step((row) => row.speed / KMH),
  distance_m: ({ distance }) => distance,
  acceleration_m_per_s2: step((row) => row.acceleration),
  gear: step((row) => row.gear),
  engine_speed_rpm: step((row) => row.engineSpeed / RPM),
  engine_power_kW: step((row) => row.engineBrake / KILO),
  engine_limit: ({ engineLimit }) => ENGINE_LIMITS[engineLimit]!,
  store_power_kW: ofStore((moment) => moment.step.store / KILO),
  store_energy_kJ: ofStore(
    (moment) => rotorEnergy(moment.store.rotor, moment.step.rotorSpeed) / KILO,
  ),
  rotor_speed_rpm: ofStore((moment) => moment.step.rotorSpeed / RPM),
  store_limit: ofStore((moment) => LIMITS[moment.step.limit]!),
  wheel_force_N: step((row) => row.wheel / row.speed),
  engine_force_N: step((row) => row.engineWheel / row.speed),
  store_force_N: ofStore(({ step: row }) => row.store / row.speed),
  road_force_N: step((row) => (row.aerodynamic + row.rolling + row.grade) / row.speed),
  launch_slip_kW: step((row) => row.launchSlip / KILO),
  shift_loss_kW: step((row) => row.shiftLoss / KILO),
  store_slip_loss_kW: ofStore((moment) => moment.step.storeSlipLoss / KILO),
  store_transmission_loss_kW: ofStore((moment) => moment.step.storeTransmissionLoss / KILO),
  fuel_g_per_s: ({ step: row, heatingValue }) => row.fuel / heatingValue / GRAM,
};

/** Headers of a trace of a sprint, in order. */
export const SPRINT_TRACE_COLUMNS: readonly string[] = Object.keys(COLUMNS);
const CELLS: readonly Column[] = Object.values(COLUMNS);

/** Characters that are gathered before they are written. */
const CHUNK = 1 << 16;

/**
 * Drives a sprint once more and writes its intervals, all drives one below the other.
 * @param car without a store
 * @param store
 * @param conditions
 * @param write takes the next piece of text; what it throws ends the trace
 * @param dialect
 */
export function writeSprintTrace(
  car: Car,
  store: Store,
  conditions: SprintConditions,
  write: (text: string) => void,
  dialect: CsvDialect = PLAIN_DIALECT,
): void {
  const { heatingValue } = car.engine.fuel;
  let text = `${SPRINT_TRACE_COLUMNS.join(dialect.delimiter)}\n`;
  sprint(car, store, conditions, (label, row, distance, engineLimit) => {
    const moment = { label, step: row, distance, engineLimit, store, heatingValue };
    text += `${CELLS.map((cell) => csvCell(cell(moment), dialect)).join(dialect.delimiter)}\n`;
    if (text.length < CHUNK) return;
    write(text);
    text = '';
  });
  write(text);
}
