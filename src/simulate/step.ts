/**
 * One interval as it turned out: mean powers [W], speeds [rad/s] and states at its end. Made once
 * a run and written again for each interval; the ledger adds it up and the log copies it.
 */
export interface Step {
  /** Start of the interval [s] */
  time: number;
  /** Length [s] */
  dt: number;
  /** Mean speed of the car [m/s] */
  speed: number;
  acceleration: number;
  sine: number;

  /** Demand at the wheels, and the four parts it is the sum of */
  wheel: number;
  aerodynamic: number;
  rolling: number;
  grade: number;
  kinetic: number;

  gear: number;
  engineOn: boolean;
  engineStarted: boolean;
  /** The engine map was read outside its measured field */
  outsideMap: boolean;
  clutched: boolean;
  /** Mean engine speed, 0 while off [rad/s] */
  engineSpeed: number;
  /** Net power at the engine's shaft, negative while it is dragged */
  engineBrake: number;
  /** Fuel burned, with that of a start */
  fuel: number;
  /** Engine to wheels */
  engineWheel: number;
  /** Wheels to engine */
  engineDrag: number;
  /** Engine shaft to alternator */
  accessories: number;
  /** Into the engine's rotating parts, from its shaft */
  rotating: number;
  /** Rotating energy that a gear change, a clutch or a stop turned into heat */
  shiftLoss: number;
  /** Starter to engine shaft */
  starterWork: number;
  launchSlip: number;
  gearboxLoss: number;
  finalDriveLoss: number;

  /** At the wheel, positive assists */
  store: number;
  storeTransmissionLoss: number;
  storeSlipLoss: number;
  storeDragLoss: number;
  /** Rotor speed at the end [rad/s] */
  rotorSpeed: number;

  /** Friction brakes */
  brakes: number;
  shortfall: number;

  electricLoad: number;
  /** Electrical power of starts */
  starter: number;
  alternatorLoss: number;
  batteryLoss: number;
  /** Rise of what the battery is owed */
  debtChange: number;
  /** Owed at the end [J] */
  batteryDebt: number;

  /** Braking power the store did not take: to the engine, by the store's limit, by the strategy */
  missedToDrag: number;
  missedByLimit: number;
  missedByStrategy: number;
  /** Limit that kept recovery out, index into LIMITS */
  recoverLimit: number;
  /** Limit that bit in this interval, index into LIMITS */
  limit: number;
}

/** A step with every field set, always in this order. */
export function newStep(): Step {
  return {
    time: 0,
    dt: 0,
    speed: 0,
    acceleration: 0,
    sine: 0,
    wheel: 0,
    aerodynamic: 0,
    rolling: 0,
    grade: 0,
    kinetic: 0,
    gear: 1,
    engineOn: true,
    engineStarted: false,
    outsideMap: false,
    clutched: false,
    engineSpeed: 0,
    engineBrake: 0,
    fuel: 0,
    engineWheel: 0,
    engineDrag: 0,
    accessories: 0,
    rotating: 0,
    shiftLoss: 0,
    starterWork: 0,
    launchSlip: 0,
    gearboxLoss: 0,
    finalDriveLoss: 0,
    store: 0,
    storeTransmissionLoss: 0,
    storeSlipLoss: 0,
    storeDragLoss: 0,
    rotorSpeed: 0,
    brakes: 0,
    shortfall: 0,
    electricLoad: 0,
    starter: 0,
    alternatorLoss: 0,
    batteryLoss: 0,
    debtChange: 0,
    batteryDebt: 0,
    missedToDrag: 0,
    missedByLimit: 0,
    missedByStrategy: 0,
    recoverLimit: 0,
    limit: 0,
  };
}
