import type { Electrics } from '../physics/electrics.ts';
import type { Restart } from '../physics/engine.ts';
import { DEBT_TO_STOP } from '../simulate/interval.ts';

/** The engine as far as it decides what may follow: off, idling, or turning with the gearbox. */
export const ENGINE = { off: 0, idling: 1, inGear: 2 } as const;

/** Most nodes for an engine that may not stop or start yet. */
const MOST_AGES = 2;

/** Steps of the debt up to that below which the engine may stop, and from there to the limit. */
const DEBTS_TO_STOP = 20;
const DEBTS_TO_LIMIT = 6;

/** Time since start or stop of an engine that may do what it likes [s]. */
const LONG_AGO = 1e6;

/**
 * The road's lanes: what the engine does, how long ago it started or stopped, and what the battery is
 * owed. The last two are quantities with a few nodes each; between these, costs are interpolated.
 */
export class Lanes {
  readonly count: number;
  /** What the last `findAge` and `findDebt` found */
  lane = 0;
  older = 0;
  more = 0;

  private readonly ages: readonly Float64Array[];
  private readonly debts: Float64Array;
  private readonly firstOf: readonly number[];
  /** Lanes for one debt */
  private readonly each: number;

  /**
   * @param restart minimum times of the engine
   * @param electrics limits of the debt
   * @param shortest interval of the trace [s]
   * @param duration of the trace [s]
   */
  constructor(restart: Restart, electrics: Electrics, shortest: number, duration: number) {
    const off = ageNodes(restart.minimumOff, shortest);
    const on = ageNodes(restart.minimumOn, shortest);
    this.ages = [off, on, on];
    this.firstOf = [0, off.length, off.length + on.length];
    this.each = off.length + 2 * on.length;
    this.debts = debtNodes(electrics, restart, duration);
    this.count = this.each * this.debts.length;
  }

  /** What the engine does in a lane. */
  engine(lane: number): number {
    const within = this.kindOf(lane);
    if (within < this.firstOf[ENGINE.idling]!) return ENGINE.off;
    return within < this.firstOf[ENGINE.inGear]! ? ENGINE.idling : ENGINE.inGear;
  }

  /** Time since its engine started or stopped [s]. */
  age(lane: number): number {
    const engine = this.engine(lane);
    const ages = this.ages[engine]!;
    const age = this.kindOf(lane) - this.firstOf[engine]!;
    return age === ages.length - 1 ? LONG_AGO : ages[age]!;
  }

  /** Number of engine and age of a lane; lanes that differ in debt alone stand together. */
  kindOf(lane: number): number {
    return Math.floor(lane / this.debts.length);
  }

  /** Index of a lane's debt among its nodes. */
  debtIndex(lane: number): number {
    return lane % this.debts.length;
  }

  /** Number of nodes of the debt. */
  get debtCount(): number {
    return this.debts.length;
  }

  /** What its battery is owed [J]. */
  debt(lane: number): number {
    return this.debts[lane % this.debts.length]!;
  }

  /** Lane of the nearest lower age, whatever the battery is owed: tells states apart, not more. */
  kind(engine: number, age: number): number {
    return this.firstOf[engine]! + cell(this.ages[engine]!, age);
  }

  /** Lane of an engine that has just begun to idle, with nothing owed. */
  get startLane(): number {
    return this.kind(ENGINE.idling, 0) * this.debts.length;
  }

  /** Number of kinds. */
  get kinds(): number {
    return this.each;
  }

  /**
   * Finds the lanes round a state of the engine: leaves them in `lane`, the first of the lower age, and
   * in `older`, the share of those of the next age, which stand `debtCount` lanes on.
   */
  findAge(engine: number, age: number): void {
    const ages = this.ages[engine]!;
    const a = cell(ages, age);
    this.lane = (this.firstOf[engine]! + a) * this.debts.length;
    this.older = shareBehind(ages, a, age);
  }

  /**
   * Finds a debt among some of its nodes: leaves the share of the next node in `more`. Outside them the
   * outermost two go on.
   * @param debt [J]
   * @param guess index of a node that is near
   * @param low index of the first node that counts
   * @param high index of the last one
   * @returns index of the node below
   */
  findDebt(debt: number, guess: number, low: number, high: number): number {
    const { debts } = this;
    let d = guess < low ? low : Math.min(guess, high - 1);
    while (d > low && debt < debts[d]!) d--;
    while (d < high - 1 && debt >= debts[d + 1]!) d++;
    this.more = (debt - debts[d]!) / (debts[d + 1]! - debts[d]!);
    return d;
  }

  /** Index of the last node that is not above a debt, but never of the last of all. */
  debtBelow(debt: number): number {
    return Math.min(cell(this.debts, debt), this.debts.length - 2);
  }
}

/** How far a value lies from a node towards the next, 0 to 1; 0 outside them all. */
function shareBehind(nodes: Float64Array, index: number, value: number): number {
  if (index === nodes.length - 1 || value < nodes[index]!) return 0;
  return (value - nodes[index]!) / (nodes[index + 1]! - nodes[index]!);
}

/** Index of the last node that is not above a value; the first for a value below them all. */
function cell(nodes: Float64Array, value: number): number {
  let i = nodes.length - 1;
  while (i > 0 && value < nodes[i]!) i--;
  return i;
}

/**
 * Ages from the shortest interval, the least there is, to the minimum time, beyond which all are alike.
 * Where the minimum is a few even intervals, these are all the ages there are.
 */
function ageNodes(minimum: number, shortest: number): Float64Array {
  if (minimum <= shortest) return Float64Array.of(minimum);
  const steps = Math.min(Math.ceil((minimum - shortest) / shortest - 1e-9), MOST_AGES);
  return Float64Array.from(
    { length: steps + 1 },
    (_, i) => shortest + ((minimum - shortest) * i) / steps,
  );
}

/**
 * Debts: even steps up to that below which the engine may stop, and from there to the limit. The steps
 * are small, since a debt moves slowly and what is interpolated over and over again spreads.
 */
function debtNodes(electrics: Electrics, restart: Restart, duration: number): Float64Array {
  const { debtLimit, load, batteryEfficiency } = electrics;
  const stop = DEBT_TO_STOP * debtLimit;
  const nodes = [0];
  for (let i = 1; i <= DEBTS_TO_STOP; i++) nodes.push((stop * i) / DEBTS_TO_STOP);
  for (let i = 1; i <= DEBTS_TO_LIMIT; i++) {
    nodes.push(stop + ((debtLimit - stop) * i) / DEBTS_TO_LIMIT);
  }
  const most = (load * duration + restart.electricalEnergy * 2) / batteryEfficiency;
  const enough = nodes.findIndex((node) => node > most);
  return Float64Array.from(enough < 0 ? nodes : nodes.slice(0, Math.max(enough + 1, 2)));
}
