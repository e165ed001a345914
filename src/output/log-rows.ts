import { newStep, type Step } from '../simulate/step.ts';

/** Two instants this close are the same: over the length of a row, and over the clock itself. */
const SAME_OVER_ROW = 1e-9;
const SAME_OVER_CLOCK = 1e-15;

/** Powers and speeds of a row are means over it. The car's speed and its road are worked out apart. */
const MEANS = [
  'acceleration',
  'wheel',
  'aerodynamic',
  'rolling',
  'grade',
  'kinetic',
  'engineSpeed',
  'engineBrake',
  'fuel',
  'engineWheel',
  'engineDrag',
  'accessories',
  'rotating',
  'shiftLoss',
  'starterWork',
  'launchSlip',
  'gearboxLoss',
  'finalDriveLoss',
  'store',
  'storeTransmissionLoss',
  'storeSlipLoss',
  'storeDragLoss',
  'brakes',
  'shortfall',
  'electricLoad',
  'starter',
  'alternatorLoss',
  'batteryLoss',
  'debtChange',
  'missedToDrag',
  'missedByLimit',
  'missedByStrategy',
] as const satisfies readonly (keyof Step)[];

/** Takes a finished row: means and states as in a step, and how often the engine started in it. */
export type RowSink = (row: Readonly<Step>, starts: number) => void;

/** States at the start of the first interval. */
export interface RowStart {
  /** [rad/s] */
  readonly rotorSpeed: number;
  /** [J] */
  readonly batteryDebt: number;
}

/**
 * Turns intervals of any lengths into rows of one length. An interval that reaches over the end of
 * a row is shared out by time: its powers are constant, its speed is linear, and the energies of
 * rotor and battery run linearly from its start to its end. So every row holds exact means, and
 * powers times durations add up to the same as before. What cannot be averaged (gear, clutch,
 * engine on, limit) is that which lasted longest, the first in the list of two as long. The last
 * row is as short as the drive leaves it.
 *
 * Holds one row and nothing else, so memory does not grow with the drive.
 */
export class LogRows {
  private readonly every: number;
  private readonly sink: RowSink;
  private readonly row: Step = newStep();
  /** Rows handed on */
  private count = 0;
  private startTime = Number.NaN;
  /** State at the start of the interval being added */
  private rotorSpeed: number;
  private batteryDebt: number;

  private climb = 0;
  private starts = 0;
  private outside = false;
  private held = 0;
  private readonly gearTime = new Float64Array(256);
  private readonly limitTime = new Float64Array(256);
  private readonly recoverLimitTime = new Float64Array(256);
  private onTime = 0;
  private clutchedTime = 0;

  /**
   * @param every length of a row [s], above 0
   * @param start states before the first interval
   * @param sink takes each row; the step it is given is used again for the next
   */
  constructor(every: number, start: RowStart, sink: RowSink) {
    if (!(every > 0)) throw new RangeError(`a row lasts more than 0 s, not ${every}`);
    this.every = every;
    this.sink = sink;
    this.rotorSpeed = start.rotorSpeed;
    this.batteryDebt = start.batteryDebt;
    this.clear();
  }

  /** Takes in the next interval. */
  add(step: Readonly<Step>): void {
    const { dt } = step;
    if (Number.isNaN(this.startTime)) this.startTime = step.time;
    if (step.engineStarted) this.starts++;
    const elapsed = step.time - this.startTime;
    const same = SAME_OVER_ROW * this.every + SAME_OVER_CLOCK * Math.abs(step.time);
    let at = 0;
    for (;;) {
      const end = (this.count + 1) * this.every - elapsed;
      if (end > dt + same) break;
      const inside = end < dt - same;
      this.take(step, at, inside ? end : dt);
      this.close(step, inside ? end / dt : 1, this.every);
      at = inside ? end : dt;
      if (!inside) break;
    }
    if (at < dt) this.take(step, at, dt);
    this.rotorSpeed = step.rotorSpeed;
    this.batteryDebt = step.batteryDebt;
    this.row.rotorSpeed = step.rotorSpeed;
    this.row.batteryDebt = step.batteryDebt;
  }

  /** Hands on the last row, if the drive ended within one. */
  finish(): void {
    if (this.held > 0) this.emit(this.held);
  }

  /** Adds the part of an interval from one instant to another, in seconds from its start. */
  private take(step: Readonly<Step>, from: number, to: number): void {
    const { row } = this;
    const time = to - from;
    const speed = step.speed + step.acceleration * 0.5 * (from + to - step.dt);
    for (const key of MEANS) row[key] += step[key] * time;
    row.speed += speed * time;
    this.climb += step.sine * speed * time;
    this.gearTime[step.gear] = this.gearTime[step.gear]! + time;
    this.limitTime[step.limit] = this.limitTime[step.limit]! + time;
    this.recoverLimitTime[step.recoverLimit] = this.recoverLimitTime[step.recoverLimit]! + time;
    if (step.engineOn) this.onTime += time;
    if (step.clutched) this.clutchedTime += time;
    if (step.outsideMap) this.outside = true;
    this.held += time;
  }

  /** Ends the row within an interval, `share` of it gone. */
  private close(step: Readonly<Step>, share: number, duration: number): void {
    const { row, rotorSpeed: from, batteryDebt } = this;
    const to = step.rotorSpeed;
    row.rotorSpeed = share === 1 ? to : Math.sqrt(from * from + share * (to * to - from * from));
    const owed = step.batteryDebt;
    row.batteryDebt = share === 1 ? owed : batteryDebt + share * (owed - batteryDebt);
    this.emit(duration);
  }

  private emit(duration: number): void {
    const { row } = this;
    row.time = this.startTime + this.count * this.every;
    row.dt = duration;
    row.sine = row.speed > 0 ? this.climb / row.speed : 0;
    for (const key of MEANS) row[key] /= duration;
    row.speed /= duration;
    row.gear = longest(this.gearTime);
    row.limit = longest(this.limitTime);
    row.recoverLimit = longest(this.recoverLimitTime);
    row.engineOn = this.onTime >= 0.5 * this.held;
    row.clutched = this.clutchedTime >= 0.5 * this.held;
    row.engineStarted = this.starts > 0;
    row.outsideMap = this.outside;
    this.sink(row, this.starts);
    this.count++;
    this.clear();
  }

  private clear(): void {
    const { row } = this;
    for (const key of MEANS) row[key] = 0;
    row.speed = 0;
    this.climb = 0;
    this.starts = 0;
    this.outside = false;
    this.held = 0;
    this.gearTime.fill(0);
    this.limitTime.fill(0);
    this.recoverLimitTime.fill(0);
    this.onTime = 0;
    this.clutchedTime = 0;
  }
}

/** Index of the greatest time, the first of several. */
function longest(times: Float64Array): number {
  let best = 0;
  for (let i = 1; i < times.length; i++) if (times[i]! > times[best]!) best = i;
  return best;
}
