import { DefectError } from '../config/problem.ts';
import { LIMIT, LIMITS } from '../physics/limit.ts';
import type { State } from './state.ts';
import type { Step } from './step.ts';

/** Largest imbalance of a node, over the energy moved through it, that rounding can explain. */
export const CLOSURE_LIMIT = 1e-9;

/**
 * Every joule of a run in one line: sums over intervals of the step's powers [J], with what is
 * counted beside them. Its nodes are checked when the run ends; a run that does not close is a
 * defect of the program, never a result.
 */
export class Ledger {
  duration = 0;
  distance = 0;

  /** Fuel node: fuel + drag from the wheels + starter = all that follows. */
  fuel = 0;
  engineDrag = 0;
  starterWork = 0;
  engineHeat = 0;
  /** Rotating node: shaft work into rotating parts + starter = shift loss + change of their energy. */
  rotating = 0;
  shiftLoss = 0;
  accessories = 0;
  launchSlip = 0;
  gearboxLoss = 0;
  finalDriveLoss = 0;
  engineWheel = 0;

  /** Wheel node: the four parts of the demand = engine + store − brakes − drag + shortfall. */
  aerodynamic = 0;
  rolling = 0;
  grade = 0;
  kinetic = 0;
  brakes = 0;
  shortfall = 0;
  /** Positive and negative parts of the demand at the wheels */
  traction = 0;
  braking = 0;

  /** Store node: recovered − losses − assisted = change of stored energy. */
  recoveredBraking = 0;
  recoveredFromEngine = 0;
  assisted = 0;
  storeTransmissionLoss = 0;
  storeSlipLoss = 0;
  storeDragLoss = 0;
  storeChange = 0;

  /** Electric node: alternator + rise of debt = load + starter + losses. */
  electricLoad = 0;
  starter = 0;
  alternatorLoss = 0;
  batteryLoss = 0;
  debtChange = 0;

  /** Braking energy the store did not take, by limit (index into LIMITS) [J] */
  readonly missed = new Float64Array(LIMITS.length);
  /** Time each limit bit [s] */
  readonly limitTime = new Float64Array(LIMITS.length);

  engineStarts = 0;
  engineOnTime = 0;
  /** Engine off while the car moves [s] */
  engineOffDriving = 0;
  standstillTime = 0;
  shortfallTime = 0;
  /** Engine above its greatest speed [s] */
  overspeedTime = 0;
  /** Engine map read outside its measured field [s] */
  outsideMapTime = 0;
  /** Lowest rotor speed at the end of any interval; infinite before the first [rad/s] */
  lowestRotorSpeed = Number.POSITIVE_INFINITY;
  /** Engine revolutions × torque moments, for the marginal cost of a table: mean speed and brake */
  private engineSpeedTime = 0;
  private engineWorkOn = 0;

  /** Engine to wheels while braking: its rotating parts gave more than its overrun took [J] */
  private enginePush = 0;
  /** Fuel burned by a clutched engine against brakes or store [J]: always 0, or the order is wrong */
  private fuelAgainstBrakes = 0;
  private lowest = 0;
  private lowestLine = '';

  /**
   * Adds one interval.
   * @param step as settled
   * @param maxEngineSpeed [rad/s]
   */
  add(step: Step, maxEngineSpeed: number): void {
    const { dt } = step;
    this.duration += dt;
    this.distance += step.speed * dt;

    this.fuel += step.fuel * dt;
    this.engineDrag += step.engineDrag * dt;
    this.starterWork += step.starterWork * dt;
    this.engineHeat += (step.fuel - step.engineBrake) * dt;
    this.rotating += step.rotating * dt;
    this.shiftLoss += step.shiftLoss * dt;
    this.accessories += step.accessories * dt;
    this.launchSlip += step.launchSlip * dt;
    this.gearboxLoss += step.gearboxLoss * dt;
    this.finalDriveLoss += step.finalDriveLoss * dt;
    this.engineWheel += step.engineWheel * dt;

    this.aerodynamic += step.aerodynamic * dt;
    this.rolling += step.rolling * dt;
    this.grade += step.grade * dt;
    this.kinetic += step.kinetic * dt;
    this.brakes += step.brakes * dt;
    this.shortfall += step.shortfall * dt;
    if (step.wheel > 0) this.traction += step.wheel * dt;
    else {
      this.braking -= step.wheel * dt;
      this.enginePush += step.engineWheel * dt;
    }

    if (step.store > 0) this.assisted += step.store * dt;
    else if (step.wheel > 0) this.recoveredFromEngine -= step.store * dt;
    else this.recoveredBraking -= step.store * dt;
    this.storeTransmissionLoss += step.storeTransmissionLoss * dt;
    this.storeSlipLoss += step.storeSlipLoss * dt;
    this.storeDragLoss += step.storeDragLoss * dt;

    this.electricLoad += step.electricLoad * dt;
    this.starter += step.starter * dt;
    this.alternatorLoss += step.alternatorLoss * dt;
    this.batteryLoss += step.batteryLoss * dt;
    this.debtChange += step.debtChange * dt;

    const { missed } = this;
    missed[LIMIT.engineDrag] = missed[LIMIT.engineDrag]! + step.missedToDrag * dt;
    missed[LIMIT.strategy] = missed[LIMIT.strategy]! + step.missedByStrategy * dt;
    missed[step.recoverLimit] = missed[step.recoverLimit]! + step.missedByLimit * dt;
    this.limitTime[step.limit] = this.limitTime[step.limit]! + dt;

    if (step.engineOn) {
      this.engineOnTime += dt;
      this.engineSpeedTime += step.engineSpeed * dt;
      if (step.engineBrake > 0) this.engineWorkOn += step.engineBrake * dt;
      if (step.engineStarted) this.engineStarts++;
      if (step.engineSpeed > maxEngineSpeed) this.overspeedTime += dt;
      if (step.outsideMap) this.outsideMapTime += dt;
    } else if (step.speed > 0) this.engineOffDriving += dt;
    if (step.speed === 0) this.standstillTime += dt;
    if (step.shortfall > 0) this.shortfallTime += dt;
    if (step.rotorSpeed < this.lowestRotorSpeed) this.lowestRotorSpeed = step.rotorSpeed;

    this.watch(step);
  }

  /** Signs that no sum could show: a loss that gives, or fuel burned against the brakes. */
  private watch(step: Step): void {
    if (step.clutched && step.wheel <= 0 && (step.brakes > 0 || step.store < 0)) {
      this.fuelAgainstBrakes += step.engineStarted ? 0 : step.fuel * step.dt;
    }
    if (step.brakes < this.lowest) this.note(step.brakes, 'friction brakes');
    if (step.shortfall < this.lowest) this.note(step.shortfall, 'shortfall');
    if (step.engineWheel < this.lowest) this.note(step.engineWheel, 'engine at the wheels');
    if (step.engineDrag < this.lowest) this.note(step.engineDrag, 'engine drag');
    if (step.launchSlip < this.lowest) this.note(step.launchSlip, 'launch slip');
    if (step.gearboxLoss < this.lowest) this.note(step.gearboxLoss, 'gearbox loss');
    if (step.finalDriveLoss < this.lowest) this.note(step.finalDriveLoss, 'final drive loss');
    if (step.shiftLoss < this.lowest) this.note(step.shiftLoss, 'shift loss');
    if (step.accessories < this.lowest) this.note(step.accessories, 'accessories');
    if (step.alternatorLoss < this.lowest) this.note(step.alternatorLoss, 'alternator loss');
    if (step.batteryLoss < this.lowest) this.note(step.batteryLoss, 'battery loss');
    if (step.storeSlipLoss < this.lowest) this.note(step.storeSlipLoss, 'store slip');
    if (step.storeTransmissionLoss < this.lowest) {
      this.note(step.storeTransmissionLoss, 'store transmission loss');
    }
    if (step.storeDragLoss < this.lowest) this.note(step.storeDragLoss, 'rotor drag');
  }

  private note(power: number, line: string): void {
    this.lowest = power;
    this.lowestLine = line;
  }

  /** Mean engine speed while it ran [rad/s]. */
  get meanEngineSpeed(): number {
    return this.engineSpeedTime / this.engineOnTime;
  }

  /** Mean positive brake power while the engine ran [W]. */
  get meanEngineBrake(): number {
    return this.engineWorkOn / this.engineOnTime;
  }

  /**
   * Checks every node against the states at the ends of the run.
   * @param start state before the first interval
   * @param end state after the last
   * @param engineInertia [kg m²]
   * @param rotorInertia [kg m²], 0 without a store
   * @returns largest imbalance over the energy moved through its node
   * @throws DefectError above CLOSURE_LIMIT, on a negative loss, or on fuel burned against brakes
   */
  close(start: State, end: State, engineInertia: number, rotorInertia: number): number {
    // What turns rounds with all it holds, so that both ends count as moved energy.
    const heldStart = 0.5 * rotorInertia * start.rotorSpeed * start.rotorSpeed;
    const heldEnd = 0.5 * rotorInertia * end.rotorSpeed * end.rotorSpeed;
    const turningStart = 0.5 * engineInertia * start.engineSpeed * start.engineSpeed;
    const turningEnd = 0.5 * engineInertia * end.engineSpeed * end.engineSpeed;
    this.storeChange = heldEnd - heldStart;
    const nodes: readonly (readonly [string, readonly number[], readonly number[]])[] = [
      [
        'fuel',
        [this.fuel, this.engineDrag, this.starterWork],
        [
          this.engineHeat,
          turningEnd - turningStart,
          this.shiftLoss,
          this.accessories,
          this.launchSlip,
          this.gearboxLoss,
          this.finalDriveLoss,
          this.engineWheel,
        ],
      ],
      ['rotating', [turningStart, this.rotating, this.starterWork], [this.shiftLoss, turningEnd]],
      [
        'wheel',
        [this.aerodynamic, this.rolling, this.grade, this.kinetic],
        [
          this.engineWheel,
          this.assisted,
          -this.recoveredBraking,
          -this.recoveredFromEngine,
          -this.brakes,
          -this.engineDrag,
          this.shortfall,
        ],
      ],
      [
        'store',
        [heldStart, this.recoveredBraking, this.recoveredFromEngine],
        [
          this.storeTransmissionLoss,
          this.storeSlipLoss,
          this.storeDragLoss,
          this.assisted,
          heldEnd,
        ],
      ],
      [
        'electric',
        [this.accessories, end.batteryDebt - start.batteryDebt],
        [this.electricLoad, this.starter, this.alternatorLoss, this.batteryLoss],
      ],
      [
        'braking',
        [this.braking],
        [this.brakes, this.recoveredBraking, this.engineDrag, -this.enginePush],
      ],
    ];
    let worst = 0;
    for (const [name, into, out] of nodes) {
      const imbalance = Math.abs(sum(into) - sum(out));
      const moved = sum(into.map(Math.abs)) + sum(out.map(Math.abs));
      const relative = moved === 0 ? 0 : imbalance / moved;
      if (!(relative <= CLOSURE_LIMIT)) {
        throw new DefectError(
          `the ${name} ledger does not close: ${imbalance} J of ${moved} J moved are unaccounted for`,
        );
      }
      if (relative > worst) worst = relative;
    }
    if (this.fuelAgainstBrakes > 0) {
      throw new DefectError(
        `${this.fuelAgainstBrakes} J of fuel were burned by a clutched engine against brakes or store`,
      );
    }
    if (this.lowest < -1e-6) {
      throw new DefectError(`${this.lowestLine} is negative: ${this.lowest} W`);
    }
    return worst;
  }
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
