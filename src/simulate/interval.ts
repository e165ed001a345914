import { rechargePower } from '../physics/electrics.ts';
import { frictionPower, fuelPower, warmUpFactor } from '../physics/engine.ts';
import { LIMIT } from '../physics/limit.ts';
import { rotorEnergy } from '../physics/rotor.ts';
import {
  carry,
  type Envelope,
  newEnvelope,
  newTransfer,
  type Store,
  storeEnvelope,
  type Transfer,
  type WheelCaps,
  worthRecovering,
} from '../physics/store.ts';
import { newOutcome, newView, type Outcome, type View, type Want } from '../strategy/contract.ts';
import type { Car } from './car.ts';
import type { Demand } from './demand.ts';
import { assignState, initialState, type State } from './state.ts';
import { newStep, type Step } from './step.ts';
import { usualMarginalFuel } from './total-fuel.ts';

/** A power this small beside the demand at the wheels is rounding: no task for the engine, no shortfall. */
const ROUNDING = 1e-9;

/**
 * A running engine may stop once the battery's debt is down to this share of its limit. Were it let
 * off as soon as the debt is below the limit, it would start and stop every few seconds there, each
 * start owing more than the short run paid back. Any share well below 1 gives the same fuel.
 */
export const DEBT_TO_STOP = 0.5;

/**
 * The physics of one interval, in the order in which it must be settled:
 *   look   — demand, store envelope, engine drag or limit: what a strategy may see;
 *   settle — engine on or off, wheel balance, store, engine, electrics: what became of its wish.
 * In braking the order is engine drag, then store, then friction brakes. The other way round a
 * clutched engine would burn fuel against the store.
 *
 * Nothing is allocated after construction. The state is handed in, so that a solver can try one
 * interval from many states.
 */
export class Interval {
  readonly view: View = newView();
  readonly step: Step = newStep();

  private readonly car: Car;
  private readonly store: Store | undefined;
  private readonly envelope: Envelope = newEnvelope();
  private readonly transfer: Transfer = newTransfer();
  private readonly caps: WheelCaps = { recover: 0, recoverLimit: 0, assist: 0, assistLimit: 0 };
  private readonly usableTop: number;
  private readonly usableBottom: number;
  private readonly tried: State;
  private readonly outcome: Outcome = newOutcome();

  /** What `look` worked out for a running, clutched engine. */
  private friction = 0;
  private warmFriction = 0;
  private alternator = 0;
  private recharge = 0;
  private inputSpeed = 0;
  private meanSpeed = 0;
  private startSpeed = 0;
  private endSpeed = 0;
  private slipping = false;
  private drag = 0;
  private engineLimit = 0;
  /**
   * What the store's envelope was last worked out for, and the power that it was moved by from there.
   * Whoever tries one interval from many states asks for the same again and again.
   */
  private lookedDemand: Demand | undefined;
  private lookedTime = Number.NaN;
  private lookedSpeed = Number.NaN;
  private movedBy = Number.NaN;

  constructor(car: Car, store: Store | undefined) {
    this.car = car;
    this.store = store;
    this.usableBottom = store === undefined ? 0 : rotorEnergy(store.rotor, store.rotor.minSpeed);
    this.usableTop = store === undefined ? 0 : rotorEnergy(store.rotor, store.rotor.maxSpeed);
    this.tried = initialState(car, store);
    const { electrics, engine } = car;
    this.view.startFuel = engine.restart.fuelEnergy;
    this.view.startDebt = engine.restart.electricalEnergy / electrics.batteryEfficiency;
    this.view.debtPrice = usualMarginalFuel(engine) / electrics.alternatorEfficiency;
  }

  /**
   * Fills the view for an interval.
   * @param demand block that holds it
   * @param i index within the block
   * @param state at its start
   */
  look(demand: Demand, i: number, state: State): void {
    const { step, view } = this;
    const { electrics } = this.car;
    const dt = demand.dt[i]!;
    const wheel = demand.wheel[i]!;
    step.time = demand.time[i]!;
    step.dt = dt;
    step.speed = demand.speed[i]!;
    step.acceleration = demand.acceleration[i]!;
    step.sine = demand.sine[i]!;
    step.wheel = wheel;
    step.aerodynamic = demand.aerodynamic[i]!;
    step.rolling = demand.rolling[i]!;
    step.grade = demand.grade[i]!;
    step.kinetic = demand.kinetic[i]!;
    step.gear = demand.gear[i]!;

    this.recharge = rechargePower(electrics, state.batteryDebt, dt);
    this.alternator = (electrics.load + this.recharge) / electrics.alternatorEfficiency;
    this.lookAtEngine(demand, i, state);
    this.lookAtStore(demand, i, state);

    view.time = step.time;
    view.duration = dt;
    view.speed = step.speed;
    view.acceleration = step.acceleration;
    view.grade = step.sine;
    view.wheelPower = wheel;
    view.engineDrag = Math.max(this.drag, 0);
    view.engineLimit = this.engineLimit;
    view.gear = step.gear;
    this.lookAtPermission(state);
  }

  /**
   * Fills of the view what may be done with the engine. By itself it serves for a state that differs
   * from the one looked at only in the engine's time, and in a debt that is repaid at the same rate.
   * @param state at the start of the interval
   */
  lookAtPermission(state: Readonly<State>): void {
    const { view } = this;
    const { electrics, engine } = this.car;
    view.batteryDebt = state.batteryDebt;
    view.engineOn = state.engineOn;
    view.engineTime = state.engineTime;
    view.stopAllowed = state.engineOn
      ? state.batteryDebt < DEBT_TO_STOP * electrics.debtLimit &&
        state.engineTime >= engine.restart.minimumOn &&
        state.runningTime >= engine.warmUp.noStopBefore
      : state.batteryDebt < electrics.debtLimit;
  }

  /** Engine in gear with its clutch closed: its speeds, friction, and what it takes or can give. */
  private lookAtEngine(demand: Demand, i: number, state: State): void {
    const { engine, gearbox } = this.car;
    const { dt, wheel, gear } = this.step;
    const inputStart = demand.inputStart[i]!;
    const inputEnd = demand.inputEnd[i]!;
    const input = 0.5 * (inputStart + inputEnd);
    const held = gearbox.launch.engagementSpeed;
    this.inputSpeed = input;
    this.slipping = input < held;
    this.startSpeed = this.slipping || inputStart < held ? held : inputStart;
    this.endSpeed = this.slipping || inputEnd < held ? held : inputEnd;
    this.meanSpeed = this.slipping ? held : input;
    this.drag = 0;
    this.engineLimit = 0;

    const efficiency = gearbox.efficiency[gear - 1]! * gearbox.finalDriveEfficiency;
    const factor = warmUpFactor(engine.warmUp, state.runningTime + 0.5 * dt);
    if (wheel > 0) {
      this.warmFriction = frictionPower(engine, this.meanSpeed);
      this.friction = this.warmFriction * factor;
      const shaft =
        engine.fullLoad.at(this.meanSpeed) * this.meanSpeed -
        this.alternator -
        this.rotatingPower(this.startSpeed);
      const through = this.slipping ? (shaft * input) / held : shaft;
      const limit = (through - gearbox.dragTorque * input) * efficiency;
      this.engineLimit = Math.max(limit, 0);
    } else if (input >= engine.cutSpeed) {
      this.startSpeed = Math.max(inputStart, engine.idleSpeed);
      this.endSpeed = Math.max(inputEnd, engine.idleSpeed);
      this.meanSpeed = input;
      this.slipping = false;
      this.warmFriction = frictionPower(engine, input);
      this.friction = this.warmFriction * factor;
      const absorbed =
        this.friction +
        this.alternator +
        this.rotatingPower(this.paidFrom(state)) +
        gearbox.dragTorque * input;
      this.drag = absorbed > 0 ? absorbed / efficiency : absorbed * efficiency;
    }
  }

  /** Power that takes the engine's rotating parts from a speed to that at the interval's end [W]. */
  private rotatingPower(from: number): number {
    const { inertia } = this.car.engine;
    return (0.5 * inertia * (this.endSpeed * this.endSpeed - from * from)) / this.step.dt;
  }

  /**
   * Speed from which the rotating parts are paid for at the shaft. A leap up at the interval's start
   * (downshift, clutching in) is paid with what follows; a fall is lost as heat and comes back as
   * nothing. A leap takes no time and so nothing from the engine's limit, however short the interval.
   */
  private paidFrom(state: State): number {
    const from = state.engineOn ? state.engineSpeed : this.car.engine.idleSpeed;
    return Math.min(from, this.startSpeed);
  }

  private lookAtStore(demand: Demand, i: number, state: State): void {
    const { step, view, envelope, store } = this;
    if (store === undefined) return;
    if (
      step.time !== this.lookedTime ||
      state.rotorSpeed !== this.lookedSpeed ||
      demand !== this.lookedDemand
    ) {
      this.lookedTime = step.time;
      this.lookedSpeed = state.rotorSpeed;
      this.lookedDemand = demand;
      this.movedBy = Number.NaN;
      this.findEnvelope(store, demand, i, state);
    }
    const energy = rotorEnergy(store.rotor, state.rotorSpeed) - this.usableBottom;
    view.storeEnergy = energy;
    view.storeShare = energy / (this.usableTop - this.usableBottom);
    if (step.wheel > 0) {
      const spare = this.engineLimit - step.wheel;
      view.assistLimit = Math.min(envelope.assist, step.wheel);
      view.recoverLimit = spare > 0 ? Math.min(envelope.recover, spare) : 0;
    } else {
      view.assistLimit = 0;
      view.recoverLimit = envelope.recover;
    }
  }

  /** Most that the store can take and give in the interval. */
  private findEnvelope(store: Store, demand: Demand, i: number, state: State): void {
    const { step, envelope, caps } = this;
    if (step.speed > 0) {
      caps.recover = demand.recoverCap[i]!;
      caps.recoverLimit = demand.recoverLimit[i]!;
      caps.assist = demand.assistCap[i]!;
      caps.assistLimit = demand.assistLimit[i]!;
      storeEnvelope(
        store,
        state.rotorSpeed,
        step.speed / this.car.tyreRadius,
        step.dt,
        caps,
        step.wheel,
        envelope,
      );
    } else {
      envelope.recover = 0;
      envelope.recoverLimit = LIMIT.none;
      envelope.assist = 0;
      envelope.assistLimit = LIMIT.none;
    }
  }

  /**
   * Settles the interval that `look` has prepared: fills the step and moves the state to its end.
   * @param want of the strategy, already held against the envelope
   * @param state at its start; at its end on return
   */
  settle(want: Want, state: State): void {
    const { step } = this;
    const driving = step.wheel > 0;
    const carried = driving && this.carries(want);
    const on = this.engineRuns(want, state, driving && !carried);
    const started = on && !state.engineOn;

    step.engineOn = on;
    step.engineStarted = started;
    step.outsideMap = false;
    step.engineDrag = 0;
    step.engineWheel = 0;
    step.launchSlip = 0;
    step.gearboxLoss = 0;
    step.finalDriveLoss = 0;
    step.brakes = 0;
    step.shortfall = 0;
    step.missedToDrag = 0;
    step.missedByLimit = 0;
    step.missedByStrategy = 0;
    step.recoverLimit = LIMIT.none;
    step.limit = LIMIT.none;

    let storePower: number;
    let clutched = false;
    let fuelCut = false;
    if (driving) {
      storePower = carried ? step.wheel : want.storePower;
      if (storePower < 0 && !this.recoverable(-storePower)) {
        storePower = 0;
        step.limit = LIMIT.spinLoss;
      }
      const asked = step.wheel - storePower;
      clutched = on && (!carried || (want.clutched && !this.slipping));
      const lacking = asked - this.engineLimit;
      step.shortfall = lacking > ROUNDING * step.wheel ? lacking : 0;
      step.engineWheel = asked - step.shortfall;
      if (storePower > 0 && storePower >= this.envelope.assist) {
        step.limit = this.envelope.assistLimit;
      } else if (storePower < 0 && -storePower >= this.envelope.recover) {
        step.limit = this.envelope.recoverLimit;
      }
    } else {
      const braking = -step.wheel;
      clutched = on && want.clutched && this.inputSpeed >= this.car.engine.cutSpeed;
      let left = braking;
      if (clutched) {
        fuelCut = braking >= this.drag;
        const taken = fuelCut ? this.drag : braking;
        if (taken >= 0) step.engineDrag = taken;
        else step.engineWheel = -taken;
        left = braking - taken;
      }
      const wanted = Math.min(-want.storePower, left);
      storePower = wanted > 0 && this.recoverable(wanted) ? -wanted : 0;
      step.brakes = left + storePower;
      if (this.store !== undefined && braking > 0) this.bookMissed(braking, left, storePower);
    }
    step.clutched = clutched;
    step.store = storePower;

    this.moveStore(storePower, state);
    if (on) this.runEngine(clutched, fuelCut, started, want.clutched, state);
    else this.restEngine(state);
  }

  /**
   * What `settle` would make of a wish. Neither the state nor what `look` prepared is moved, only the
   * step, which `settle` writes anew.
   * @param want held against the envelope
   * @param state at the start of the interval
   * @returns the one outcome of this object, written again by the next question
   */
  tryOut(want: Want, state: Readonly<State>): Readonly<Outcome> {
    const { step, tried, outcome } = this;
    const { friction, warmFriction, meanSpeed, startSpeed, endSpeed } = this;
    assignState(tried, state);
    this.settle(want, tried);
    // An engine that idles takes the place of the one in gear that `look` prepared.
    this.friction = friction;
    this.warmFriction = warmFriction;
    this.meanSpeed = meanSpeed;
    this.startSpeed = startSpeed;
    this.endSpeed = endSpeed;
    outcome.fuel = step.fuel * step.dt;
    outcome.storeChange =
      this.store === undefined
        ? 0
        : rotorEnergy(this.store.rotor, tried.rotorSpeed) -
          rotorEnergy(this.store.rotor, state.rotorSpeed);
    outcome.debtChange = step.debtChange * step.dt;
    outcome.shortfall = step.shortfall * step.dt;
    outcome.engineOn = step.engineOn;
    outcome.engineStarted = step.engineStarted;
    return outcome;
  }

  /**
   * Whether the engine would run in an interval that was looked at.
   * @param want of the strategy
   * @param state at the start of the interval
   */
  wouldRun(want: Readonly<Want>, state: Readonly<State>): boolean {
    return this.engineRuns(want, state, this.step.wheel > 0 && !this.carries(want));
  }

  /** Whether the store does all that is asked for at the wheels. */
  private carries(want: Readonly<Want>): boolean {
    return this.step.wheel - want.storePower <= ROUNDING * this.step.wheel;
  }

  /** Whether the engine runs: the driver's need first, then what the state allows of the wish. */
  private engineRuns(want: Readonly<Want>, state: Readonly<State>, needed: boolean): boolean {
    const { electrics, engine } = this.car;
    if (needed || state.batteryDebt >= electrics.debtLimit) return true;
    if (state.engineOn) return want.engineOn || !this.view.stopAllowed;
    return want.engineOn && state.engineTime >= engine.restart.minimumOff;
  }

  private recoverable(power: number): boolean {
    return this.store !== undefined && worthRecovering(this.store, this.envelope, power);
  }

  /** Splits the braking power that the store did not take by what kept it out. */
  private bookMissed(braking: number, left: number, storePower: number): void {
    const { step, envelope } = this;
    const possible = Math.min(left, envelope.recover);
    step.missedToDrag = left < braking ? braking - left : 0;
    step.missedByLimit = left - possible;
    step.missedByStrategy = possible + storePower;
    step.recoverLimit = envelope.recoverLimit;
    if (step.missedByStrategy > 0 && !this.recoverable(possible)) {
      step.missedByLimit += step.missedByStrategy;
      step.missedByStrategy = 0;
      step.recoverLimit = LIMIT.spinLoss;
    }
    if (step.missedByLimit > 0) step.limit = step.recoverLimit;
    else if (step.missedByStrategy > ROUNDING * braking) step.limit = LIMIT.strategy;
    else if (step.missedToDrag > 0) step.limit = LIMIT.engineDrag;
  }

  private moveStore(power: number, state: State): void {
    const { step, store, transfer } = this;
    if (store === undefined) return;
    if (power !== this.movedBy) {
      carry(store, this.envelope, power, state.rotorSpeed, step.dt, transfer);
      this.movedBy = power;
    }
    step.storeTransmissionLoss = transfer.transmissionLoss / step.dt;
    step.storeSlipLoss = transfer.slipLoss / step.dt;
    step.storeDragLoss = transfer.dragLoss / step.dt;
    step.rotorSpeed = transfer.endSpeed;
    state.rotorSpeed = transfer.endSpeed;
  }

  private runEngine(
    clutched: boolean,
    fuelCut: boolean,
    started: boolean,
    wantsClutch: boolean,
    state: State,
  ): void {
    const { step } = this;
    const { engine, electrics } = this.car;
    const { dt } = step;
    if (clutched) this.transmit(fuelCut);
    else this.idle(wantsClutch, state);

    const from = started ? engine.idleSpeed : state.engineSpeed;
    step.rotating = this.rotatingPower(this.paidFrom(state));
    step.shiftLoss =
      from > this.startSpeed
        ? (0.5 * engine.inertia * (from * from - this.startSpeed * this.startSpeed)) / dt
        : 0;
    step.accessories = this.alternator;
    const shaft = step.engineBrake + this.alternator + step.rotating;
    if (fuelCut) {
      step.engineBrake = -this.friction;
      step.fuel = 0;
    } else {
      const { fuelUse } = engine;
      const outside = fuelUse.form === 'table' ? fuelUse.map.outside : 0;
      step.engineBrake = shaft;
      step.fuel = fuelPower(engine, this.meanSpeed, shaft, this.warmFriction, this.friction);
      step.outsideMap = fuelUse.form === 'table' && fuelUse.map.outside > outside;
    }
    step.engineSpeed = this.meanSpeed;
    step.starter = 0;
    step.starterWork = 0;
    if (started) {
      step.fuel += engine.restart.fuelEnergy / dt;
      step.starter = engine.restart.electricalEnergy / dt;
      step.starterWork = (0.5 * engine.inertia * engine.idleSpeed * engine.idleSpeed) / dt;
    }
    step.electricLoad = electrics.load;
    step.alternatorLoss = this.alternator - electrics.load - this.recharge;
    step.batteryLoss = step.starter * (1 / electrics.batteryEfficiency - 1);
    step.debtChange = step.starter / electrics.batteryEfficiency - this.recharge;
    state.batteryDebt += step.debtChange * dt;
    step.batteryDebt = state.batteryDebt;
    state.engineTime = started ? dt : state.engineTime + dt;
    state.runningTime += dt;
    state.engineOn = true;
    state.engineSpeed = this.endSpeed;
  }

  /** From the wheels to the clutch of an engine in gear; leaves its power in `engineBrake`. */
  private transmit(fuelCut: boolean): void {
    const { step } = this;
    const { gearbox } = this.car;
    const efficiency = gearbox.efficiency[step.gear - 1]!;
    const final = gearbox.finalDriveEfficiency;
    const inputDrag = gearbox.dragTorque * this.inputSpeed;
    const net = step.engineWheel - step.engineDrag;
    const atFinal = net >= 0 ? net / final : net * final;
    const atInput = net >= 0 ? atFinal / efficiency : atFinal * efficiency;
    step.finalDriveLoss = atFinal - net;
    step.gearboxLoss = atInput - atFinal + inputDrag;
    const shaft = atInput + inputDrag;
    if (this.slipping && !fuelCut) {
      step.launchSlip = shaft * (this.meanSpeed / this.inputSpeed - 1);
    }
    step.engineBrake = shaft + step.launchSlip;
  }

  /** Engine running out of gear, or at rest against a converter; leaves its load in `engineBrake`. */
  private idle(wantsClutch: boolean, state: State): void {
    const { step } = this;
    const { engine, gearbox } = this.car;
    this.startSpeed = engine.idleSpeed;
    this.endSpeed = engine.idleSpeed;
    this.meanSpeed = engine.idleSpeed;
    this.warmFriction = frictionPower(engine, engine.idleSpeed);
    this.friction =
      this.warmFriction * warmUpFactor(engine.warmUp, state.runningTime + 0.5 * step.dt);
    if (step.speed === 0 && wantsClutch) {
      step.launchSlip = gearbox.launch.creepTorque * engine.idleSpeed;
    }
    step.engineBrake = step.launchSlip;
  }

  private restEngine(state: State): void {
    const { step } = this;
    const { engine, electrics } = this.car;
    const stopped = state.engineOn;
    step.engineSpeed = 0;
    step.engineBrake = 0;
    step.fuel = 0;
    step.accessories = 0;
    step.rotating = 0;
    step.shiftLoss = stopped
      ? (0.5 * engine.inertia * state.engineSpeed * state.engineSpeed) / step.dt
      : 0;
    step.starter = 0;
    step.starterWork = 0;
    step.electricLoad = electrics.load;
    step.alternatorLoss = 0;
    step.debtChange = electrics.load / electrics.batteryEfficiency;
    step.batteryLoss = step.debtChange - electrics.load;
    state.batteryDebt += step.debtChange * step.dt;
    step.batteryDebt = state.batteryDebt;
    state.engineTime = stopped ? step.dt : state.engineTime + step.dt;
    state.engineOn = false;
    state.engineSpeed = 0;
  }
}
