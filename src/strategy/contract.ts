import { DefectError } from '../config/problem.ts';

/**
 * The strategy contract. In every interval the simulator shows a strategy what a controller in the
 * car could know (`View`) and the strategy writes what it wants (`Want`). No look ahead: the view
 * holds this interval's demand and nothing of the road to come. A strategy is a pure function of
 * what it sees and of its own small state; all state is made in `create`, so that two runs of the
 * same inputs are equal.
 *
 * All values are SI. Powers are means over the interval, at the wheels; positive drives the car,
 * negative slows it. Store power: positive assists, negative recovers.
 */
export interface View {
  /** Start of the interval [s] */
  time: number;
  /** Length of the interval [s] */
  duration: number;
  /** Mean speed [m/s] */
  speed: number;
  /** [m/s²] */
  acceleration: number;
  /** sin θ, positive uphill */
  grade: number;
  /** Power the road and the driver ask of the wheels [W] */
  wheelPower: number;
  /** What a clutched engine with its fuel cut would take from the wheels; 0 unless braking [W] */
  engineDrag: number;
  /** Most a clutched engine could give the wheels; 0 unless driving [W] */
  engineLimit: number;
  /** Most the store can give, no more than the demand; 0 unless driving [W] */
  assistLimit: number;
  /** Most the store can take; while driving, no more than the engine can spare [W] */
  recoverLimit: number;
  /** Energy above the bottom of the store's working range, negative below it [J] */
  storeEnergy: number;
  /** The same as a share of the working range, 0 to 1 */
  storeShare: number;
  /** Energy the battery is owed [J] */
  batteryDebt: number;
  engineOn: boolean;
  /** Since the engine started or stopped [s] */
  engineTime: number;
  /** The engine may be off: it is warm, has run long enough, and the battery is not owed too much */
  stopAllowed: boolean;
  /** Engaged gear, from 1 */
  gear: number;
  /** Fuel of an engine start [J] */
  startFuel: number;
  /** What the battery is owed for an engine start [J] */
  startDebt: number;
  /** Fuel that paying back what the battery is owed takes at a usual load [J of fuel a joule] */
  debtPrice: number;
  /**
   * Asks what would become of a wish in this interval, by the simulator's own physics. Nothing moves,
   * however often it is asked; a strategy that does not ask pays nothing for it.
   * @param want within the limits above, or the run ends as if it had been decided
   * @returns the answer, in an object that the next question writes again
   */
  outcome: (want: Readonly<Want>) => Readonly<Outcome>;
}

/** What would become of a wish: energies over the interval. */
export interface Outcome {
  /** Fuel burned, with that of a start [J] */
  fuel: number;
  /** Rise of the stored energy after all losses [J] */
  storeChange: number;
  /** Rise of what the battery is owed, with that of a start [J] */
  debtChange: number;
  /** Work that the wheels would lack [J] */
  shortfall: number;
  /** Whether the engine would run, whatever was wanted */
  engineOn: boolean;
  engineStarted: boolean;
}

/** What a strategy wants. Reset before each interval to: no store power, engine on, clutched. */
export interface Want {
  /**
   * Within −recoverLimit … assistLimit; positive assists [W]. A clutched engine takes its overrun
   * drag first, the store what braking is left of it.
   */
  storePower: number;
  engineOn: boolean;
  /** Clutch closed; only of a running engine */
  clutched: boolean;
}

/** One run of a strategy. */
export interface Strategy {
  readonly name: string;
  /** Writes what it wants for this interval into `want`, under its names alone; returns nothing. */
  decide(see: Readonly<View>, want: Want): void;
}

/**
 * Makes a strategy for one run, with fresh state.
 * A plug-in module's default export is such a maker taking its parameters.
 */
export interface StrategyMaker {
  (): Strategy;
  /** Set where numbers of the strategy are to be searched for each case. */
  readonly search?: NumberSearch;
}

/** Numbers of a strategy that are searched: those that need the least fuel over a balanced lap. */
export interface NumberSearch {
  readonly numbers: readonly SearchedNumber[];
  /** Makes the strategy with values of the numbers, in their order. */
  make(values: readonly number[]): Strategy;
}

/** A number that is searched. */
export interface SearchedNumber {
  readonly name: string;
  /** Rising values that lie in even steps of the search, at least two; it looks between them, too */
  readonly rungs: readonly number[];
  /** Of these, the one that is driven early on: a usual one */
  readonly start: number;
}

/** One behaviour of a combined strategy: it changes what the behaviours before it wanted. */
export type Behaviour = (see: Readonly<View>, want: Want) => void;

/** A view with every field set, to be written again and again. */
export function newView(): View {
  return {
    time: 0,
    duration: 0,
    speed: 0,
    acceleration: 0,
    grade: 0,
    wheelPower: 0,
    engineDrag: 0,
    engineLimit: 0,
    assistLimit: 0,
    recoverLimit: 0,
    storeEnergy: 0,
    storeShare: 0,
    batteryDebt: 0,
    engineOn: true,
    engineTime: 0,
    stopAllowed: false,
    gear: 1,
    startFuel: 0,
    startDebt: 0,
    debtPrice: 0,
    outcome: noInterval,
  };
}

function noInterval(): never {
  throw new DefectError('a view was asked for an outcome outside a run');
}

/** An outcome with every field set, to be written again and again. */
export function newOutcome(): Outcome {
  return {
    fuel: 0,
    storeChange: 0,
    debtChange: 0,
    shortfall: 0,
    engineOn: true,
    engineStarted: false,
  };
}

/** A wish for what happens if nothing is wanted: no store power, engine on, clutched. */
export function newWant(): Want {
  return { storePower: 0, engineOn: true, clutched: true };
}
