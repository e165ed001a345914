import { DefectError } from '../config/problem.ts';
import { type Engine, frictionPower, fuelPower } from '../physics/engine.ts';
import { inputSpeedRatio } from '../physics/gearbox.ts';
import { carry, type Store, type Transfer } from '../physics/store.ts';
import type { Car } from './car.ts';
import type { SprintForces } from './sprint-forces.ts';
import type { State } from './state.ts';
import type { Step } from './step.ts';

/** A shaft power this far above full load is rounding. */
const OVERLOAD = 1e-9;

/**
 * Books an interval at full load into a step, as a drive books its own, and moves the state to its
 * end. The step's time, length, gear, slope and clutch are already set.
 *
 * The engine's work is counted back from the wheels, through all losses; that this is no more than
 * full load gives is checked, so that the balance of forces and the books are two ways to one figure.
 *
 * @param car with the store's mass where one is fitted
 * @param store or none
 * @param forces balanced for the interval
 * @param speed at its start [m/s]
 * @param state at its start; at its end on return
 * @param transfer of the store, written
 * @param row result
 * @throws DefectError where the engine would give more than full load
 */
export function bookStep(
  car: Car,
  store: Store | undefined,
  forces: SprintForces,
  speed: number,
  state: State,
  transfer: Transfer,
  row: Step,
): void {
  const endSpeed = speed + forces.acceleration * row.dt;
  const mean = 0.5 * (speed + endSpeed);
  row.speed = mean;
  row.acceleration = forces.acceleration;
  row.aerodynamic = forces.aerodynamic * mean;
  row.rolling = forces.rolling * mean;
  row.grade = forces.grade * mean;
  row.kinetic = forces.inertia * forces.acceleration * mean;
  row.engineWheel = forces.engineForce * mean;
  row.store = forces.storeForce * mean;
  row.wheel = row.engineWheel + row.store;
  row.engineOn = true;
  bookEngine(car, forces, speed, endSpeed, state, row);
  if (store !== undefined) bookStore(store, forces, state, transfer, row);
  state.engineTime += row.dt;
  state.runningTime += row.dt;
}

/** From the wheels back to the engine's shaft, and what it burns. */
function bookEngine(
  car: Car,
  forces: SprintForces,
  speed: number,
  endSpeed: number,
  state: State,
  row: Step,
): void {
  const { engine, gearbox, electrics, tyreRadius, sprint } = car;
  const { engineSpeed, inputSpeed } = forces.pull;
  const ratio = inputSpeedRatio(gearbox, row.gear, tyreRadius);
  const startSpin = Math.max(ratio * speed, sprint.launchSpeed);
  const endSpin = Math.max(ratio * endSpeed, sprint.launchSpeed);
  const paidFrom = Math.min(state.engineSpeed, startSpin);
  row.shiftLoss = spinEnergy(engine, paidFrom, state.engineSpeed) / row.dt;
  row.rotating = spinEnergy(engine, paidFrom, endSpin) / row.dt;
  row.finalDriveLoss = 0;
  row.gearboxLoss = 0;
  row.launchSlip = 0;
  let shaft = 0;
  if (row.clutched) {
    const atFinal = row.engineWheel / gearbox.finalDriveEfficiency;
    const atInput = atFinal / gearbox.efficiency[row.gear - 1]!;
    const drag = gearbox.dragTorque * inputSpeed;
    row.finalDriveLoss = atFinal - row.engineWheel;
    row.gearboxLoss = atInput - atFinal + drag;
    shaft = (atInput + drag) * (engineSpeed / inputSpeed);
    row.launchSlip = shaft - (atInput + drag);
  }
  row.accessories = electrics.load / electrics.alternatorEfficiency;
  row.electricLoad = electrics.load;
  row.alternatorLoss = row.accessories - electrics.load;
  row.engineBrake = shaft + row.accessories + row.rotating;
  row.engineSpeed = engineSpeed;
  const full = engine.fullLoad.at(engineSpeed) * engineSpeed;
  if (row.engineWheel > 0 && row.engineBrake > full * (1 + OVERLOAD)) {
    throw new DefectError(`the engine gives ${row.engineBrake} W, at full load ${full} W`);
  }
  const friction = frictionPower(engine, engineSpeed);
  row.fuel = fuelPower(engine, engineSpeed, row.engineBrake, friction, friction);
  state.engineSpeed = endSpin;
}

/** Energy that takes the engine's rotating parts from one speed to another [J]. */
function spinEnergy(engine: Engine, from: number, to: number): number {
  return 0.5 * engine.inertia * (to * to - from * from);
}

function bookStore(
  store: Store,
  forces: SprintForces,
  state: State,
  transfer: Transfer,
  row: Step,
): void {
  const { envelope } = forces;
  carry(store, envelope, row.store, state.rotorSpeed, row.dt, transfer);
  row.storeTransmissionLoss = transfer.transmissionLoss / row.dt;
  row.storeSlipLoss = transfer.slipLoss / row.dt;
  row.storeDragLoss = transfer.dragLoss / row.dt;
  row.rotorSpeed = transfer.endSpeed;
  row.limit = envelope.assistLimit;
  state.rotorSpeed = transfer.endSpeed;
}
