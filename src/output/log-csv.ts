import { GRAM, KILO, KMH, PERCENT, RPM } from '../config/units.ts';
import { LIMITS } from '../physics/limit.ts';
import { rotorEnergy } from '../physics/rotor.ts';
import { type Case, type CaseResult, replay } from '../simulate/case.ts';
import type { Step } from '../simulate/step.ts';
import { csvCell } from './csv-cell.ts';
import { type CsvDialect, PLAIN_DIALECT } from './csv-dialect.ts';
import { LogRows } from './log-rows.ts';

/**
 * The log of the balanced lap, one CSV row an interval of the trace (or a row each so many seconds).
 *
 * `time_s` is the start of the row. Speeds and powers are means over the row; states
 * (`store_energy_kJ`, `rotor_speed_rpm`, `battery_debt_kJ`) are those at its end. So a power times
 * `duration_s`, added up, is the energy of the ledger, and the stored energy of a row less that of
 * the row before is what went into the store.
 *
 * Powers at the wheel are positive where they drive the car and negative where they slow it;
 * `store_power_kW` is positive where the store assists. Losses, brakes, engine drag and missed
 * recovery are positive amounts. `engine_power_kW` is net power at the engine's shaft, negative
 * while it is dragged; `store_energy_kJ` is the rotor's whole kinetic energy, that below the
 * working range with it.
 */

/** Characters that are gathered before they are written. */
const CHUNK = 1 << 16;

/** What a row needs beside the step itself. */
interface LogScale {
  /** [J/kg] */
  readonly heatingValue: number;
  /** Energy of the rotor [J] at a speed [rad/s] */
  readonly energy: (rotorSpeed: number) => number;
}

type Cell = (row: Readonly<Step>, scale: LogScale, starts: number) => number | string;

const kW =
  (power: (row: Readonly<Step>) => number): Cell =>
  (row) =>
    power(row) / KILO;
const flag = (on: boolean) => (on ? 1 : 0);

/** Every column, in order: the first thirteen are always there, others only follow them. */
const COLUMNS: { readonly [header: string]: Cell } = {
  time_s: (row) => row.time,
  speed_kmh: (row) => row.speed / KMH,
  wheel_power_kW: kW((row) => row.wheel),
  engine_power_kW: kW((row) => row.engineBrake),
  engine_speed_rpm: (row) => row.engineSpeed / RPM,
  gear: (row) => row.gear,
  engine_on: (row) => flag(row.engineOn),
  fuel_g_per_s: (row, { heatingValue }) => row.fuel / heatingValue / GRAM,
  store_power_kW: kW((row) => row.store),
  store_energy_kJ: (row, { energy }) => energy(row.rotorSpeed) / KILO,
  rotor_speed_rpm: (row) => row.rotorSpeed / RPM,
  brake_power_kW: kW((row) => row.brakes),
  limit: (row) => LIMITS[row.limit]!,
  duration_s: (row) => row.dt,
  acceleration_m_per_s2: (row) => row.acceleration,
  grade_pct: (row) => row.sine / Math.sqrt(1 - row.sine * row.sine) / PERCENT,
  aerodynamic_power_kW: kW((row) => row.aerodynamic),
  rolling_power_kW: kW((row) => row.rolling),
  grade_power_kW: kW((row) => row.grade),
  kinetic_power_kW: kW((row) => row.kinetic),
  engine_wheel_power_kW: kW((row) => row.engineWheel),
  engine_drag_power_kW: kW((row) => row.engineDrag),
  shortfall_kW: kW((row) => row.shortfall),
  accessories_kW: kW((row) => row.accessories),
  engine_rotation_kW: kW((row) => row.rotating),
  shift_loss_kW: kW((row) => row.shiftLoss),
  starter_work_kW: kW((row) => row.starterWork),
  launch_slip_kW: kW((row) => row.launchSlip),
  gearbox_loss_kW: kW((row) => row.gearboxLoss),
  final_drive_loss_kW: kW((row) => row.finalDriveLoss),
  store_transmission_loss_kW: kW((row) => row.storeTransmissionLoss),
  store_slip_loss_kW: kW((row) => row.storeSlipLoss),
  rotor_drag_kW: kW((row) => row.storeDragLoss),
  electric_load_kW: kW((row) => row.electricLoad),
  starter_electric_kW: kW((row) => row.starter),
  alternator_loss_kW: kW((row) => row.alternatorLoss),
  battery_loss_kW: kW((row) => row.batteryLoss),
  battery_debt_kJ: (row) => row.batteryDebt / KILO,
  missed_to_engine_drag_kW: kW((row) => row.missedToDrag),
  missed_by_limit_kW: kW((row) => row.missedByLimit),
  missed_by_strategy_kW: kW((row) => row.missedByStrategy),
  clutched: (row) => flag(row.clutched),
  engine_started: (_row, _scale, starts) => starts,
};

/** Headers of a log, in order. */
export const LOG_COLUMNS: readonly string[] = Object.keys(COLUMNS);
const CELLS: readonly Cell[] = Object.values(COLUMNS);

/**
 * Drives the balanced lap of a case once more and writes its log, piece by piece, so that memory
 * does not grow with the drive.
 * @param subject the case
 * @param result what `runCase` gave for it
 * @param write takes the next piece of text; what it throws ends the log
 * @param every length of a row [s]; left out, each interval of the trace is a row
 * @param dialect
 */
export function writeLog(
  subject: Case,
  result: CaseResult,
  write: (text: string) => void,
  every?: number,
  dialect = PLAIN_DIALECT,
): void {
  const scale: LogScale = {
    heatingValue: result.fittedCar.engine.fuel.heatingValue,
    energy: (rotorSpeed) => rotorEnergy(subject.store.rotor, rotorSpeed),
  };
  let text = `${LOG_COLUMNS.join(dialect.delimiter)}\n`;
  const add = (row: Readonly<Step>, starts: number) => {
    text += rowText(row, scale, starts, dialect);
    if (text.length < CHUNK) return;
    write(text);
    text = '';
  };
  if (every === undefined) {
    replay(subject, result, (step) => add(step, flag(step.engineStarted)));
  } else {
    const rows = new LogRows(every, result.withStore.run.start, add);
    replay(subject, result, (step) => rows.add(step));
    rows.finish();
  }
  write(text);
}

function rowText(
  row: Readonly<Step>,
  scale: LogScale,
  starts: number,
  dialect: CsvDialect,
): string {
  let line = '';
  for (let i = 0; i < CELLS.length; i++) {
    line += (i === 0 ? '' : dialect.delimiter) + csvCell(CELLS[i]!(row, scale, starts), dialect);
  }
  return `${line}\n`;
}
